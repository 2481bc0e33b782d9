//! A hose or tube that breaks at its upstream end, with the losses before it and the excess-flow valve.

use super::{Case, Effect};
use crate::flow::orifice::{Expansion, Stagnation};
use crate::leak::LeakError;
use crate::leak::release::{BOUNDING, Hole, release};
use crate::quantity::{Length, MassRate, kilograms_per_second, pascals_absolute, ratio};
use crate::train::severed::Breakable;
use crate::train::{Chamber, Characteristic, Conditions, End, Part, PartKind, Run, Train};

/// Coefficient of a line broken off at its fitting. Our choice, between a sharp hole and a rounded one.
const TORN: f64 = 0.9;
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

/// Every hose and tube, broken at its upstream end.
pub(super) fn breaks(case: &Case<'_>) -> Result<Vec<Break>, LeakError> {
    let train = without_regulation(&case.rig.train);
    let conditions = Conditions {
        fuel: case.fluid,
        supplies: vec![case.supply; train.sources.len()],
        ambient: case.rig.site.ambient,
        chambers: vec![Chamber::Fixed(case.around.pressure)],
        expansion: BOUNDING,
    };
    let breakable = Breakable::new(&train, &conditions)?;
    let lines = train
        .parts()
        .into_iter()
        .filter_map(|part| match &part.kind {
            PartKind::Hose(line) | PartKind::Tube(line) => Some((part, line.bore)),
            _ => None,
        });
    Ok(lines
        .filter_map(|(part, bore)| broken(case, &breakable, part, bore))
        .collect())
}

fn broken(case: &Case<'_>, breakable: &Breakable<'_>, part: &Part, bore: Length) -> Option<Break> {
    // a valve is trusted to close at the least that the break may pass, not at the most
    let severed = breakable.at(part, bore, TORN, (BOUNDING, Expansion::Equilibrium))?;
    let outside = case.around.pressure;
    let effect = severed
        .outflow
        .map_err(LeakError::from)
        .and_then(|(m, node)| {
            let state = case.fluid.state_ph(node.state.pressure_pa, node.h_total)?;
            let hole = Hole {
                diameter: bore,
                coefficient: Some(ratio(TORN)),
            };
            let up = Stagnation::of(case.fluid, state);
            let mut release =
                release(&up, outside, &hole, BOUNDING)?.passing(kilograms_per_second(m));
            release.low *= 0.85;
            release.high *= 1.1;
            case.effect(release)
        });
    let excess_flow = severed.valve.map(|valve| ExcessFlow {
        part: valve.part.to_owned(),
        closing: kilograms_per_second(valve.closing),
        closes: valve.closes,
    });
    Some(Break {
        part: part.name.clone(),
        bore,
        excess_flow: excess_flow.filter(|_| effect.is_ok()),
        effect,
    })
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
