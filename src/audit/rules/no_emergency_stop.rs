//! No emergency stop where the operator stands.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};

rule! {
    /// ## What it checks
    /// Whether there is an emergency stop that the operator reaches.
    /// ## Why it matters
    /// The cylinder valve is next to what is burning; a button need not be.
    /// ## What to do
    /// Fit a latching stop on the operator's side that cuts the power of the shut-off valves, and press
    /// it once on every test day.
    NoEmergencyStop, "SHU010", "no-emergency-stop", Shutdown
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    match s.rig.controls.emergency_stop {
        None => v.not_checked("the rig file does not say whether there is an emergency stop"),
        Some(true) => {}
        Some(false) => v.find(
            Signal::Warning,
            "controls.emergency_stop",
            "none",
            Limit::Should("a stop within the operator's reach that cuts the shut-off valves"),
            Source::Choice("a person who sees it first should be able to stop it first"),
            "fit a latching stop that cuts the power of the shut-off valves",
        ),
    }
}
