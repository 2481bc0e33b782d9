//! A shut-off that the operator has to run to.

use super::radiation_at_operator::BESIDE_M;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Distance from the operator to the shut-off that the operator would use, against 5 m; and the farthest from the
    /// fire that it can stand, going by that distance and the operator's own, against 2 m.
    /// ## Why it matters
    /// Every step is a second of fuel, and the way may lead past the fire. Nobody reaches into a fire for a valve.
    /// ## What to do
    /// An emergency stop at the operator's place, or the operator's place at the valve, on the way out.
    ShutOffOutOfReach, "SIT008", "shut-off-out-of-reach", Site
}

const MOST_M: f64 = 5.0;
/// Nearest that a shut-off stands to the fire it is for, m. Common practice, no source.
const LEAST_M: f64 = 2.0;
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
        return;
    }
    // an operator beside the fire has a rule of their own
    let Some(operator) = s.rig.site.operator_distance.filter(|d| d.value >= BESIDE_M) else {
        return;
    };
    let farthest_m = operator.value + distance.value;
    if farthest_m >= LEAST_M {
        return;
    }
    v.find(
        Signal::Warning,
        "site.shutoff_distance",
        Measured::Worded(
            Kind::Length,
            farthest_m,
            format!(
                "{} from the fire, at most",
                s.show(Kind::Length, farthest_m)
            ),
        ),
        Limit::AtLeast(Measured::Quantity(Kind::Length, LEAST_M)),
        Source::Choice(
            "out of reach of a flame that comes out of the rig; common practice, no source",
        ),
        "have the shut-off away from the fire, on the way out",
    );
}
