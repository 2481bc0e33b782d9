//! A flame that nothing watches.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::train::rig::FlameDetection;

rule! {
    /// ## Finding
    /// Nothing watches the flame: fuel that flows on after it goes out fills can and duct, and lights all at once.
    /// ## What it checks
    /// Whether an instrument watches the flame, and how long fuel flows on after the flame is lost.
    /// ## Why it matters
    /// Fuel that flows on after the flame is lost fills can and duct. Whatever lights it then lights all of it at
    /// once.
    /// ## What to do
    /// Fit a flame detector that shuts the fuel. A flame rod or an optical cell answers in a second or two, a
    /// thermocouple only in half a minute.
    "SHU003", "no-flame-detection", Shutdown, [Danger, Warning], Published("nfpa86")
}

/// Longest flame failure response: common figure for burners with a fan, from memory, no source.
const LONGEST_S: f64 = 4.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let controls = &s.rig.controls;
    match controls.flame_detection {
        Some(detection @ (FlameDetection::None | FlameDetection::Eye)) => v
            .says(if detection == FlameDetection::Eye {
                "The flame is watched by eye only: fuel that flows on after it goes out fills can and duct, and lights all at once."
                    .to_owned()
            } else {
                v.rule.says()
            })
            .advice("Fit a flame rod or an optical cell that shuts the fuel.")
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
                v.not_checked("the rig file does not say what watches the flame");
            }
            match controls.flame_failure_time {
                Some(time) if time.value > LONGEST_S => v
                    .signal(Signal::Warning)
                    .source(Source::Choice(
                        "usual for burners with a fan; the local code decides",
                    ))
                    .says("Fuel flows on for {measured} after the flame is lost, over {limit}: it fills can and duct.")
                    .advice("Use a detector that answers faster: a flame rod or an optical cell.")
                    .find(
                        "controls.flame_failure_time",
                        (Kind::Time, time.value),
                        Limit::at_most(Kind::Time, LONGEST_S),
                    ),
                Some(_) => {}
                None if s.rig.says_none("controls.flame_failure_time") => v
                    .says("Nothing shuts the fuel when the flame is lost, which should take {limit} at most: it fills can and duct.")
                    .advice("Fit a burner control that shuts the fuel when the flame is lost.")
                    .find(
                        "controls.flame_failure_time",
                        "not shut",
                        Limit::at_most(Kind::Time, LONGEST_S),
                    ),
                None => v.not_checked("the rig file does not give `controls.flame_failure_time`"),
            }
        }
    }
}
