//! The tank of a rig: what each duty asks of it, the schedule run with chilling, filling, the hottest day.

use super::Solution;
use crate::eos::Backend;
use crate::quantity::{
    AbsolutePressure, Mass, MassRate, ThermodynamicTemperature, Time, kilograms_per_cubic_metre,
    ratio, seconds,
};
use crate::tank::capability::{Sustainable, sustainable_draw};
use crate::tank::chilling::run;
use crate::tank::filling::liquid_full_temperature;
use crate::tank::filling_check::{FillingCheck, filling_check};
use crate::tank::heat_gain::HeatFlow;
use crate::tank::record::{Run, RunOptions};
use crate::tank::remedies::{enough_cylinders, fed};
use crate::tank::schedule::{Drawn, Schedule, Step};
use crate::tank::vapour_pressure::{
    HottestDay, NEARLY_EMPTY, boiled_down, coldest_feeding_temperature, hottest_day,
};
use crate::tank::vessel::{Charge, Contents};
use crate::train::cylinder::{Cylinder, cylinder};
use crate::train::rig::{Supply, TankSpec};
use crate::train::{Draw, LowestSupply};
use std::sync::Arc;

/// Rows of the run that are kept.
const ROWS: f64 = 40.0;
/// Most cylinders side by side that are tried where the schedule fails, twice those that are there if more.
const MOST_CYLINDERS: u32 = 8;

/// The tank of a rig with everything that was computed of it. Masses and flows are those of one cylinder.
#[derive(Debug, Clone)]
pub struct TankSolution {
    /// One cylinder with its charge.
    pub cylinder: Cylinder,
    /// How many alike are drawn together.
    pub number: u32,
    /// What is in it at the start, or why that cannot be.
    pub start: Result<Contents, String>,
    /// What each duty asks of it, in the order of the file.
    pub duties: Vec<TankDuty>,
    /// How full it is.
    pub filling: FillingCheck,
    /// The hottest day, or why it is not known.
    pub hottest: Result<HottestDay, String>,
    /// The same cylinder with no more in it than it may hold, where it holds more.
    pub at_limit: Option<AtLimit>,
    /// The schedule, run until it is done or a duty is no longer fed; or why it was not run.
    pub run: Result<RunOutcome, String>,
}

/// An overfilled cylinder, filled to its limit: what is wrong with it even so has another cause.
#[derive(Debug, Clone)]
pub struct AtLimit {
    /// What would be in it at the start, or why that cannot be.
    pub start: Result<Contents, String>,
    /// Temperature at which it would be liquid-full; `None`: it never would.
    pub liquid_full: Option<ThermodynamicTemperature>,
    /// The hottest day, or why it is not known.
    pub hottest: Result<HottestDay, String>,
}

/// What a duty asks of one cylinder.
#[derive(Debug, Clone)]
pub struct TankDuty {
    /// Name.
    pub name: String,
    /// Draw.
    pub draw: MassRate,
    /// Lowest tank pressure that still feeds it through the whole train, or why none does.
    pub lowest: Result<LowestSupply, String>,
    /// Coldest full tank that has that pressure.
    pub coldest: Result<ThermodynamicTemperature, String>,
    /// The same of a nearly empty tank; that of the full one for a pure fuel.
    pub coldest_nearly_empty: Result<ThermodynamicTemperature, String>,
    /// Sustainable draw at that pressure.
    pub sustainable: Result<Sustainable, String>,
    /// Pressure behind the first regulator, the highest of any line after it; `None` without a regulator or
    /// where the train does not feed the duty.
    pub line_pressure: Option<AbsolutePressure>,
}

/// A schedule that was run.
#[derive(Debug, Clone)]
pub struct RunOutcome {
    /// Steps and repeats.
    pub schedule: Schedule,
    /// Whether they come from the run plan of the rig, or from the durations of its duties.
    pub from_plan: bool,
    /// The run.
    pub run: Run,
    /// Coldest contents on the way.
    pub coldest: Contents,
    /// Wall and heat then; `None` outside the correlations.
    pub wall: Option<HeatFlow>,
    /// Number of such cylinders that feeds it; `None` where it is fed as it is or not even
    /// [`RunOutcome::most_cylinders`] do. Why it was not found, if the search was given up.
    pub cylinders: Result<Option<u32>, String>,
    /// Most cylinders that were tried.
    pub most_cylinders: u32,
}

impl RunOutcome {
    /// Whether every step was fed to its end.
    pub fn is_fed(&self) -> bool {
        fed(&self.run)
    }
}

/// Solves the tank of a rig.
///
/// # Errors
/// Why there is no tank to speak of.
pub(super) fn solved_tank(solution: &Solution<'_>) -> Result<TankSolution, String> {
    let Supply::Tank(spec) = &solution.rig.supply else {
        return Err("the fuel comes from a main".to_owned());
    };
    if solution.pad().is_some() {
        return Err(
            "the tank is vented or under gas (`pressure`): its liquid neither boils nor chills"
                .to_owned(),
        );
    }
    if let Some(why) = solution.no_vapour().or_else(|| solution.no_pad()) {
        return Err(why);
    }
    let fluid = &solution.fluid;
    let cylinder = cylinder(solution.rig, spec, fluid).map_err(|e| solution.why(&e))?;
    let holding = |mass| {
        let charge = Charge {
            mass,
            ..cylinder.charge
        };
        let start = cylinder.tank.contents(&charge);
        start.map_err(|e| solution.why(&e))
    };
    let filling = filling_check(fluid.as_ref(), spec.volume, cylinder.charge.mass);
    let at_limit = filling.above_limit().map(|(limit, _)| AtLimit {
        start: holding(limit),
        liquid_full: liquid_full_temperature(
            fluid.as_ref(),
            kilograms_per_cubic_metre(limit.value / spec.volume.value),
        )
        .ok(),
        hottest: hottest(solution, spec, limit),
    });
    let mut solved = TankSolution {
        number: spec.number,
        start: holding(cylinder.charge.mass),
        duties: duties(solution, spec, &cylinder),
        filling,
        hottest: hottest(solution, spec, cylinder.charge.mass),
        at_limit,
        run: Err(String::new()),
        cylinder,
    };
    solved.run = outcome(solution, spec, &solved);
    Ok(solved)
}

fn duties(solution: &Solution<'_>, spec: &TankSpec, cylinder: &Cylinder) -> Vec<TankDuty> {
    let Ok(train) = solution.train() else {
        return Vec::new();
    };
    let fluid = &solution.fluid;
    let emptied = match (spec.draw, fluid.composition().parts().len()) {
        (Draw::Vapour, 2..) => boiled_down(
            fluid.as_ref(),
            ratio(NEARLY_EMPTY),
            cylinder.charge.temperature,
        )
        .map_err(|e| solution.why(&e)),
        _ => Ok(Arc::clone(fluid)),
    };
    let of_duty = |duty: &crate::train::TrainDuty| {
        let lowest = match &duty.lowest {
            // no warmth of the tank makes vapour of what is drawn as liquid
            Some(_) if duty.is_two_phase() => Err(
                "liquid and vapour together reach a part for one of them: no pressure of the tank helps"
                    .to_owned(),
            ),
            None => Err(
                "the tank holds gas alone: its pressure is not that of a vapour over its liquid"
                    .to_owned(),
            ),
            Some(found) => found.clone().map_err(|e| solution.why(&e)),
        };
        let coldest = |b: &dyn Backend| {
            let pressure = lowest.as_ref().map_err(Clone::clone)?.pressure;
            coldest_feeding_temperature(b, pressure).map_err(|e| solution.why(&e))
        };
        let sustainable = lowest.as_ref().map_err(Clone::clone).and_then(|l| {
            cylinder.heat.as_ref().map_err(|e| solution.why(e))?;
            sustainable_draw(&cylinder.tank, &cylinder.charge, l.pressure)
                .map_err(|e| solution.why(&e))
        });
        let flow = duty.solution.as_ref().map_or(duty.wanted, |s| s.flow);
        TankDuty {
            name: duty.name.clone(),
            draw: flow / f64::from(spec.number.max(1)),
            coldest: coldest(fluid.as_ref()),
            coldest_nearly_empty: emptied
                .as_ref()
                .map_err(Clone::clone)
                .and_then(|b| coldest(b.as_ref())),
            sustainable,
            line_pressure: line_pressure(solution, duty),
            lowest,
        }
    };
    train.duties.iter().map(of_duty).collect()
}

/// Behind the first regulator on the way to the injector.
fn line_pressure(
    solution: &Solution<'_>,
    duty: &crate::train::TrainDuty,
) -> Option<AbsolutePressure> {
    let regulator = solution
        .main_parts()
        .into_iter()
        .find(|part| part.is_regulator())?;
    let parts = &duty.solution.as_ref().ok()?.parts;
    let flow = parts.iter().find(|p| p.part == regulator.name)?;
    Some(flow.outlet.pressure)
}

fn hottest(solution: &Solution<'_>, spec: &TankSpec, mass: Mass) -> Result<HottestDay, String> {
    let hottest = solution
        .rig
        .hottest_tank()
        .ok_or_else(|| "the site gives no `hottest` temperature".to_owned())?;
    let density = kilograms_per_cubic_metre(mass.value / spec.volume.value);
    hottest_day(
        solution.fluid.as_ref(),
        Some(density),
        hottest,
        spec.relief_pressure,
        spec.rating,
    )
    .map_err(|e| solution.why(&e))
}

/// The run plan, else the duties one after the other where each has a duration.
pub(super) fn schedule(
    solution: &Solution<'_>,
    spec: &TankSpec,
    duties: &[TankDuty],
) -> Result<(Schedule, bool), String> {
    let step = |duty: Option<&str>, duration: Time| -> Result<Step, String> {
        let Some(name) = duty else {
            return Ok(Step::rest(duration));
        };
        let asked = duties
            .iter()
            .find(|d| d.name == name)
            .ok_or_else(|| format!("the draw of the duty {name} is not known"))?;
        let step = Step {
            phase: match spec.draw {
                Draw::Vapour => Drawn::Vapour,
                Draw::Liquid => Drawn::Liquid,
            },
            line_pressure: asked.line_pressure,
            ..Step::vapour(name, asked.draw, duration)
        };
        Ok(match &asked.lowest {
            Ok(lowest) => step.needing(lowest.pressure),
            Err(_) => step.needing(surroundings(solution)),
        })
    };
    if let Some(plan) = &solution.rig.timetable {
        let steps: Result<Vec<Step>, String> = plan
            .steps
            .iter()
            .map(|s| step(s.duty.as_deref(), s.duration))
            .collect();
        let repeats = plan.repeats;
        return Ok((
            Schedule {
                steps: steps?,
                repeats,
            },
            true,
        ));
    }
    let steps: Option<Result<Vec<Step>, String>> = solution
        .rig
        .duties
        .iter()
        .map(|d| d.duration.map(|duration| step(Some(&d.name), duration)))
        .collect();
    match steps {
        Some(steps) => Ok((
            Schedule {
                steps: steps?,
                repeats: 1,
            },
            false,
        )),
        None => Err(
            "the file has no run plan (`[[steps]]`), and not every duty has a `duration`"
                .to_owned(),
        ),
    }
}

fn surroundings(solution: &Solution<'_>) -> AbsolutePressure {
    solution.rig.site.air_pressure
}

fn outcome(
    solution: &Solution<'_>,
    spec: &TankSpec,
    solved: &TankSolution,
) -> Result<RunOutcome, String> {
    if let Err(why) = solution.train() {
        return Err(format!("the draw is not known: {why}"));
    }
    let start = solved.start.as_ref().map_err(Clone::clone)?;
    let cylinder = &solved.cylinder;
    cylinder.heat.as_ref().map_err(|e| solution.why(e))?;
    let (schedule, from_plan) = schedule(solution, spec, &solved.duties)?;
    let length_s: f64 = schedule.steps.iter().map(|s| s.duration.value).sum();
    let whole_s = length_s * f64::from(schedule.repeats);
    let options = RunOptions {
        every: (whole_s > 0.0).then(|| seconds(whole_s / ROWS)),
        ..RunOptions::default()
    };
    let run =
        run(&cylinder.tank, &cylinder.charge, &schedule, &options).map_err(|e| solution.why(&e))?;
    let coldest = run
        .rows
        .iter()
        .map(|r| r.contents)
        .min_by(|a, b| a.temperature.value.total_cmp(&b.temperature.value))
        .unwrap_or(*start);
    let wall = cylinder
        .tank
        .heat_gain
        .heat(coldest.temperature, coldest.liquid_volume)
        .ok();
    let most_cylinders = MOST_CYLINDERS.max(2 * spec.number);
    let cylinders = if fed(&run) || run.stopped_by.is_some() {
        Ok(None)
    } else {
        let (tank, charge) = (&cylinder.tank, &cylinder.charge);
        enough_cylinders(tank, charge, &schedule, spec.number..=most_cylinders, None)
            .map_err(|e| solution.why(&e))
    };
    Ok(RunOutcome {
        schedule,
        from_plan,
        run,
        coldest,
        wall,
        cylinders,
        most_cylinders,
    })
}

impl TankSolution {
    /// The largest draw of all duties, kg/s of one cylinder.
    pub fn largest_draw(&self) -> Option<&TankDuty> {
        self.duties
            .iter()
            .max_by(|a, b| a.draw.value.total_cmp(&b.draw.value))
    }
}
