//! Parts that a list names: hand valves, gauges, and what kind of fuel it is.

use crate::audit::Solution;
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::fuel::FedAs;
use crate::quantity::GaugePressure;
use crate::train::{Actuation, Part, PartKind};

/// Names of the parts of a kind, with commas.
pub(super) fn names(s: &Solution<'_>, wanted: impl Fn(&Part) -> bool) -> String {
    let parts = s.rig.train.parts();
    let found: Vec<&str> = parts
        .iter()
        .filter(|p| wanted(p))
        .map(|p| p.name.as_str())
        .collect();
    found.join(", ")
}

/// Whether a part is a valve that a hand moves.
pub(super) fn is_hand_valve(part: &Part) -> bool {
    part.kind.valve().is_some()
        && part
            .closure
            .as_ref()
            .is_some_and(|c| c.actuation == Actuation::Manual)
}

/// The hand valve nearest to the supply, or what stands for it.
pub(super) fn first_hand_valve<'s>(s: &'s Solution<'_>) -> &'s str {
    let first = s.rig.train.parts().into_iter().find(|p| is_hand_valve(p));
    first.map_or("the supply", |p| p.name.as_str())
}

/// Top of the scale of the gauge on a part; `None` where a person reads nothing.
pub(super) fn scale(part: &Part) -> Option<GaugePressure> {
    match &part.kind {
        PartKind::Tapping(tapping) => tapping.gauge_range,
        _ => None,
    }
}

/// Whether the fuel is a liquid at the pressure of the air.
pub(super) fn burns_liquid(s: &Solution<'_>) -> bool {
    usual_phase(&s.rig.fuel.composition) == FedAs::Liquid
}
