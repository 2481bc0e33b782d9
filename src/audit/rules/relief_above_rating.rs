//! A relief valve set above what its tank is rated for.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};

rule! {
    /// ## Finding
    /// The relief valve of {it} opens at {measured}, above the tank's rating of {limit}: it protects nothing.
    /// ## What it checks
    /// Set pressure of the tank's relief valve against the rated pressure of the tank, and that it has one.
    /// ## Why it matters
    /// A relief valve that opens above the rating protects nothing.
    /// ## What to do
    /// Have the relief valve replaced by one of the right set pressure, by somebody licensed to.
    "TNK006", "relief-above-rating", Tank, [Danger, Warning],
    Choice("a tank in a fire bursts without one; common practice, no source")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(tank) = s.rig.supply.tank() else {
        v.not_checked("the fuel comes from a main");
        return;
    };
    match (tank.relief_pressure, tank.rating) {
        (Some(relief), Some(rating)) if relief.pascals() > rating.pascals() => {
            v.source(Source::given("tank.rating"))
                .advice(format!(
                    "Have it replaced by one set to {} or less, by somebody licensed to",
                    s.gauge(rating)
                ))
                .find(
                    "tank.relief_pressure",
                    s.pressure(relief),
                    Limit::AtMost(s.pressure(rating)),
                );
        }
        (Some(_), Some(_)) => {}
        (None, _) if s.rig.says_none("tank.relief_pressure") => v
            .signal(Signal::Warning)
            .advice("Use a tank with a relief valve. The code in force says which may do without")
            .says("{It} has no relief valve: in a fire it bursts.")
            .find(
                "tank.relief_pressure",
                "no relief valve",
                Limit::Should("a relief valve that opens below the rating of the tank"),
            ),
        (None, _) => v.not_checked("the rig file does not give `tank.relief_pressure`"),
        (_, None) => v.not_checked("the rig file does not give `tank.rating`"),
    }
}
