//! A shut-off that the operator has to run to.

use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Distance from the operator to the shut-off that the operator would use, against 5 m.
    /// ## Why it matters
    /// Every step is a second of fuel, and the way may lead past the fire.
    /// ## What to do
    /// An emergency stop at the operator's place, or the operator's place at the valve, on the way out.
    ShutOffOutOfReach, "SIT008", "shut-off-out-of-reach", Site
}

const MOST_M: f64 = 5.0;
const STEPS: Source = Source::Choice("a few steps; common practice, no source");
const ADVICE: &str = "put a stop or a hand valve where the operator stands, on the way out";

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(distance) = s.rig.site.shutoff_distance else {
        if s.rig.says_none("site.shutoff_distance") {
            v.find(
                Signal::Warning,
                "site.shutoff_distance",
                "the operator has no shut-off to use",
                Limit::AtMost(Measured::Quantity(Kind::Length, MOST_M)),
                STEPS,
                ADVICE,
            );
            return;
        }
        v.not_checked("the rig file gives no distance from the operator to the shut-off");
        return;
    };
    if distance.value > MOST_M {
        v.find(
            Signal::Warning,
            "site.shutoff_distance",
            Measured::Quantity(Kind::Length, distance.value),
            Limit::AtMost(Measured::Quantity(Kind::Length, MOST_M)),
            STEPS,
            ADVICE,
        );
    }
}
