//! A flame that nothing watches.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
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
    "SHU003", "no-flame-detection", Shutdown, [Danger, Warning], Published("nfpa86")
}

/// Longest flame failure response: common figure for burners with a fan, from memory, no source.
const LONGEST_S: f64 = 4.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let controls = &s.rig.controls;
    match controls.flame_detection {
        Some(detection @ (FlameDetection::None | FlameDetection::Eye)) => v
            .advice("fit a flame rod or an optical cell that shuts the fuel")
            .find(
                "controls.flame_detection",
                if detection == FlameDetection::Eye {
                    "by eye"
                } else {
                    "none"
                },
                Limit::Should("an instrument that shuts the fuel"),
            ),
        instrument => {
            if instrument.is_none() {
                v.not_checked("the rig file does not say how the flame is seen");
            }
            match controls.flame_failure_time {
                Some(time) if time.value > LONGEST_S => v
                    .signal(Signal::Warning)
                    .source(Source::Choice(
                        "usual for burners with a fan; the local code decides",
                    ))
                    .advice("use a detector that answers faster: a flame rod or an optical cell")
                    .find(
                        "controls.flame_failure_time",
                        (Kind::Time, time.value),
                        Limit::at_most(Kind::Time, LONGEST_S),
                    ),
                Some(_) => {}
                None if s.rig.says_none("controls.flame_failure_time") => v
                    .advice("fit a burner control that shuts the fuel when the flame is lost")
                    .find(
                        "controls.flame_failure_time",
                        "no time after which the fuel is shut",
                        Limit::at_most(Kind::Time, LONGEST_S),
                    ),
                None => v.not_checked("the rig file does not say how fast the detector answers"),
            }
        }
    }
}
