//! The tank of a rig at length: its run carried to the end with every remedy, the tank over temperature, a
//! blend as it empties, and what the wall has to hold.

mod emptying;
mod strength;

pub use emptying::{Emptied, Emptying, Unusable};
pub use strength::{PAST_FULL_K, Strength, WallStress, outside_area, wall_density, wall_thickness};

use super::Solution;
use super::tank::{TankDuty, TankSolution, schedule};
use crate::quantity::{
    AbsolutePressure, MassRate, ThermodynamicTemperature, Time, kelvin, kelvin_difference, ratio,
    seconds,
};
use crate::tank::answer::{Answer, CoilAsked, Hottest, Question, answer};
use crate::tank::capability::{largest_short_draw, sustainable_draw};
use crate::tank::schedule::{Drawn, Schedule, Step};
use crate::tank::vapour_pressure::{NEARLY_EMPTY, VapourPressure, boiled_down, table};
use crate::tank::vessel::{Charge, Tank};
use crate::train::Draw;
use crate::train::rig::TankSpec;
use std::sync::Arc;

/// Bore of a first coil where none is asked for, m. Our choice.
pub const FIRST_COIL_BORE_M: f64 = 0.006;
/// Superheat of the vapour that a vaporiser gives, K. Our choice.
const SUPERHEAT_K: f64 = 10.0;
/// Rows of the series at most where no interval is asked for.
const ROWS: f64 = 60.0;
/// Intervals between rows, s.
const INTERVALS_S: [f64; 17] = [
    1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0, 600.0, 900.0, 1800.0, 3600.0, 7200.0,
    14_400.0, 43_200.0, 86_400.0,
];
/// Steps of the table over temperature, K, and the span above which the wider is taken.
const STEPS_K: (f64, f64) = (5.0, 10.0);
const WIDE_K: f64 = 50.0;
/// How far below the site the table reaches where no coldest temperature is given, K.
const COLDER_K: f64 = 20.0;
/// What may be asked beside what the rig file says.
#[derive(Debug, Clone, Copy, Default)]
pub struct Asked {
    /// Time between rows of the series.
    pub every: Option<Time>,
    /// Temperature at which the run ends.
    pub floor: Option<ThermodynamicTemperature>,
    /// A coil for the vaporiser.
    pub coil: Option<CoilAsked>,
}

/// The tank of a rig at length; masses and flows are those of one cylinder.
#[derive(Debug, Clone)]
pub struct TankStudy {
    /// The schedule, carried on past failures, or why it was not run.
    pub run: Result<StudiedRun, String>,
    /// More of each duty, in the order of [`TankSolution::duties`].
    pub duties: Vec<DutyStudy>,
    /// The tank over temperature, or why not.
    pub warmth: Result<Vec<Warmth>, String>,
    /// A blend drawn as vapour until nearly empty; `None` for all others.
    pub emptying: Option<Result<Emptying, String>>,
    /// What the wall has to hold.
    pub strength: Strength,
}

/// A schedule that was run to its end.
#[derive(Debug, Clone)]
pub struct StudiedRun {
    /// What was asked of one cylinder.
    pub question: Question,
    /// What was found.
    pub answer: Answer,
    /// Whether the steps come from the run plan of the rig, or from the durations of its duties.
    pub from_plan: bool,
}

/// More of one duty.
#[derive(Debug, Clone)]
pub struct DutyStudy {
    /// Longest time it is drawn without a break; `None`: not in the schedule and without a duration.
    pub longest: Option<Time>,
    /// Largest draw of a fresh cylinder for that time.
    pub largest: Result<MassRate, String>,
    /// Sustainable draw of a nearly empty cylinder.
    pub sustainable_nearly_empty: Result<MassRate, String>,
}

/// The tank at one temperature.
#[derive(Debug, Clone)]
pub struct Warmth {
    /// Temperature and pressures, full and nearly empty.
    pub pressures: VapourPressure,
    /// Whether each duty is fed: by a full tank, and by a nearly empty one; `None` where its least pressure
    /// is not known.
    pub feeds: Vec<Option<(bool, bool)>>,
}

impl Warmth {
    /// Names of the duties of which `pick` holds: fed by a full tank, and by a nearly empty one.
    pub fn fed<'t>(&self, tank: &'t TankSolution, pick: fn(&(bool, bool)) -> bool) -> Vec<&'t str> {
        let fed = tank.duties.iter().zip(&self.feeds);
        fed.filter(|(_, f)| f.as_ref().is_some_and(pick))
            .map(|(d, _)| d.name.as_str())
            .collect()
    }
}

/// Studies the tank of a rig.
///
/// # Errors
/// Why there is no tank to speak of, or no charge that fits it.
pub fn tank_study<'s>(
    solution: &'s Solution<'_>,
    asked: &Asked,
) -> Result<(&'s TankSolution, TankStudy), String> {
    let solved = solution.tank().as_ref().map_err(Clone::clone)?;
    let spec = solution
        .rig
        .supply
        .tank()
        .ok_or_else(|| "the fuel comes from a main".to_owned())?;
    solved.start.as_ref().map_err(Clone::clone)?;
    let planned = schedule(solution, spec, &solved.duties);
    let emptying = emptying::emptying(solution, spec, solved);
    let study = TankStudy {
        duties: duties(solution, solved, planned.as_ref().ok().map(|p| &p.0)),
        warmth: warmth(solution, spec, solved),
        strength: strength::strength(solution, spec, solved),
        run: planned.and_then(|(schedule, from_plan)| {
            studied_run(solution, spec, solved, schedule, from_plan, asked)
        }),
        emptying,
    };
    Ok((solved, study))
}

// ---- the run -------------------------------------------------------------------------------------

fn studied_run(
    solution: &Solution<'_>,
    spec: &TankSpec,
    solved: &TankSolution,
    schedule: Schedule,
    from_plan: bool,
    asked: &Asked,
) -> Result<StudiedRun, String> {
    let cylinder = &solved.cylinder;
    cylinder.heat.as_ref().map_err(|e| solution.why(e))?;
    let once_s: f64 = schedule.steps.iter().map(|s| s.duration.value).sum();
    let whole_s = once_s * f64::from(schedule.repeats);
    let question = Question {
        tank: cylinder.tank.clone(),
        charge: cylinder.charge,
        number: spec.number,
        lowest: hardest(&schedule).unwrap_or(solution.rig.site.air_pressure),
        every: Some(asked.every.unwrap_or_else(|| interval(whole_s))),
        floor: asked.floor,
        hottest: solution.rig.site.hottest.map(|temperature| Hottest {
            temperature,
            relief: spec.relief_pressure,
            rating: spec.rating,
        }),
        superheat: kelvin_difference(SUPERHEAT_K),
        heating_value: solution
            .stoichiometry
            .as_ref()
            .ok()
            .map(|s| s.lower_heating_value),
        coil: asked.coil,
        schedule,
    };
    let answer = answer(&question).map_err(|e| solution.why(&e))?;
    Ok(StudiedRun {
        question,
        answer,
        from_plan,
    })
}

/// Highest of the least pressures of all steps that draw.
fn hardest(schedule: &Schedule) -> Option<AbsolutePressure> {
    let drawing = schedule.steps.iter().filter(|s| s.draw.value > 0.0);
    drawing
        .filter_map(|s| s.lowest_pressure)
        .max_by(|a, b| a.pascals().total_cmp(&b.pascals()))
}

/// An interval that people count in, and a number of rows that can be drawn.
fn interval(whole_s: f64) -> Time {
    let fits = |s: &f64| whole_s / s <= ROWS;
    seconds(
        INTERVALS_S
            .into_iter()
            .find(fits)
            .unwrap_or(whole_s / ROWS)
            .max(1e-3),
    )
}

// ---- duties --------------------------------------------------------------------------------------

fn duties(
    solution: &Solution<'_>,
    solved: &TankSolution,
    schedule: Option<&Schedule>,
) -> Vec<DutyStudy> {
    let cylinder = &solved.cylinder;
    let rest = nearly_empty(solution, solved);
    let of_duty = |duty: &TankDuty| {
        let given = solution.rig.duties.iter().find(|d| d.name == duty.name);
        let longest = schedule
            .and_then(|s| longest_draw(s, &duty.name))
            .or(given.and_then(|d| d.duration));
        let lowest = duty.lowest.as_ref().map_err(Clone::clone);
        let heat = cylinder.heat.as_ref().map_err(|e| solution.why(e));
        let largest = match (&lowest, longest, &heat) {
            (Err(why), ..) | (_, _, Err(why)) => Err(why.clone()),
            (_, None, _) => Err("no step and no `duration` says for how long".to_owned()),
            (Ok(lowest), Some(longest), Ok(())) => {
                let phase = phase(solution);
                let (tank, charge) = (&cylinder.tank, &cylinder.charge);
                largest_short_draw(tank, charge, phase, longest, lowest.pressure)
                    .map_err(|e| solution.why(&e))
            }
        };
        let sustainable_nearly_empty = lowest.and_then(|lowest| {
            heat?;
            let (tank, charge) = rest.as_ref().map_err(Clone::clone)?;
            sustainable_draw(tank, charge, lowest.pressure)
                .map(|s| s.draw)
                .map_err(|e| solution.why(&e))
        });
        DutyStudy {
            longest,
            largest,
            sustainable_nearly_empty,
        }
    };
    solved.duties.iter().map(of_duty).collect()
}

fn phase(solution: &Solution<'_>) -> Drawn {
    match solution.rig.supply.tank().map(|t| t.draw) {
        Some(Draw::Liquid) => Drawn::Liquid,
        _ => Drawn::Vapour,
    }
}

/// Longest time a duty is drawn without a break in one round of the schedule.
fn longest_draw(schedule: &Schedule, name: &str) -> Option<Time> {
    let (mut longest_s, mut now_s) = (0.0_f64, 0.0_f64);
    for step in &schedule.steps {
        let drawn = |s: &Step| s.name == name && s.draw.value > 0.0;
        now_s = if drawn(step) {
            now_s + step.duration.value
        } else {
            0.0
        };
        longest_s = longest_s.max(now_s);
    }
    (longest_s > 0.0).then(|| seconds(longest_s))
}

/// One cylinder with the last of its liquid.
fn nearly_empty(solution: &Solution<'_>, solved: &TankSolution) -> Result<(Tank, Charge), String> {
    let (tank, charge) = (&solved.cylinder.tank, &solved.cylinder.charge);
    let start = solved.start.as_ref().map_err(Clone::clone)?;
    if start.liquid_composition.is_none() {
        return Err("the tank holds gas alone".to_owned());
    }
    let share = ratio(NEARLY_EMPTY);
    let backend = match phase(solution) {
        Drawn::Vapour => boiled_down(tank.backend.as_ref(), share, charge.temperature)
            .map_err(|e| solution.why(&e))?,
        Drawn::Liquid => Arc::clone(&tank.backend),
    };
    let tank = Tank {
        backend,
        ..tank.clone()
    };
    let charge = Charge {
        mass: start.liquid * NEARLY_EMPTY + start.vapour,
        ..*charge
    };
    Ok((tank, charge))
}

// ---- over temperature ----------------------------------------------------------------------------

fn warmth(
    solution: &Solution<'_>,
    spec: &TankSpec,
    solved: &TankSolution,
) -> Result<Vec<Warmth>, String> {
    let site = &solution.rig.site;
    let start_k = solved.cylinder.charge.temperature.value;
    let coldest_k = site
        .coldest
        .map_or(site.ambient.value - COLDER_K, |t| t.value);
    let bath_k = spec.water_bath.map_or(site.ambient.value, |t| t.value);
    let hottest_k = site.hottest.map_or(site.ambient.value, |t| t.value);
    let all = [coldest_k, site.ambient.value, start_k, bath_k, hottest_k];
    let low_k = all.into_iter().fold(f64::INFINITY, f64::min);
    let high_k = all.into_iter().fold(0.0, f64::max);
    let step_k = if high_k - low_k > WIDE_K {
        STEPS_K.1
    } else {
        STEPS_K.0
    };
    // on whole degrees Celsius
    let (first, last) = (
        ((low_k - 273.15) / step_k).floor(),
        ((high_k - 273.15) / step_k).ceil(),
    );
    let mut temperatures = Vec::new();
    let mut at = first;
    while at <= last {
        temperatures.push(kelvin(273.15 + at * step_k));
        at += 1.0;
    }
    let full = &solution.fluid;
    let rest = match spec.draw {
        Draw::Vapour => boiled_down(
            full.as_ref(),
            ratio(NEARLY_EMPTY),
            solved.cylinder.charge.temperature,
        )
        .map_err(|e| solution.why(&e))?,
        Draw::Liquid => Arc::clone(full),
    };
    let rows =
        table(full.as_ref(), rest.as_ref(), &temperatures).map_err(|error| solution.why(&error))?;
    let feeds = |p: &VapourPressure| {
        let fed = |d: &TankDuty| {
            let least_pa = d.lowest.as_ref().ok()?.pressure.pascals();
            Some((
                p.full.pascals() >= least_pa,
                p.nearly_empty.pascals() >= least_pa,
            ))
        };
        solved.duties.iter().map(fed).collect()
    };
    Ok(rows
        .into_iter()
        .map(|pressures| Warmth {
            feeds: feeds(&pressures),
            pressures,
        })
        .collect())
}
