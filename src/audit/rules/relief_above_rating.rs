//! A relief valve set above what its tank is rated for.

use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};

rule! {
    /// ## What it checks
    /// Set pressure of the tank's relief against the rated pressure of the tank.
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
            Measured::Text(s.gauge(relief)),
            Limit::AtMost(Measured::Text(s.gauge(rating))),
            Source::Input("tank.rating".to_owned()),
            "have the relief replaced by one of the right set pressure",
        ),
        (Some(_), Some(_)) => {}
        (None, _) => v.not_checked("the tank gives no `relief_pressure`"),
        (_, None) => v.not_checked("the tank gives no `rating`"),
    }
}
