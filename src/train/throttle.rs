//! A metering valve in its train: opening, flow, mixture; resolution, authority, size.

use super::characteristic::{OpeningError, flow_coefficient, least_controllable, opening};
use super::components::Valve;
use super::network::ENOUGH;
use super::solution::{PartProblem, Solution, TrainError};
use super::solve::{Setting, Target, flow_for_openings, flow_near, openings_for_flows, valve_of};
use super::{Chamber, Characteristic, Conditions, End, Part, PartKind, Run, Train};
use crate::quantity::{
    AbsolutePressure, FlowCoefficient, MassRate, Ratio, kilograms_per_second, ratio,
};

/// Highest opening wanted at the largest duty. Common practice, no source.
const HIGHEST_OPENING: f64 = 0.9;
/// Lowest opening wanted at the smallest duty. Common practice, no source.
const LOWEST_OPENING: f64 = 0.1;

/// A duty as the throttle meets it.
#[derive(Debug, Clone, PartialEq)]
pub struct DutyPoint {
    /// Name.
    pub name: String,
    /// Fuel flow wanted.
    pub fuel: MassRate,
    /// Dry air that goes with it.
    pub air: MassRate,
    /// Pressure of the chamber.
    pub chamber: AbsolutePressure,
}

/// What the curve is made for.
#[derive(Debug, Clone)]
pub struct ThrottleSetup<'a> {
    /// Train.
    pub train: &'a Train,
    /// Conditions; the chamber pressure of `outlet` is taken from the duties.
    pub conditions: &'a Conditions<'a>,
    /// Metering valve.
    pub throttle: &'a str,
    /// Outlet that it feeds.
    pub outlet: &'a str,
    /// Mass of air that just burns a mass of fuel.
    pub air_fuel_ratio: f64,
    /// Duties, in any order; at least one.
    pub duties: &'a [DutyPoint],
}

/// One point of the throttle curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvePoint {
    /// Opening.
    pub opening: f64,
    /// Flow coefficient there.
    pub kv: FlowCoefficient,
    /// Fuel flow of the outlet.
    pub flow: MassRate,
    /// Equivalence ratio with the air of the duties, straight between those on the operating line (from the
    /// duty with the most air down, as long as fuel falls too).
    pub equivalence_ratio: Ratio,
    /// Chamber pressure at that flow.
    pub chamber: AbsolutePressure,
    /// The valve is choked.
    pub choked: bool,
}

/// The throttle at one duty.
#[derive(Debug, Clone, PartialEq)]
pub struct DutySetting {
    /// Duty.
    pub duty: String,
    /// Opening, or why there is none.
    pub opening: Result<f64, TrainError>,
    /// Flow coefficient needed; `None` where the train cannot pass the flow at any.
    pub kv: Option<FlowCoefficient>,
    /// Relative change of flow for one step of the drive; `None` without steps.
    pub flow_per_step: Option<f64>,
    /// Change of the equivalence ratio for one step.
    pub equivalence_ratio_per_step: Option<f64>,
    /// The solution with that opening.
    pub solution: Option<Solution>,
}

/// A throttle judged.
#[derive(Debug, Clone, PartialEq)]
pub struct ThrottleStudy {
    /// Opening, flow and mixture over the whole travel.
    pub curve: Vec<CurvePoint>,
    /// Each duty, in the order given.
    pub duties: Vec<DutySetting>,
    /// Drop over the open valve over the drop from the last regulator (or the tank) to the chamber, at full
    /// opening: near 1 the valve rules the flow, near 0 the rest of the train does.
    pub authority: Option<f64>,
    /// Full-open flow coefficients with which the largest duty is at most 90 % open and the smallest at
    /// least 10 %, for a valve of the same characteristic; `None` where no valve does both.
    pub full_open_range: Option<(FlowCoefficient, FlowCoefficient)>,
}

/// Studies a throttle: curve of `points` openings (none for 0), each duty, resolution, authority and size range.
///
/// **Valid:** as [`flow_for_openings`]. **Errors:** [`TrainError`]; a duty that cannot be reached is not an
/// error of the study but stands in its result. **Source:** those of the flow laws; wanted openings
/// between 10 and 90 % are common practice.
///
/// # Errors
/// [`TrainError`] if the train cannot be solved at all.
pub fn throttle_study(setup: &ThrottleSetup, points: u32) -> Result<ThrottleStudy, TrainError> {
    let solved = |duty: &DutyPoint| {
        let conditions = with_chamber(setup, &Chamber::Fixed(duty.chamber));
        let target = Target {
            outlet: setup.outlet.to_owned(),
            flow: duty.fuel,
            throttle: setup.throttle.to_owned(),
        };
        let (settings, solution) = openings_for_flows(setup.train, &conditions, &[target])?;
        let setting = settings.into_iter().next();
        setting
            .map(|s| (s, solution))
            .ok_or_else(|| TrainError::Shape {
                why: "no opening was looked for".into(),
            })
    };
    let solved = |duty: &DutyPoint| (setup.train.clone(), solved(duty));
    study_of(setup, setup.duties.iter().map(solved), points)
}

/// A train, the opening that was found in it, and what flows with it.
pub(super) type Set = (Train, Result<(Setting, Solution), TrainError>);

/// As [`throttle_study`], of duties that are solved.
///
/// # Errors
/// As there.
pub(super) fn study_of(
    setup: &ThrottleSetup,
    solved: impl Iterator<Item = Set>,
    points: u32,
) -> Result<ThrottleStudy, TrainError> {
    let valve = valve_of(setup.train, setup.throttle)?;
    if setup.duties.is_empty() {
        return Err(TrainError::Shape {
            why: "no duty is given for the throttle".into(),
        });
    }
    let each = setup.duties.iter().zip(solved);
    let duties: Vec<DutySetting> = each
        .map(|(d, found)| duty_setting(setup, valve, d, found))
        .collect();
    let needed: Vec<f64> = duties
        .iter()
        .filter_map(|d| d.kv)
        .map(FlowCoefficient::kv)
        .collect();
    Ok(ThrottleStudy {
        curve: curve(setup, valve, points)?,
        authority: authority(setup)?,
        full_open_range: full_open_range(valve, &needed),
        duties,
    })
}

fn with_opening(mut train: Train, throttle: &str, opening: f64) -> Train {
    if let Some(valve) = train.part_mut(throttle).and_then(|p| p.kind.valve_mut()) {
        valve.opening = opening;
    }
    train
}

/// Conditions with the chamber of the throttle's outlet replaced.
fn with_chamber<'a>(setup: &ThrottleSetup<'a>, chamber: &Chamber) -> Conditions<'a> {
    let outlets = setup.train.outlets();
    let mut chambers: Vec<Chamber> = (0..outlets.len())
        .map(|i| {
            setup
                .conditions
                .chamber(i)
                .cloned()
                .unwrap_or_else(|| chamber.clone())
        })
        .collect();
    for (own, outlet) in chambers.iter_mut().zip(outlets) {
        if outlet.name == setup.outlet {
            *own = chamber.clone();
        }
    }
    Conditions {
        chambers,
        ..setup.conditions.clone()
    }
}

/// The operating line: fuel, air and chamber pressure of the duties, all rising. From the duty with the most
/// air down, a duty counts if it wants less fuel than the one before; others (a rich light-up) lie off the
/// line.
fn rising(duties: &[DutyPoint]) -> Vec<(f64, f64, AbsolutePressure)> {
    let mut points: Vec<_> = duties
        .iter()
        .map(|d| (d.fuel.value, d.air.value, d.chamber))
        .collect();
    points.sort_by(|a, b| b.1.total_cmp(&a.1).then(b.0.total_cmp(&a.0)));
    let mut line: Vec<(f64, f64, AbsolutePressure)> = Vec::new();
    for p in points {
        if line.last().is_none_or(|last| p.0 < last.0 * (1.0 - 1e-12)) {
            line.push(p);
        }
    }
    line.reverse();
    line
}

/// Air at a fuel flow: straight between the duties, with the mixture of the nearest duty outside.
fn air_at(points: &[(f64, f64, AbsolutePressure)], fuel: f64) -> f64 {
    let (Some(first), Some(last)) = (points.first(), points.last()) else {
        return f64::NAN;
    };
    if fuel <= first.0 {
        return first.1;
    }
    if fuel >= last.0 {
        return last.1;
    }
    points
        .windows(2)
        .find(|w| fuel <= w[1].0)
        .map_or(last.1, |w| {
            w[0].1 + (w[1].1 - w[0].1) * (fuel - w[0].0) / (w[1].0 - w[0].0)
        })
}

fn curve(setup: &ThrottleSetup, valve: &Valve, points: u32) -> Result<Vec<CurvePoint>, TrainError> {
    if points == 0 {
        return Ok(Vec::new());
    }
    let rising = rising(setup.duties);
    let following = rising
        .iter()
        .map(|(m, _, p)| (kilograms_per_second(*m), *p))
        .collect();
    let chamber = Chamber::Following(following);
    let conditions = with_chamber(setup, &chamber);
    let n = points.clamp(2, 2000);
    let mut last = None;
    (1..=n)
        .map(|i| {
            let opening = f64::from(i) / f64::from(n);
            let opened = with_opening(setup.train.clone(), setup.throttle, opening);
            let solved = match last {
                Some(last) => flow_near(&opened, &conditions, last, ENOUGH)?,
                None => flow_for_openings(&opened, &conditions)?,
            };
            let flow = solved
                .outlet(setup.outlet)
                .map_or(kilograms_per_second(0.0), |o| o.flow);
            last = Some(solved.flow);
            let kv = flow_coefficient(valve, opening).map_err(|e| failed(setup, e))?;
            let air = air_at(&rising, flow.value);
            Ok(CurvePoint {
                opening,
                kv,
                flow,
                equivalence_ratio: ratio(flow.value * setup.air_fuel_ratio / air),
                chamber: chamber.pressure(flow),
                choked: solved.part(setup.throttle).is_some_and(|p| p.choked),
            })
        })
        .collect()
}

fn failed(setup: &ThrottleSetup, e: OpeningError) -> TrainError {
    TrainError::Part {
        part: setup.throttle.to_owned(),
        problem: e.into(),
    }
}

fn duty_setting(
    setup: &ThrottleSetup,
    valve: &Valve,
    duty: &DutyPoint,
    (train, found): Set,
) -> DutySetting {
    let mut setting = DutySetting {
        duty: duty.name.clone(),
        opening: Ok(0.0),
        kv: None,
        flow_per_step: None,
        equivalence_ratio_per_step: None,
        solution: None,
    };
    match found {
        Ok((found, solution)) => {
            setting.opening = Ok(found.opening);
            setting.kv = Some(found.kv);
            setting.solution = Some(solution);
            if let Some(steps) = valve.steps.filter(|n| *n > 0) {
                let change = one_step(setup, train, duty, found.opening, steps);
                setting.flow_per_step = change;
                let phi = duty.fuel.value * setup.air_fuel_ratio / duty.air.value;
                setting.equivalence_ratio_per_step = change.map(|c| c * phi);
            }
        }
        Err(error) => {
            // a valve of the wrong size still says what it would have to be
            if let TrainError::Part {
                problem: PartProblem::Opening(wrong),
                ..
            } = &error
            {
                setting.kv = match wrong {
                    OpeningError::TooSmall { wanted_m3_h, .. }
                    | OpeningError::TooLarge { wanted_m3_h, .. } => {
                        Some(FlowCoefficient::from_kv(*wanted_m3_h))
                    }
                    _ => None,
                };
            }
            setting.opening = Err(error);
        }
    }
    setting
}

/// Relative change of flow for one step, up if there is room, else down.
fn one_step(
    setup: &ThrottleSetup,
    train: Train,
    duty: &DutyPoint,
    opening: f64,
    steps: u32,
) -> Option<f64> {
    let conditions = with_chamber(setup, &Chamber::Fixed(duty.chamber));
    let step = 1.0 / f64::from(steps);
    let next = if opening + step <= 1.0 {
        opening + step
    } else {
        opening - step
    };
    if next <= 0.0 {
        return None;
    }
    let near = duty.fuel * (next / opening);
    let solved = flow_near(
        &with_opening(train, setup.throttle, next),
        &conditions,
        near,
        ENOUGH,
    )
    .ok()?;
    let flow = solved.outlet(setup.outlet)?.flow.value;
    Some((flow / duty.fuel.value - 1.0).abs())
}

/// Drop over the open throttle over the drop from the last regulator before it to the chamber.
fn authority(setup: &ThrottleSetup) -> Result<Option<f64>, TrainError> {
    let points = rising(setup.duties);
    let Some((_, _, chamber)) = points.last() else {
        return Ok(None);
    };
    let conditions = with_chamber(setup, &Chamber::Fixed(*chamber));
    let open = with_opening(setup.train.clone(), setup.throttle, 1.0);
    let solved = flow_for_openings(&open, &conditions)?;
    let Some(i) = solved.parts.iter().position(|p| p.part == setup.throttle) else {
        return Ok(None);
    };
    let regulated = solved.parts[..i]
        .iter()
        .rev()
        .find(|p| open.part(&p.part).is_some_and(Part::is_regulator));
    let from = regulated.map_or_else(
        || {
            solved
                .sources
                .first()
                .map_or(f64::NAN, |s| s.tank.pressure.pascals())
        },
        |r| r.outlet.pressure.pascals(),
    );
    let drop = solved.parts[i].pressure_drop().pascals();
    let total = from - chamber.pascals();
    Ok((total > 0.0).then(|| (drop / total).clamp(0.0, 1.0)))
}

/// Full-open flow coefficients that leave the largest duty below, and the smallest above, the wanted
/// openings.
fn full_open_range(valve: &Valve, needed: &[f64]) -> Option<(FlowCoefficient, FlowCoefficient)> {
    let most = needed.iter().copied().fold(f64::NAN, f64::max);
    let least = needed.iter().copied().fold(f64::NAN, f64::min);
    // Kv over full Kv at the two openings wanted, from the valve's own curve
    let shape = |h: f64| {
        let full = flow_coefficient(valve, 1.0).ok()?.kv();
        let kv = flow_coefficient(valve, h).ok()?.kv();
        Some(kv / full)
    };
    if matches!(valve.characteristic, Characteristic::OnOff) {
        return None;
    }
    let floor = least_controllable(valve).ok()?.kv() / flow_coefficient(valve, 1.0).ok()?.kv();
    let smallest = most / shape(HIGHEST_OPENING)?;
    let largest = least / shape(LOWEST_OPENING)?.max(floor);
    (smallest <= largest).then(|| {
        (
            FlowCoefficient::from_kv(smallest),
            FlowCoefficient::from_kv(largest),
        )
    })
}

/// What a valve of another size would do at the duties: openings, with the flow coefficients needed
/// already known.
///
/// The same characteristic and style are taken; flow coefficients needed do not depend on the valve's
/// size.
pub fn openings_of_size(
    valve: &Valve,
    full_open: FlowCoefficient,
    needed: &[FlowCoefficient],
) -> Vec<Result<f64, OpeningError>> {
    let scale = full_open.kv() / valve.full_open.kv();
    let characteristic = match &valve.characteristic {
        Characteristic::Table(points) => Characteristic::Table(
            points
                .iter()
                .map(|(h, k)| (*h, FlowCoefficient::from_kv(k.kv() * scale)))
                .collect(),
        ),
        other => other.clone(),
    };
    let other = Valve {
        full_open,
        characteristic,
        ..valve.clone()
    };
    needed.iter().map(|kv| opening(&other, *kv)).collect()
}

/// The valve that sets the flow of an outlet: the last metering valve on the way to it, else the last
/// needle valve that can be set.
pub fn throttle_of(train: &Train, outlet: &str) -> Option<String> {
    let mut way = Vec::new();
    let found = way_to(&train.run, outlet, &mut way);
    if !found {
        return None;
    }
    let settable = |part: &&&Part| {
        part.kind
            .valve()
            .is_some_and(|v| v.characteristic != Characteristic::OnOff)
    };
    let last = |metering: bool| {
        way.iter()
            .rev()
            .filter(|p| matches!(p.kind, PartKind::MeteringValve(_)) == metering)
            .filter(|p| metering || matches!(p.kind, PartKind::NeedleValve(_)))
            .find(settable)
            .map(|p| p.name.clone())
    };
    last(true).or_else(|| last(false))
}

fn way_to<'a>(run: &'a Run, outlet: &str, way: &mut Vec<&'a Part>) -> bool {
    let before = way.len();
    way.extend(&run.parts);
    let found = match &run.end {
        End::Outlet(o) => o.name == outlet,
        End::Split(runs) => runs.iter().any(|r| way_to(r, outlet, way)),
    };
    if !found {
        way.truncate(before);
    }
    found
}
