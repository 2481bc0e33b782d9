//! The tank of a rig at length: its run carried to the end with every remedy, the tank over temperature, a
//! blend as it empties, and what the wall has to hold.

use super::Solution;
use super::tank::{TankDuty, TankSolution, schedule};
use crate::eos::{Backend, MoleFractions};
use crate::mass::density::density;
use crate::quantity::{
    AbsolutePressure, GaugePressure, Length, Mass, MassRate, PressureDifference, Ratio,
    ThermodynamicTemperature, Time, VolumeRate, kelvin, kelvin_difference, kilograms,
    kilograms_per_cubic_metre, metres, pascals_gauge, ratio, seconds, square_metres,
};
use crate::tank::answer::{Answer, CoilAsked, Hottest, Question, answer};
use crate::tank::capability::{largest_short_draw, sustainable_draw};
use crate::tank::filling::pressure_when_warmed;
use crate::tank::record::dew_point_of_drawn;
use crate::tank::relief::{hoop_stress, least_design_pressure, relief_air_flow};
use crate::tank::schedule::{Drawn, Schedule, Step};
use crate::tank::vapour_pressure::{NEARLY_EMPTY, VapourPressure, boiled_down, table};
use crate::tank::vessel::{Charge, Tank};
use crate::train::rig::{TankSpec, WallMaterial};
use crate::train::{Draw, Material};
use std::f64::consts::PI;
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
/// Shares of the liquid at which an emptying blend is looked at, the last one nearly empty.
const SHARES: [f64; 7] = [1.0, 0.8, 0.6, 0.4, 0.2, 0.1, NEARLY_EMPTY];
/// Steps of the table over temperature, K, and the span above which the wider is taken.
const STEPS_K: (f64, f64) = (5.0, 10.0);
const WIDE_K: f64 = 50.0;
/// How far below the site the table reaches where no coldest temperature is given, K.
const COLDER_K: f64 = 20.0;
/// Warming past liquid-full at which the pressure is shown, K.
pub const PAST_FULL_K: f64 = 10.0;
/// 100 °F in K, at which containers are classed.
const HUNDRED_FAHRENHEIT_K: f64 = 310.927_777_777_777_8;
const BISECTIONS: usize = 20;

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
    /// Draw that can be kept up for ever by a nearly empty cylinder.
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

/// A blend that is drawn as vapour until it is nearly empty, slowly and at one temperature.
#[derive(Debug, Clone)]
pub struct Emptying {
    /// That temperature: of what surrounds the tank.
    pub temperature: ThermodynamicTemperature,
    /// Pressure of the line for which dew points are given; the highest of all duties.
    pub line: Option<AbsolutePressure>,
    /// What is in the tank and what is drawn.
    pub rows: Vec<Emptied>,
    /// What each duty leaves in the tank, in the order of the duties.
    pub unusable: Vec<Option<Unusable>>,
}

/// A blend partly drawn off.
#[derive(Debug, Clone, Copy)]
pub struct Emptied {
    /// Moles of liquid over those at the start.
    pub left: Ratio,
    /// Composition of the liquid.
    pub liquid: MoleFractions,
    /// Composition of what is drawn.
    pub vapour: MoleFractions,
    /// Pressure.
    pub pressure: AbsolutePressure,
    /// Dew point of what is drawn at the pressure of the line.
    pub dew_point: Option<ThermodynamicTemperature>,
}

/// The heavy rest that a duty cannot use.
#[derive(Debug, Clone, Copy)]
pub struct Unusable {
    /// Mass of liquid left in one cylinder when the pressure is down to what the duty needs; that of the
    /// nearly empty tank if it is used to there.
    pub mass: Mass,
    /// Share of the liquid at the start, by mass.
    pub share: Ratio,
    /// Its composition.
    pub liquid: MoleFractions,
    /// Whether the duty is still fed there: the tank was looked at no further.
    pub still_fed: bool,
}

/// What the wall of a cylinder has to hold.
#[derive(Debug, Clone)]
pub struct Strength {
    /// Vapour pressure at 100 °F, and the least design pressure of a container for it.
    pub design: Result<(GaugePressure, GaugePressure), String>,
    /// Air that a relief valve of a container of this surface must pass; `None` where its size is not given.
    pub relief_air: Option<VolumeRate>,
    /// Stress of the wall; `None` where its thickness or diameter is not known.
    pub wall: Option<WallStress>,
    /// Pressure when warmed [`PAST_FULL_K`] past liquid-full; `None` if it never fills up or that is beyond the
    /// equation.
    pub past_full: Option<AbsolutePressure>,
}

/// Hoop stress of a wall, seamless.
#[derive(Debug, Clone, Copy)]
pub struct WallStress {
    /// Thickness.
    pub thickness: Length,
    /// Whether that is a mean from mass, surface and density.
    pub from_mass: bool,
    /// On the hottest day.
    pub hottest: Option<PressureDifference>,
    /// At the rated pressure.
    pub rated: Option<PressureDifference>,
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
    let emptying = emptying(solution, spec, solved);
    let study = TankStudy {
        duties: duties(solution, solved, planned.as_ref().ok().map(|p| &p.0)),
        warmth: warmth(solution, spec, solved),
        strength: strength(solution, spec, solved),
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
    cylinder.heat.as_ref().map_err(ToString::to_string)?;
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
    let answer = answer(&question).map_err(|e| e.to_string())?;
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
        let heat = cylinder.heat.as_ref().map_err(ToString::to_string);
        let largest = match (&lowest, longest, &heat) {
            (Err(why), ..) | (_, _, Err(why)) => Err(why.clone()),
            (_, None, _) => Err("no step and no `duration` says for how long".to_owned()),
            (Ok(lowest), Some(longest), Ok(())) => {
                let phase = phase(solution);
                let (tank, charge) = (&cylinder.tank, &cylinder.charge);
                largest_short_draw(tank, charge, phase, longest, lowest.pressure)
                    .map_err(|e| e.to_string())
            }
        };
        let sustainable_nearly_empty = lowest.and_then(|lowest| {
            heat?;
            let (tank, charge) = rest.as_ref().map_err(Clone::clone)?;
            sustainable_draw(tank, charge, lowest.pressure)
                .map(|s| s.draw)
                .map_err(|e| e.to_string())
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
            .map_err(|e| e.to_string())?,
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
        .map_err(|e| e.to_string())?,
        Draw::Liquid => Arc::clone(full),
    };
    let rows =
        table(full.as_ref(), rest.as_ref(), &temperatures).map_err(|error| error.to_string())?;
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

// ---- emptying ------------------------------------------------------------------------------------

fn emptying(
    solution: &Solution<'_>,
    spec: &TankSpec,
    solved: &TankSolution,
) -> Option<Result<Emptying, String>> {
    let start = solved.start.as_ref().ok()?;
    let first = start.liquid_composition?;
    if first.len() < 2 || spec.draw == Draw::Liquid {
        return None;
    }
    let temperature = spec.water_bath.unwrap_or(solution.rig.site.ambient);
    let line = solved
        .duties
        .iter()
        .filter_map(|d| d.line_pressure)
        .max_by(|a, b| a.pascals().total_cmp(&b.pascals()));
    let found = emptied(solution, solved, &first, temperature, line);
    Some(found.map_err(|e| e.to_string()))
}

fn emptied(
    solution: &Solution<'_>,
    solved: &TankSolution,
    first: &MoleFractions,
    temperature: ThermodynamicTemperature,
    line: Option<AbsolutePressure>,
) -> Result<Emptying, crate::tank::TankError> {
    let mut backends: Vec<Arc<dyn Backend>> = Vec::with_capacity(SHARES.len());
    let mut rows = Vec::with_capacity(SHARES.len());
    for (k, &left) in SHARES.iter().enumerate() {
        let backend = match backends.last() {
            None => solution.fluid.recomposed(first)?,
            Some(before) => boiled_down(before.as_ref(), ratio(left / SHARES[k - 1]), temperature)?,
        };
        let e = backend.bubble_t(temperature.value)?;
        let vapour = e.vapour.mole_fractions;
        rows.push(Emptied {
            left: ratio(left),
            liquid: e.liquid.mole_fractions,
            vapour,
            pressure: crate::quantity::pascals_absolute(e.pressure_pa),
            dew_point: line
                .and_then(|p| dew_point_of_drawn(&solved.cylinder.tank, &vapour, p).ok()),
        });
        backends.push(backend);
    }
    let unusable = solved
        .duties
        .iter()
        .map(|d| {
            let least_pa = d.lowest.as_ref().ok()?.pressure.pascals();
            unusable(solved, &rows, &backends, temperature, least_pa)
        })
        .collect();
    Ok(Emptying {
        temperature,
        line,
        rows,
        unusable,
    })
}

/// Where the pressure is down to what a duty needs; between two rows by bisection.
fn unusable(
    solved: &TankSolution,
    rows: &[Emptied],
    backends: &[Arc<dyn Backend>],
    temperature: ThermodynamicTemperature,
    least_pa: f64,
) -> Option<Unusable> {
    let start_kg = solved.start.as_ref().ok()?.liquid.value;
    let molar = |b: &dyn Backend| b.molar_mass_kg_mol();
    let of = |left: f64, rest: &dyn Backend, still_fed: bool| {
        let share = left * molar(rest) / molar(backends[0].as_ref());
        Unusable {
            mass: kilograms(start_kg * share),
            share: ratio(share),
            liquid: MoleFractions::new(&rest.composition().mole_fractions()),
            still_fed,
        }
    };
    let Some(k) = rows.iter().position(|r| r.pressure.pascals() < least_pa) else {
        let (last, rest) = (rows.last()?, backends.last()?);
        return Some(of(last.left.value, rest.as_ref(), true));
    };
    if k == 0 {
        return Some(of(1.0, backends[0].as_ref(), false));
    }
    let before = backends[k - 1].as_ref();
    let from = rows[k - 1].left.value;
    let (mut fed, mut not) = (from, rows[k].left.value);
    let mut rest = Arc::clone(&backends[k - 1]);
    for _ in 0..BISECTIONS {
        let middle = 0.5 * (fed + not);
        let trial = boiled_down(before, ratio(middle / from), temperature).ok()?;
        if trial.bubble_t(temperature.value).ok()?.pressure_pa >= least_pa {
            (fed, rest) = (middle, trial);
        } else {
            not = middle;
        }
    }
    Some(of(fed, rest.as_ref(), false))
}

// ---- strength ------------------------------------------------------------------------------------

fn strength(solution: &Solution<'_>, spec: &TankSpec, solved: &TankSolution) -> Strength {
    let fluid = solution.fluid.as_ref();
    let design = fluid
        .bubble_t(HUNDRED_FAHRENHEIT_K)
        .map_err(|e| e.to_string())
        .and_then(|e| {
            let standard = AbsolutePressure::STANDARD_ATMOSPHERE.pascals();
            let gauge = pascals_gauge(e.pressure_pa - standard);
            let least = least_design_pressure(gauge).map_err(|e| e.to_string())?;
            Ok((gauge, least))
        });
    let area_m2 = spec.diameter.zip(spec.length).map(|(d, l)| {
        let (d_m, l_m) = (d.value, l.value);
        PI * d_m * (l_m + 0.5 * d_m)
    });
    let past_full = solved.filling.liquid_full.and_then(|full| {
        let mean = kilograms_per_cubic_metre(solved.filling.mass.value / spec.volume.value);
        pressure_when_warmed(fluid, mean, kelvin(full.value + PAST_FULL_K)).ok()
    });
    Strength {
        design,
        relief_air: area_m2.and_then(|a| relief_air_flow(square_metres(a)).ok()),
        wall: wall_stress(solution, spec, solved, area_m2),
        past_full,
    }
}

fn wall_stress(
    solution: &Solution<'_>,
    spec: &TankSpec,
    solved: &TankSolution,
    area_m2: Option<f64>,
) -> Option<WallStress> {
    let diameter = spec.diameter?;
    let metal = match spec.wall_material? {
        WallMaterial::Steel => Some(Material::CarbonSteel),
        WallMaterial::Aluminium => Some(Material::Aluminium),
        WallMaterial::Composite => None,
    };
    let from_mass = || {
        let volume_m3 = spec.wall_mass?.value / density(&metal?)?.value;
        Some(metres(volume_m3 / area_m2?))
    };
    let thickness = spec.wall_thickness.or_else(from_mass)?;
    let outside = solution.rig.site.air_pressure;
    let stress = |inside: AbsolutePressure| {
        hoop_stress(inside, outside, diameter, thickness, ratio(1.0)).ok()
    };
    Some(WallStress {
        thickness,
        from_mass: spec.wall_thickness.is_none(),
        hottest: solved
            .hottest
            .as_ref()
            .ok()
            .and_then(|hot| stress(hot.pressure)),
        rated: spec.rating.and_then(stress),
    })
}
