//! Fuel that flows long without a flame while the igniter tries.

use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Longest time that fuel flows without a flame while the igniter tries, against 15 s.
    /// ## Why it matters
    /// All of that fuel is in the duct and the room when the spark comes at last. A flame that has not come
    /// in a few seconds has a reason that more fuel does not mend.
    /// ## What to do
    /// A few seconds are enough for a spark at a working burner: then shut the fuel, purge, and look for
    /// the reason.
    "SHU015", "long-ignition-time", Shutdown, [Warning], Choice("the longest trial for ignition of common practice, from memory; the local code decides")
}

const LONGEST_S: f64 = 15.0;
const ADVICE: &str =
    "shut the fuel after a few seconds without a flame, purge, and look for the reason";

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(time) = s.rig.controls.ignition_time else {
        if s.rig.says_none("controls.ignition_time") {
            v.advice(ADVICE).find(
                "controls.ignition_time",
                "fuel flows until somebody shuts it",
                Limit::at_most(Kind::Time, LONGEST_S),
            );
            return;
        }
        v.not_checked("the rig file does not give the ignition time");
        return;
    };
    if time.value > LONGEST_S {
        v.advice(ADVICE).find(
            "controls.ignition_time",
            (Kind::Time, time.value),
            Limit::at_most(Kind::Time, LONGEST_S),
        );
    }
}
