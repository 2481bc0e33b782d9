//! A hose or tube that breaks at its upstream end, with the losses before it and the excess-flow valve.

use super::{Case, Effect};
use crate::eos::State;
use crate::flow::orifice::{Expansion, Stagnation};
use crate::leak::LeakError;
use crate::leak::release::{BOUNDING, Hole, release};
use crate::quantity::{Length, MassRate, kilograms_per_second, pascals_absolute, ratio};
use crate::train::solution::{PartProblem, TrainError};
use crate::train::{
    Chamber, Characteristic, Conditions, End, Near, Outlet, OutletLaw, Part, PartKind, Run, Source,
    Train, flow_by_stand_in,
};

/// Coefficient of a line broken off at its fitting. Our choice, between a sharp hole and a rounded one.
const TORN: f64 = 0.9;
/// Name of the outlet.
const BREAK: &str = "break";
/// A closing flow that is never reached, kg/s.
const NEVER_KG_S: f64 = 1e9;
/// A set pressure above any, Pa: the regulator's seat is wide open.
const WIDE_OPEN_PA: f64 = 1e12;

/// An excess-flow valve before a break.
#[derive(Debug, Clone, PartialEq)]
pub struct ExcessFlow {
    /// Part.
    pub part: String,
    /// Flow that closes it, at the density there.
    pub closing: MassRate,
    /// Whether the break closes it.
    pub closes: bool,
}

/// A line that breaks.
#[derive(Debug)]
pub struct Break {
    /// Part that breaks.
    pub part: String,
    /// Its bore.
    pub bore: Length,
    /// Excess-flow valve before it that closes, or else the first there is; `None`: there is none.
    pub excess_flow: Option<ExcessFlow>,
    /// What comes out until something closes, or why not.
    pub effect: Result<Effect, LeakError>,
}

/// Every hose and tube outside the tank, broken at its upstream end.
pub(super) fn breaks(case: &Case<'_>) -> Vec<Break> {
    let mut all = Vec::new();
    // each break is much like the one before
    let mut near = Near::default();
    for part in case.rig.train.parts() {
        let (PartKind::Hose(line) | PartKind::Tube(line)) = &part.kind else {
            continue;
        };
        let Some(train) = cut(&case.rig.train, &part.name, line.bore) else {
            continue;
        };
        all.push(broken(case, part, line.bore, &train, &mut near));
    }
    all
}

fn broken(case: &Case<'_>, part: &Part, bore: Length, train: &Train, near: &mut Near) -> Break {
    let conditions = Conditions {
        fuel: case.fluid,
        supplies: vec![case.supply; train.sources.len()],
        ambient: case.rig.site.ambient,
        chambers: vec![Chamber::Fixed(case.around.pressure)],
        expansion: BOUNDING,
    };
    let open = held_open(train);
    let solved = flow_by_stand_in(&open, &conditions, near);
    let excess_flow = match &solved {
        Ok(_) => excess_flow(train, &conditions, near),
        Err(_) => None,
    };
    let effect = solved.map_err(LeakError::from).and_then(|solution| {
        let outlet = solution.outlets.first().ok_or_else(|| TrainError::NoSuch {
            what: "outlet",
            name: BREAK.to_owned(),
        })?;
        let state: State = case.fluid.state_ph(
            outlet.inlet.pressure.pascals(),
            outlet.inlet.total_enthalpy.value,
        )?;
        let up = Stagnation::of(case.fluid, state);
        let hole = Hole {
            diameter: bore,
            coefficient: Some(ratio(TORN)),
        };
        let release = release(&up, case.around.pressure, &hole, BOUNDING)?;
        let mut release = release.passing(outlet.flow);
        release.low *= 0.85;
        release.high *= 1.1;
        case.effect(release)
    });
    Break {
        part: part.name.clone(),
        bore,
        excess_flow,
        effect,
    }
}

/// The excess-flow valve that closes at a break, or the first there is. It is trusted to close at the least that the
/// break may pass, not at the most.
fn excess_flow(train: &Train, conditions: &Conditions<'_>, near: &mut Near) -> Option<ExcessFlow> {
    let conditions = &Conditions {
        expansion: Expansion::Equilibrium,
        ..conditions.clone()
    };
    let first = train.parts().into_iter().find_map(|p| match &p.kind {
        PartKind::ExcessFlowValve(_) => Some(p.name.clone()),
        _ => None,
    })?;
    match flow_by_stand_in(&without_regulation(train), conditions, near) {
        Err(TrainError::Part {
            part,
            problem: PartProblem::ExcessFlow { closing_kg_s, .. },
        }) => Some(ExcessFlow {
            part,
            closing: kilograms_per_second(closing_kg_s),
            closes: true,
        }),
        Ok(solution) => {
            let valve = solution.part(&first)?;
            let PartKind::ExcessFlowValve(e) = &train.part(&first)?.kind else {
                return None;
            };
            let root = (valve.inlet.density.value / e.closing_density.value).sqrt();
            Some(ExcessFlow {
                part: first,
                closing: e.closing_flow * root,
                closes: false,
            })
        }
        Err(_) => None,
    }
}

/// A train that ends where a part broke full-bore; side branches are left out, and of several tanks alike
/// with parts of their own only one feeds a break in these.
fn cut(train: &Train, name: &str, bore: Length) -> Option<Train> {
    let end = End::Outlet(Outlet {
        name: BREAK.to_owned(),
        law: OutletLaw::Holes {
            number: 1,
            diameter: bore,
            discharge_coefficient: TORN,
        },
    });
    for source in &train.sources {
        if let Some(i) = source.parts.iter().position(|p| p.name == name) {
            return Some(Train {
                sources: vec![Source {
                    count: 1,
                    parts: source.parts[..i].to_vec(),
                    ..source.clone()
                }],
                run: Run {
                    name: BREAK.to_owned(),
                    parts: Vec::new(),
                    end,
                },
            });
        }
    }
    let mut parts = Vec::new();
    before(&train.run, name, &mut parts).then_some(Train {
        sources: train.sources.clone(),
        run: Run {
            name: BREAK.to_owned(),
            parts,
            end,
        },
    })
}

fn before(run: &Run, name: &str, parts: &mut Vec<Part>) -> bool {
    let kept = parts.len();
    if let Some(i) = run.parts.iter().position(|p| p.name == name) {
        parts.extend_from_slice(&run.parts[..i]);
        return true;
    }
    parts.extend_from_slice(&run.parts);
    if let End::Split(runs) = &run.end
        && runs.iter().any(|r| before(r, name, parts))
    {
        return true;
    }
    parts.truncate(kept);
    false
}

/// Every valve open, every regulator wide open.
fn without_regulation(train: &Train) -> Train {
    changed(train, &mut |kind| {
        if let PartKind::Regulator(r) = kind {
            wide_open(r);
        }
        if let Some(valve) = kind.valve_mut() {
            valve.opening = 1.0;
            if let Characteristic::Table(points) = &valve.characteristic
                && let Some((most, _)) = points.last()
            {
                valve.opening = *most;
            }
        }
    })
}

/// The same with excess-flow valves that do not close.
fn held_open(train: &Train) -> Train {
    changed(&without_regulation(train), &mut |kind| {
        if let PartKind::ExcessFlowValve(e) = kind {
            e.closing_flow = kilograms_per_second(NEVER_KG_S);
        }
    })
}

/// A regulator whose seat stands wide open.
pub(super) fn wide_open(regulator: &mut crate::flow::regulator::Regulator) {
    regulator.set_pressure = pascals_absolute(WIDE_OPEN_PA);
    regulator.droop = crate::quantity::pascals_difference(0.0);
    regulator.nominal_inlet = None;
}

pub(super) fn changed(train: &Train, change: &mut dyn FnMut(&mut PartKind)) -> Train {
    let mut copy = train.clone();
    for source in &mut copy.sources {
        for part in &mut source.parts {
            change(&mut part.kind);
        }
    }
    change_run(&mut copy.run, change);
    copy
}

fn change_run(run: &mut Run, change: &mut dyn FnMut(&mut PartKind)) {
    for part in &mut run.parts {
        change(&mut part.kind);
    }
    if let End::Split(runs) = &mut run.end {
        for branch in runs {
            change_run(branch, change);
        }
    }
}
