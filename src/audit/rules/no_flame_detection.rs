//! A flame that nothing watches.

use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::train::rig::FlameDetection;

rule! {
    /// ## What it checks
    /// Whether the flame is watched by an instrument, and how long the fuel runs on after it is lost.
    /// ## Why it matters
    /// Fuel that keeps flowing after the flame has gone fills can and duct; whatever lights it then
    /// lights all of it at once.
    /// ## What to do
    /// Fit a flame detector that shuts the fuel: a flame rod or an optical cell answers in a second or
    /// two, a thermocouple only in half a minute.
    NoFlameDetection, "SHU003", "no-flame-detection", Shutdown
}

/// Longest flame failure response: common figure for burners with a fan, from memory, no source.
const LONGEST_S: f64 = 4.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let controls = &s.rig.controls;
    match controls.flame_detection {
        Some(detection @ (FlameDetection::None | FlameDetection::Eye)) => v.find(
            Signal::Danger,
            "controls.flame_detection",
            if detection == FlameDetection::Eye {
                "by eye"
            } else {
                "none"
            },
            Limit::Should("an instrument that shuts the fuel"),
            Source::Published("nfpa86"),
            "fit a flame rod or an optical cell that shuts the fuel",
        ),
        instrument => {
            if instrument.is_none() {
                v.not_checked("the rig file does not say how the flame is seen");
            }
            match controls.flame_failure_time {
                Some(time) if time.value > LONGEST_S => v.find(
                    Signal::Warning,
                    "controls.flame_failure_time",
                    Measured::Quantity(Kind::Time, time.value),
                    Limit::AtMost(Measured::Quantity(Kind::Time, LONGEST_S)),
                    Source::Choice("usual for burners with a fan; the local code decides"),
                    "use a detector that answers faster: a flame rod or an optical cell",
                ),
                Some(_) => {}
                None if s.rig.says_none("controls.flame_failure_time") => v.find(
                    Signal::Danger,
                    "controls.flame_failure_time",
                    "no time after which the fuel is shut",
                    Limit::AtMost(Measured::Quantity(Kind::Time, LONGEST_S)),
                    Source::Published("nfpa86"),
                    "fit a burner control that shuts the fuel when the flame is lost",
                ),
                None => v.not_checked("the rig file does not say how fast the detector answers"),
            }
        }
    }
}
