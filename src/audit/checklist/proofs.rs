//! Proofs that what is to stop the fuel does so. Nobody touches anything live, hot or under pressure for them.

use super::{Checklist, When, is_hand_valve};
use crate::audit::Solution;
use crate::quantity::Kind;
use crate::train::Part;
use crate::train::rig::FlameDetection;

/// Before any fuel: valves, emergency stop, air, lock-out.
pub(super) fn before(list: &mut Checklist, s: &Solution<'_>) {
    let when = When::Before;
    let (mut valves, mut keys) = (Vec::new(), Vec::new());
    for part in s.rig.train.parts() {
        let Some(closure) = part.closure.as_ref().filter(|_| part.shuts_without_power()) else {
            continue;
        };
        let time = closure.closing_time.map_or(String::new(), |t| {
            format!(" (within {})", s.show(Kind::Time, t.value))
        });
        valves.push(format!("{}{time}", part.name));
        keys.push(format!("train.{}", part.name));
    }
    if !valves.is_empty() {
        list.add(
            when,
            format!(
                "Switch off the power of each by itself: it closes, and holds pressure; its plug stays in, live contacts stay covered: {}",
                valves.join(", ")
            ),
            keys.join(", "),
        );
    }
    let controls = &s.rig.controls;
    let proofs = [
        (
            proved_by(controls.flame_detection).is_some(),
            "a start finds no flame and is given up",
            "controls.flame_detection",
        ),
        (
            controls.emergency_stop == Some(true),
            "the emergency stop drops every shut-off valve out, and keeps it out",
            "controls.emergency_stop",
        ),
        (
            s.rig.air.proved == Some(true),
            "with the air stopped the shut-off valves drop out",
            "air.proved",
        ),
        (
            controls.lockout == Some(true),
            "after each of these it waits for a reset by hand",
            "controls.lockout",
        ),
    ];
    let has: Vec<_> = proofs.iter().filter(|p| p.0).collect();
    if !has.is_empty() {
        let told: Vec<&str> = has.iter().map(|p| p.1).collect();
        let keys: Vec<&str> = has.iter().map(|p| p.2).collect();
        list.add(
            when,
            format!("With the supply shut: {}", told.join("; ")),
            keys.join(", "),
        );
    }
}

/// Once it burns.
pub(super) fn flame_detector(list: &mut Checklist, s: &Solution<'_>) {
    let when = When::LightUp;
    let controls = &s.rig.controls;
    if let Some((detector, how, never)) = proved_by(controls.flame_detection) {
        let valve = last_hand_valve(s).map_or("the supply", |p| p.name.as_str());
        let time = controls.flame_failure_time.map_or(String::new(), |t| {
            format!(" within {}", s.show(Kind::Time, t.value))
        });
        list.add(
            when,
            format!(
                "As soon as it burns, prove the {detector}: {how}close {valve} and time it from when the flame goes out; the shut-off valves drop out{time}. {never}. Then blow through and begin again"
            ),
            "controls.flame_failure_time",
        );
    }
}

/// What a flame detector is called, how it is made blind besides by taking its flame away, and what nobody does to it;
/// `None` where no instrument looks. Common practice, no source: the test is the flame going out, not a lead pulled.
fn proved_by(
    detection: Option<FlameDetection>,
) -> Option<(&'static str, &'static str, &'static str)> {
    match detection? {
        FlameDetection::None | FlameDetection::Eye => None,
        FlameDetection::Ionisation => Some((
            "flame rod",
            "",
            "Never touch or pull its lead: it carries mains voltage or more while the control has power",
        )),
        FlameDetection::Optical => Some((
            "flame cell",
            "put the shutter across its sight tube and time it from then, or ",
            "Never draw the cell out of a hot sight tube: fire and hot gas come after it",
        )),
        FlameDetection::Thermocouple => Some((
            "thermocouple",
            "",
            "Never undo its nut instead: the fitting is hot, and the test would leave out how long the junction stays hot",
        )),
    }
}

/// The one nearest to the burner.
fn last_hand_valve<'s>(s: &'s Solution<'_>) -> Option<&'s Part> {
    s.rig.train.parts().into_iter().rfind(|p| is_hand_valve(p))
}
