//! Fuel that flows long without a flame while the igniter tries.

use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// Fuel flows unlit for {measured} while the igniter tries, over {limit}: all of it is in duct and room when it
    /// lights.
    /// ## What it checks
    /// Longest time that fuel flows unlit while the igniter tries, against 15 s.
    /// ## Why it matters
    /// All of that fuel is in the duct and the room when it lights at last. A flame that does not come within a few
    /// seconds has a reason that more fuel does not mend.
    /// ## What to do
    /// Shut the fuel after a few seconds without a flame, purge, and look for the reason. A working burner needs no
    /// longer.
    "SHU015", "long-ignition-time", Shutdown, [Warning], Choice("the longest trial for ignition of common practice, from memory; the local code decides"),
    levers ["controls.ignition_time" Down]
}

const LONGEST_S: f64 = 15.0;
const ADVICE: &str =
    "Shut the fuel after a few seconds without a flame, purge, and look for the reason.";

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(time) = s.rig.controls.ignition_time else {
        if s.rig.says_none("controls.ignition_time") {
            v.says("Fuel flows unlit until somebody shuts it, where {limit} is the most: all of it is in duct and room when it lights.").advice(ADVICE).find(
                "controls.ignition_time",
                "until somebody shuts it",
                Limit::at_most(Kind::Time, LONGEST_S),
            );
            return;
        }
        v.not_checked("the rig file does not give `controls.ignition_time`");
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
