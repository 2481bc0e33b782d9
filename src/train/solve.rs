//! Flow through a train: for given openings, for given flows, and openings for given flows.

use super::answer::solution;
use super::law::Node;
use super::network::{Held, Network};
use super::records::Records;
use super::rows::key_of;
use super::solution::{Solution, TrainError};
use super::{Conditions, End, Run, Train, Valve};
use crate::numerics::edge::{Found, MAX_ITERATIONS, Range, Value, falling_root};
use crate::quantity::sentence::{flow as flow_rate, sentence};
use crate::quantity::{FlowCoefficient, MassRate};
use std::collections::BTreeSet;

/// Deepest branching, and most parts, that are taken on.
const MAX_DEPTH: usize = 8;
/// Most parts.
const MAX_PARTS: usize = 500;
/// Relative tolerance of an opening found by search.
const OPENING_TOLERANCE: f64 = 1e-12;

/// A flow that an outlet is to have, and the valve that is set for it.
#[derive(Debug, Clone, PartialEq)]
pub struct Target {
    /// Outlet.
    pub outlet: String,
    /// Flow it is to have.
    pub flow: MassRate,
    /// Valve that is set.
    pub throttle: String,
}

/// An opening that was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting {
    /// Valve.
    pub throttle: String,
    /// Opening, 0 to 1.
    pub opening: f64,
    /// Its flow coefficient there.
    pub kv: FlowCoefficient,
}

/// Flow through a train with every valve as it stands in `train`.
///
/// Mass is conserved at every node; pressure falls part by part by the law of each; total enthalpy changes
/// by heat, work and height only. Choking is found wherever it is: behind a choked part the pressure is
/// what the rest needs. Pressure is static and taken as continuous from part to part: kinetic energy of a
/// narrow part is not recovered in a wide one.
///
/// **Valid:** steady flow. Two-phase flow is homogeneous and in equilibrium, and flagged.
/// **Errors:** [`TrainError`], with the part and the reason. **Source:** those of the flow laws.
///
/// # Errors
/// [`TrainError`].
///
/// ```
/// use fuelwright::eos::backend;
/// use fuelwright::flow::valve::Style;
/// use fuelwright::flow::orifice::Expansion;
/// use fuelwright::fuel::{Composition, Library};
/// use fuelwright::quantity::{kelvin, kv, metres, pascals_absolute};
/// use fuelwright::train::*;
///
/// let library = Library::embedded();
/// let propane = backend(&library, &Composition::parse("propane", &library)?)?;
/// let needle = Part {
///     name: "needle".to_owned(),
///     kind: PartKind::NeedleValve(Valve {
///         bore: metres(0.004),
///         full_open: kv(0.02),
///         characteristic: Characteristic::Linear { rangeability: 20.0 },
///         opening: 0.5,
///         style: Style::NEEDLE,
///         steps: None,
///     }),
///     mass: None,
///     joints: Vec::new(),
///     rating: Rating::default(),
///     wetted: Vec::new(),
///     internal_volume: None,
///     closure: None,
///     catalogue: None,
///     protection: Protection::default(),
/// };
/// let ring = OutletLaw::Holes { number: 8, diameter: metres(0.001), discharge_coefficient: 0.84 };
/// let train = Train {
///     sources: vec![Source { name: "cylinder".into(), count: 1, draw: Draw::Vapour, parts: Vec::new() }],
///     run: Run {
///         name: "main".into(),
///         parts: vec![needle],
///         end: End::Outlet(Outlet { name: "ring".into(), law: ring }),
///     },
/// };
/// let conditions = Conditions {
///     fuel: propane.as_ref(),
///     supplies: vec![Supply::Saturated { temperature: kelvin(288.15) }],
///     ambient: kelvin(288.15),
///     chambers: vec![Chamber::Fixed(pascals_absolute(103e3))],
///     expansion: Expansion::Blend,
/// };
/// let solved = flow_for_openings(&train, &conditions)?;
/// assert!(solved.part("needle").expect("there").choked);
/// assert!(solved.flow.value > 5e-4 && solved.flow.value < 6.5e-4);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn flow_for_openings(train: &Train, conditions: &Conditions) -> Result<Solution, TrainError> {
    let tanks = tanks(train, conditions)?;
    let network = Network::new(train, conditions, Vec::new());
    let records = network.solve(&tanks)?;
    Ok(solution(train, &tanks, &records))
}

/// The same answer as [`flow_for_openings`], sooner where holes are dear: fed with vapour at its dew point.
///
/// While the flow is sought a plain gas law stands in for the holes; at the answer the holes themselves are
/// asked, and the law is brought to agree with them within 1e-9 of the flow. Where that leads nowhere, or
/// liquid leaves the tank, the holes are asked throughout.
///
/// **Valid:** as [`flow_for_openings`]. **Errors:** [`TrainError`]. **Source:** those of the flow laws.
///
/// # Errors
/// [`TrainError`].
pub fn flow_by_stand_in(train: &Train, conditions: &Conditions) -> Result<Solution, TrainError> {
    let tanks = tanks(train, conditions)?;
    let network = || Network::new(train, conditions, Vec::new());
    let records = match network().solve_by_stand_in(&tanks) {
        Some(records) => records,
        None => network().solve(&tanks)?,
    };
    Ok(solution(train, &tanks, &records))
}

/// The same answer as [`flow_for_openings`] to a relative tolerance, sought from about what flows; where that leads
/// nowhere, from the start.
///
/// **Valid:** as [`flow_for_openings`]. **Errors:** [`TrainError`]. **Source:** those of the flow laws.
///
/// # Errors
/// [`TrainError`].
pub fn flow_near(
    train: &Train,
    conditions: &Conditions,
    near: MassRate,
    tolerance: f64,
) -> Result<Solution, TrainError> {
    let tanks = tanks(train, conditions)?;
    let mut network = Network::new(train, conditions, Vec::new());
    network.tolerance = tolerance;
    network.remember(key_of(&train.run), near.value);
    match network.solve(&tanks) {
        Ok(records) => Ok(solution(train, &tanks, &records)),
        Err(_) => flow_for_openings(train, conditions),
    }
}

/// Pressure and temperature through a train whose outlets take the flows given, in order of
/// [`Train::outlets`]; the holes of the outlets are not asked what they pass.
///
/// **Valid:** as [`flow_for_openings`]. **Errors:** [`TrainError`]. **Source:** those of the flow laws.
///
/// # Errors
/// [`TrainError::Part`] if a part cannot pass its flow.
pub fn walk_for_flows(
    train: &Train,
    conditions: &Conditions,
    flows: &[MassRate],
) -> Result<Solution, TrainError> {
    let tanks = tanks(train, conditions)?;
    let outlets = train.outlets().len();
    if flows.len() != outlets {
        return Err(TrainError::Shape {
            why: format!("{} flows are given for {outlets} outlets", flows.len()).into(),
        });
    }
    let flows: Vec<f64> = flows.iter().map(|m| m.value).collect();
    let total: f64 = flows.iter().sum();
    if !(flows.iter().all(|m| *m >= 0.0) && total > 0.0 && total.is_finite()) {
        return Err(TrainError::Shape {
            why: "a flow is negative, or none is above zero".into(),
        });
    }
    let network = Network::new(train, conditions, Vec::new());
    let records = network.walk_given(&tanks, &flows)?;
    Ok(solution(train, &tanks, &records))
}

/// Openings of the throttles that give the outlets their flows; outlets without a target take what they
/// get. Also the solution with those openings, up to the last digits.
///
/// A throttle in the run that ends at its own outlet is set directly. One upstream of a split is found by
/// a search over its opening, one such throttle at most.
///
/// **Valid:** as [`flow_for_openings`]; one phase at the throttle. **Errors:** [`TrainError`].
/// **Source:** those of the flow laws.
///
/// # Errors
/// [`TrainError::NotEnoughPressure`], or [`TrainError::Part`] if the valve is too small, too large, or not
/// made to throttle.
pub fn openings_for_flows(
    train: &Train,
    conditions: &Conditions,
    targets: &[Target],
) -> Result<(Vec<Setting>, Solution), TrainError> {
    let tanks = tanks(train, conditions)?;
    let mut held = Vec::new();
    let mut searched = None;
    for target in targets {
        check_target(train, target)?;
        match run_of_outlet(&train.run, &target.outlet) {
            Some(run) if stands_in(train, run, &target.throttle) => held.push(Held {
                outlet: &target.outlet,
                throttle: &target.throttle,
                flow: target.flow.value,
            }),
            _ if searched.is_none() => searched = Some(target),
            _ => {
                return Err(TrainError::Shape {
                    why: "more than one throttle stands upstream of a split".into(),
                });
            }
        }
    }
    let open = opened(train, held.iter().map(|h| h.throttle));
    let Some(target) = searched else {
        let network = Network::new(&open, conditions, held);
        let records = network.solve(&tanks)?;
        let settings = settings(&records, &[]);
        return Ok((settings, solution(&open, &tanks, &records)));
    };
    let with = |opening: f64| -> Result<Train, TrainError> {
        let mut changed = open.clone();
        valve_mut(&mut changed, &target.throttle)?.opening = opening;
        Ok(changed)
    };
    let short = |opening: f64| -> Result<Value<()>, TrainError> {
        let changed = with(opening)?;
        let network = Network::new(&changed, conditions, held.clone());
        let records = network.solve(&tanks)?;
        let flow = flow_of(&records, &target.outlet);
        Ok(Value::At(
            (target.flow.value - flow) / (target.flow.value + flow),
        ))
    };
    let range = Range {
        low: 1e-9,
        guess: 0.5,
        stride: 1.5,
        top: 1.0,
        flat: 0.25 * OPENING_TOLERANCE,
    };
    let found = falling_root(short, range, OPENING_TOLERANCE).map_err(|e| {
        e.or(TrainError::NotConverged {
            what: format!("opening of `{}`", target.throttle),
            steps: MAX_ITERATIONS,
        })
    })?;
    let Found::Root(opening) = found else {
        return Err(out_of_reach(
            &with, conditions, &held, &tanks, target, &found,
        ));
    };
    let changed = with(opening)?;
    let network = Network::new(&changed, conditions, held);
    let records = network.solve(&tanks)?;
    let valve = valve_of(&changed, &target.throttle)?;
    let kv =
        super::characteristic::flow_coefficient(valve, opening).map_err(|e| TrainError::Part {
            part: target.throttle.clone(),
            problem: e.into(),
        })?;
    let settings = settings(&records, &[(target.throttle.as_str(), opening, kv.kv())]);
    Ok((settings, solution(&changed, &tanks, &records)))
}

/// Why no opening gives the flow wanted.
fn out_of_reach(
    with: &dyn Fn(f64) -> Result<Train, TrainError>,
    conditions: &Conditions,
    held: &[Held],
    tanks: &[Node],
    target: &Target,
    found: &Found<()>,
) -> TrainError {
    let opening = if matches!(found, Found::AboveTop) {
        1.0
    } else {
        1e-9
    };
    let flow = with(opening).and_then(|changed| {
        let network = Network::new(&changed, conditions, held.to_vec());
        Ok(flow_of(&network.solve(tanks)?, &target.outlet))
    });
    match flow {
        Ok(flow) => TrainError::Shape {
            why: sentence!(
                "with `{}` {} outlet `{}` gets {}, and {} is wanted",
                &target.throttle,
                if opening > 0.5 {
                    "fully open"
                } else {
                    "all but closed"
                },
                &target.outlet,
                flow_rate(flow).close(),
                flow_rate(target.flow.value).close()
            ),
        },
        Err(e) => e,
    }
}

fn flow_of(records: &Records, outlet: &str) -> f64 {
    records
        .outlets
        .iter()
        .find(|o| o.outlet.name == outlet)
        .map_or(0.0, |o| o.flow)
}

fn check_target(train: &Train, target: &Target) -> Result<(), TrainError> {
    if !(target.flow.value > 0.0 && target.flow.value.is_finite()) {
        return Err(TrainError::Shape {
            why: sentence!("the flow wanted at `{}` is not above zero", &target.outlet),
        });
    }
    if !train.outlets().iter().any(|o| o.name == target.outlet) {
        return Err(TrainError::NoSuch {
            what: "outlet",
            name: target.outlet.clone(),
        });
    }
    valve_of(train, &target.throttle).map(|_| ())
}

pub(super) fn valve_of<'t>(train: &'t Train, name: &str) -> Result<&'t Valve, TrainError> {
    train
        .part(name)
        .and_then(|p| p.kind.valve())
        .ok_or_else(|| TrainError::NoSuch {
            what: "valve",
            name: name.to_owned(),
        })
}

fn valve_mut<'t>(train: &'t mut Train, name: &str) -> Result<&'t mut Valve, TrainError> {
    train
        .part_mut(name)
        .and_then(|p| p.kind.valve_mut())
        .ok_or_else(|| TrainError::NoSuch {
            what: "valve",
            name: name.to_owned(),
        })
}

/// The train with these throttles open, so that none counts as closed while it is being set.
pub(super) fn opened<'n>(train: &Train, throttles: impl Iterator<Item = &'n str>) -> Train {
    let mut open = train.clone();
    for name in throttles {
        if let Ok(valve) = valve_mut(&mut open, name) {
            valve.opening = 1.0;
        }
    }
    open
}

fn run_of_outlet<'t>(run: &'t Run, outlet: &str) -> Option<&'t Run> {
    match &run.end {
        End::Outlet(o) => (o.name == outlet).then_some(run),
        End::Split(runs) => runs.iter().find_map(|r| run_of_outlet(r, outlet)),
    }
}

/// Whether a part stands in a run, or in the single source before it if it is the first.
fn stands_in(train: &Train, run: &Run, part: &str) -> bool {
    let first = std::ptr::eq(run, &raw const train.run) && train.sources.len() == 1;
    run.parts.iter().any(|p| p.name == part)
        || (first && train.sources[0].parts.iter().any(|p| p.name == part))
}

// ---- checks and translation ----

pub(super) fn tanks(train: &Train, conditions: &Conditions) -> Result<Vec<Node>, TrainError> {
    check_shape(train)?;
    if conditions.supplies.len() != train.sources.len() {
        return Err(TrainError::Shape {
            why: sentence!(
                "{} supplies are given for {} sources",
                &conditions.supplies.len(),
                &train.sources.len()
            ),
        });
    }
    let outlets = train.outlets().len();
    if conditions.chambers.len() != 1 && conditions.chambers.len() != outlets {
        return Err(TrainError::Shape {
            why: sentence!(
                "{} chamber pressures are given for {} outlets",
                &conditions.chambers.len(),
                &outlets
            ),
        });
    }
    train
        .sources
        .iter()
        .zip(&conditions.supplies)
        .map(|(source, supply)| {
            let state = supply.state(conditions.fuel, source.draw, &source.name)?;
            Ok(Node {
                state,
                h_total: state.enthalpy_j_kg,
                flux: 0.0,
                wide: matches!(supply, super::Supply::AtRest { .. }),
            })
        })
        .collect()
}

/// Refuses trains that are put together in a way that cannot be.
///
/// # Errors
/// [`TrainError::Shape`].
pub fn check_shape(train: &Train) -> Result<(), TrainError> {
    let wrong = |why: String| Err(TrainError::Shape { why: why.into() });
    if train.sources.is_empty() {
        return wrong("it has no source".to_owned());
    }
    if depth(&train.run, MAX_DEPTH + 1) > MAX_DEPTH {
        return wrong(format!("it branches more than {MAX_DEPTH} times in a row"));
    }
    let parts = train.parts();
    if parts.len() > MAX_PARTS {
        return wrong(format!(
            "it has {} parts, more than {MAX_PARTS}",
            parts.len()
        ));
    }
    let mut names = BTreeSet::new();
    let outlets = train.outlets();
    let all = parts
        .iter()
        .map(|p| p.name.as_str())
        .chain(outlets.iter().map(|o| o.name.as_str()));
    for name in all {
        if !names.insert(name) {
            return wrong(format!("two parts or outlets are named `{name}`"));
        }
    }
    if let Some(source) = train.sources.iter().find(|s| s.count == 0) {
        return wrong(format!("source `{}` has no tank", source.name));
    }
    if empty_split(&train.run) {
        return wrong("it splits into no run".to_owned());
    }
    Ok(())
}

fn depth(run: &Run, left: usize) -> usize {
    match &run.end {
        End::Outlet(_) => 0,
        End::Split(_) if left == 0 => 1,
        End::Split(runs) => 1 + runs.iter().map(|r| depth(r, left - 1)).max().unwrap_or(0),
    }
}

fn empty_split(run: &Run) -> bool {
    match &run.end {
        End::Outlet(_) => false,
        End::Split(runs) => runs.is_empty() || runs.iter().any(empty_split),
    }
}

fn settings(records: &Records, more: &[(&str, f64, f64)]) -> Vec<Setting> {
    records
        .openings
        .iter()
        .chain(more)
        .map(|(name, opening, kv)| Setting {
            throttle: (*name).to_owned(),
            opening: *opening,
            kv: FlowCoefficient::from_kv(*kv),
        })
        .collect()
}
