//! A relief valve set above what its tank is rated for.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};

rule! {
    /// ## What it checks
    /// Set pressure of the tank's relief against the rated pressure of the tank, and that there is one.
    /// ## Why it matters
    /// A relief that opens above the rating protects nothing.
    /// ## What to do
    /// Have the relief replaced by one of the right set pressure, by somebody licensed to.
    ReliefAboveRating, "TNK006", "relief-above-rating", Tank
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(tank) = s.rig.supply.tank() else {
        v.not_checked("the fuel comes from a main");
        return;
    };
    match (tank.relief_pressure, tank.rating) {
        (Some(relief), Some(rating)) if relief.pascals() > rating.pascals() => v.find(
            Signal::Danger,
            "tank.relief_pressure",
            s.pressure(relief),
            Limit::AtMost(s.pressure(rating)),
            Source::Input("tank.rating".to_owned()),
            "have the relief replaced by one of the right set pressure",
        ),
        (Some(_), Some(_)) => {}
        (None, _) if s.rig.says_none("tank.relief_pressure") => v.find(
            Signal::Warning,
            "tank.relief_pressure",
            "no relief valve",
            Limit::Should("a relief valve that opens below the rating of the tank"),
            Source::Choice("a tank in a fire bursts without one; common practice, no source"),
            "a tank with a relief valve; the code in force says which may do without",
        ),
        (None, _) => v.not_checked("the tank gives no `relief_pressure`"),
        (_, None) => v.not_checked("the tank gives no `rating`"),
    }
}
