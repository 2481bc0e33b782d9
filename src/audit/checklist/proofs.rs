//! Proofs that what is to stop the fuel does so. Nobody touches anything live, hot or under pressure for them.

use super::parts::is_hand_valve;
use super::{Checklist, Reading, When};
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
                "Switch off the power of each by itself, its plug in, live contacts covered; it closes: {}",
                valves.join(", ")
            ),
            keys.join(", "),
        );
    }
    let controls = &s.rig.controls;
    let stops: Vec<(&str, &str)> = [
        (
            controls.emergency_stop == Some(true),
            "press the emergency stop",
            "controls.emergency_stop",
        ),
        (s.rig.air.proved == Some(true), "stop the air", "air.proved"),
    ]
    .into_iter()
    .filter_map(|(has, how, key)| has.then_some((how, key)))
    .collect();
    let reset = if controls.lockout == Some(true) {
        "; reset by hand"
    } else {
        ""
    };
    if proved_by(controls.flame_detection).is_some() {
        list.add(
            when,
            format!("Start with the supply shut: it finds no flame and gives up{reset}"),
            "controls.flame_detection, controls.lockout",
        );
    }
    if !stops.is_empty() {
        let told: Vec<&str> = stops.iter().map(|p| p.0).collect();
        let keys: Vec<&str> = stops.iter().map(|p| p.1).collect();
        list.add(
            when,
            format!(
                "Start with the supply shut, then {}: every shut-off drops out{reset}",
                told.join("; start again, then ")
            ),
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
        let time = controls.flame_failure_time.map(|t| Reading {
            at: "stop-watch".to_owned(),
            kind: Kind::Time,
            low: None,
            high: Some(t.value),
        });
        list.read(
            when,
            format!(
                "Prove the {detector} as soon as it burns: {how}close {valve} and time it from when the flame goes out until the shut-off valves drop out. {never}. Then blow through and begin again"
            ),
            "controls.flame_failure_time",
            time,
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
            "Never touch or pull its lead: it may carry mains voltage",
        )),
        FlameDetection::Optical => Some((
            "flame cell",
            "put the shutter across its sight tube and time it from then, or ",
            "Never draw the cell out of a hot sight tube: fire and hot gas come after it",
        )),
        FlameDetection::Thermocouple => Some((
            "thermocouple",
            "",
            "Never undo its nut instead: the fitting is hot",
        )),
    }
}

/// The one nearest to the burner.
fn last_hand_valve<'s>(s: &'s Solution<'_>) -> Option<&'s Part> {
    s.rig.train.parts().into_iter().rfind(|p| is_hand_valve(p))
}
