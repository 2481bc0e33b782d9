//! A tank of liquid and vapour that empties through a hole and chills as it does.

use super::decay::{Decay, Moment};
use super::release::{Hole, release};
use super::{LeakError, Release};
use crate::eos::{Backend, Phase, State};
use crate::flow::orifice::{Expansion, Stagnation, flux_of};
use crate::quantity::range::in_range_of;
use crate::quantity::{AbsolutePressure, Time, kilograms, kilograms_per_second, seconds};
use crate::tank::chilling;
use crate::tank::record::{Happening, RunOptions};
use crate::tank::schedule::{Drawn, Schedule, Step};
use crate::tank::vessel::{Charge, Contents, Tank};
use std::sync::Arc;

/// Most steps of an emptying.
const MOST_STEPS: usize = 120;
/// Share of the contents, and of the overpressure, that may go in one step.
const STEP_SHARE: f64 = 0.1;
/// It counts as empty when its overpressure has fallen to this share.
const END_SHARE: f64 = 0.01;
/// Largest fall of the logarithm of the flow over a step that is carried on from the last.
const LEAST_AHEAD: f64 = -1.0;
/// Share of the mass below which liquid counts as gone.
const LAST_DROP: f64 = 1e-3;
const TIMES_S: std::ops::RangeInclusive<f64> = 1e-3..=1e8;

/// A tank with a hole in it.
#[derive(Debug, Clone)]
pub struct LeakingTank {
    /// The tank.
    pub tank: Tank,
    /// What is in it at the start.
    pub charge: Charge,
    /// Which phase stands at the hole; liquid until it is gone, vapour then.
    pub phase: Drawn,
    /// Diameter and coefficient of the hole, as of its first moment.
    pub hole: Hole,
    /// Pressure outside.
    pub outside: AbsolutePressure,
    /// How liquid is taken to expand in the hole.
    pub expansion: Expansion,
}

/// Fluid and state that stand at the hole, and the first moment of the release.
///
/// # Errors
/// [`LeakError`].
pub fn first_release(leak: &LeakingTank) -> Result<(Arc<dyn Backend>, State, Release), LeakError> {
    let contents = leak.tank.contents(&leak.charge)?;
    let (fluid, state) = at_hole(&leak.tank, &contents, leak.phase)?;
    let up = Stagnation::of(fluid.as_ref(), state);
    let found = release(&up, leak.outside, &leak.hole, leak.expansion)?;
    Ok((fluid, state, found))
}

/// Whether there is liquid that can stand at a hole.
fn is_wet(contents: &Contents) -> bool {
    contents.liquid.value > LAST_DROP * contents.mass().value
}

/// Fluid that stands at the hole, and its state.
fn at_hole(
    tank: &Tank,
    contents: &Contents,
    phase: Drawn,
) -> Result<(Arc<dyn Backend>, State), LeakError> {
    let (composition, phase) = match (phase, &contents.liquid_composition) {
        (Drawn::Liquid, Some(x)) if is_wet(contents) => (*x, Phase::Liquid),
        _ => (contents.vapour_composition, Phase::Gas),
    };
    let fluid = tank.backend.recomposed(&composition)?;
    let (p_pa, t_k) = (contents.pressure.pascals(), contents.temperature.value);
    let state = fluid.state_pt_in(p_pa, t_k, phase)?;
    Ok((fluid, state))
}

/// Emptying of a tank through a hole.
///
/// The tank is drawn down in steps ([`crate::tank::chilling`]), each with the mean of the release at its
/// start and at its end; liquid and vapour stay in equilibrium, and the wall gives heat.
///
/// * `most` — longest time that is looked at
///
/// **Valid:** as the tank; the hole stays in the phase it began in until the liquid is gone.
/// **Errors:** [`LeakError`] at the start; what stops it later ends the course and is told.
/// **Source:** balances of mass, species and energy; `flow::orifice` for the flow.
///
/// # Errors
/// As above.
pub fn empty_tank(leak: &LeakingTank, most: Time) -> Result<Decay, LeakError> {
    let most_s = in_range_of("longest time", most.value, TIMES_S, "s")?;
    let outside_pa = leak.outside.pascals();
    let mut tank = leak.tank.clone();
    let mut contents = tank.contents(&leak.charge)?;
    let (_, _, first) = first_release(leak)?;
    let mut now = Now {
        phase: leak.phase,
        // the coefficient stays that of the first moment
        area_m2: first.coefficient.value * first.area.value,
        outside: leak.outside,
        expansion: leak.expansion,
    };
    let start_kg = contents.mass().value;
    let start_over = contents.pressure.pascals() - outside_pa;
    let (mut t_s, mut flow) = (0.0, first.flow.value);
    let mut course = vec![moment(t_s, &contents, flow, 0.0)];
    let mut ended_by = None;
    let mut dt_s = STEP_SHARE * start_kg / flow.max(1e-12);
    // how the logarithm of the flow changed over the last step, while the same stands at the hole
    let mut slope: Option<f64> = None;
    for _ in 0..MOST_STEPS {
        dt_s = dt_s
            .min(STEP_SHARE * start_kg / flow.max(1e-12))
            .min(0.5 * contents.mass().value / flow.max(1e-12))
            .min(most_s - t_s);
        if !(dt_s > 1e-9) {
            break;
        }
        // what condenses in the cold vapour later is mist: it does not stand at the hole again
        if !is_wet(&contents) && now.phase != Drawn::Vapour {
            now.phase = Drawn::Vapour;
            slope = None;
        }
        let ahead = slope.map(|slope| flow * (slope * dt_s).clamp(LEAST_AHEAD, 0.0).exp());
        let step = match stepped(&tank, &contents, &now, (flow, ahead), dt_s) {
            Ok(step) => step,
            Err(StepEnd::Shorter) => {
                dt_s *= 0.4;
                if dt_s < 1e-6 * t_s.max(1e-3) {
                    break;
                }
                continue;
            }
            Err(StepEnd::Why(why)) => {
                ended_by = Some(why);
                break;
            }
        };
        let fell = (contents.pressure.pascals() - step.contents.pressure.pascals())
            / (contents.pressure.pascals() - outside_pa).max(1.0);
        if fell > 3.0 * STEP_SHARE && dt_s > 1e-3 {
            dt_s *= 0.5;
            continue;
        }
        t_s += step.time_s;
        slope = Some((step.flow / flow).ln() / step.time_s).filter(|s| s.is_finite());
        contents = step.contents;
        tank = step.tank;
        flow = step.flow;
        course.push(moment(
            t_s,
            &contents,
            flow,
            start_kg - contents.mass().value,
        ));
        let over = contents.pressure.pascals() - outside_pa;
        if over <= END_SHARE * start_over || flow <= 0.0 {
            break;
        }
        dt_s = step.time_s * (2.0 * STEP_SHARE / fell.max(1e-9)).clamp(0.5, 2.0);
    }
    let over = contents.pressure.pascals() - outside_pa;
    let unfinished = over > END_SHARE * start_over && flow > 0.0 && t_s < most_s * (1.0 - 1e-9);
    if ended_by.is_none() && unfinished {
        ended_by = Some(format!("not empty after {MOST_STEPS} steps"));
    }
    let mut decay = Decay::of(course, kilograms(start_kg), outside_pa);
    decay.ended_by = ended_by;
    Ok(decay)
}

/// What stands at the hole, and the hole.
#[derive(Debug, Clone, Copy)]
struct Now {
    phase: Drawn,
    /// Its area times its coefficient.
    area_m2: f64,
    outside: AbsolutePressure,
    expansion: Expansion,
}

struct Stepped {
    tank: Tank,
    contents: Contents,
    flow: f64,
    time_s: f64,
}

enum StepEnd {
    /// The step was too long.
    Shorter,
    /// The course ends here.
    Why(String),
}

/// One step with the mean of the flow at its start and at its end; the latter carried on from the last step, or of a
/// trial step with the flow of the start.
fn stepped(
    tank: &Tank,
    contents: &Contents,
    now: &Now,
    (flow, ahead): (f64, Option<f64>),
    dt_s: f64,
) -> Result<Stepped, StepEnd> {
    let trial = || -> Result<f64, StepEnd> {
        let (end, _) = drawn(tank, contents, now.phase, flow, dt_s)?;
        let ran_dry = now.phase == Drawn::Liquid && !is_wet(&end);
        Ok(if ran_dry {
            // liquid to the end of the step: its flow goes about with the root of the overpressure
            let over = |c: &Contents| (c.pressure.pascals() - now.outside.pascals()).max(0.0);
            flow * (over(&end) / over(contents).max(1.0)).sqrt().min(1.0)
        } else {
            flow_of(tank, &end, now).unwrap_or(0.0)
        })
    };
    let mean = 0.5 * (flow + ahead.map_or_else(trial, Ok)?);
    let (end, time_s) = drawn(tank, contents, now.phase, mean, dt_s)?;
    let flow = flow_of(tank, &end, now).unwrap_or(0.0);
    let total = overall(tank, &end);
    let backend = tank
        .backend
        .recomposed(&total)
        .map_err(|e| StepEnd::Why(e.to_string()))?;
    Ok(Stepped {
        tank: Tank {
            backend,
            ..tank.clone()
        },
        contents: end,
        flow,
        time_s,
    })
}

fn flow_of(tank: &Tank, contents: &Contents, now: &Now) -> Option<f64> {
    let (fluid, state) = at_hole(tank, contents, now.phase).ok()?;
    let up = Stagnation::of(fluid.as_ref(), state);
    let (flux, _) = flux_of(&up, now.outside, now.expansion).ok()?;
    Some(now.area_m2 * flux)
}

/// Draws a mass flow for a time.
fn drawn(
    tank: &Tank,
    contents: &Contents,
    phase: Drawn,
    flow: f64,
    dt_s: f64,
) -> Result<(Contents, f64), StepEnd> {
    let phase = if is_wet(contents) {
        phase
    } else {
        Drawn::Vapour
    };
    let charge = Charge {
        mass: contents.mass(),
        temperature: contents.temperature,
    };
    let schedule = Schedule::once(Step {
        phase,
        ..Step::vapour("leak", kilograms_per_second(flow), seconds(dt_s))
    });
    let run = match chilling::run(tank, &charge, &schedule, &RunOptions::default()) {
        Ok(run) => run,
        // the last of the liquid is gone: what is left is gas
        Err(_) if phase == Drawn::Liquid && contents.liquid.value < 0.1 * contents.mass().value => {
            return drawn(tank, contents, Drawn::Vapour, flow, dt_s);
        }
        Err(e) => return Err(StepEnd::Why(e.to_string())),
    };
    if let Some(event) = run.events.iter().find(|e| e.what.is_failure()) {
        return match event.what {
            // the liquid ran out in the middle of the step: go on with vapour from there
            Happening::NoLiquid if event.time.value > 1e-6 * dt_s => {
                Ok((event.contents, event.time.value))
            }
            Happening::Empty | Happening::NoLiquid => Err(StepEnd::Shorter),
            what => Err(StepEnd::Why(what.text().to_owned())),
        };
    }
    if let Some(why) = &run.stopped_by {
        return Err(StepEnd::Why(why.clone()));
    }
    Ok((run.last().contents, run.end.value))
}

/// Composition of all that is in the tank.
fn overall(tank: &Tank, contents: &Contents) -> Vec<f64> {
    let Some(liquid) = &contents.liquid_composition else {
        return contents.vapour_composition.to_vec();
    };
    let masses: Vec<f64> = tank
        .backend
        .composition()
        .parts()
        .iter()
        .map(|p| p.fuel.molar_mass_kg_mol)
        .collect();
    let mean = |x: &[f64]| -> f64 { x.iter().zip(&masses).map(|(x, m)| x * m).sum() };
    let n_liquid = contents.liquid.value / mean(liquid);
    let n_vapour = contents.vapour.value / mean(&contents.vapour_composition);
    let total = n_liquid + n_vapour;
    liquid
        .iter()
        .zip(contents.vapour_composition.iter())
        .map(|(x, y)| (x * n_liquid + y * n_vapour) / total)
        .collect()
}

fn moment(t_s: f64, contents: &Contents, flow_kg_s: f64, left_kg: f64) -> Moment {
    Moment {
        time: seconds(t_s),
        pressure: contents.pressure,
        temperature: contents.temperature,
        flow: kilograms_per_second(flow_kg_s),
        left: kilograms(left_kg),
    }
}
