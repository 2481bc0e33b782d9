//! A shut-off that the operator has to run to.

use super::radiation_at_operator::BESIDE_M;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// The shut-off is {measured} from the operator, over {limit}: every step is a second of fuel.
    /// ## What it checks
    /// Distance from the operator to the shut-off that the operator would use, against 5 m; and the farthest from the
    /// fire that it can stand, going by that distance and the operator's own, against 2 m.
    /// ## Why it matters
    /// Every step is a second of fuel, and the way may lead past the fire. Nobody reaches into a fire for a valve.
    /// ## What to do
    /// Put an emergency stop or a hand valve where the operator stands, on the way out.
    "SIT008", "shut-off-out-of-reach", Site, [Warning],
    Choice("out of reach of a flame that comes out of the rig; common practice, no source"),
    levers ["site.shutoff_distance" Down, "site.operator_distance" Up]
}

const MOST_M: f64 = 5.0;
/// Nearest that a shut-off stands to the fire it is for, m. Common practice, no source.
const LEAST_M: f64 = 2.0;
const STEPS: Source = Source::Choice("a few steps; common practice, no source");
const ADVICE: &str = "Put a stop or a hand valve where the operator stands, on the way out.";

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(distance) = s.rig.site.shutoff_distance else {
        if s.rig.says_none("site.shutoff_distance") {
            v.says("The operator has no shut-off to use within {limit}.")
                .source(STEPS)
                .advice(ADVICE)
                .find(
                    "site.shutoff_distance",
                    "none",
                    Limit::at_most(Kind::Length, MOST_M),
                );
            return;
        }
        v.not_checked("the rig file does not give `site.shutoff_distance`");
        return;
    };
    if distance.value > MOST_M {
        v.source(STEPS).advice(ADVICE).find(
            "site.shutoff_distance",
            (Kind::Length, distance.value),
            Limit::at_most(Kind::Length, MOST_M),
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
    v.says("The shut-off is {measured} from the fire at most, within {limit}: nobody reaches into a fire for a valve.")
        .advice("Put the shut-off away from the fire, on the way out.")
        .find(
            "site.shutoff_distance",
            (Kind::Length, farthest_m),
            Limit::at_least(Kind::Length, LEAST_M),
        );
}
