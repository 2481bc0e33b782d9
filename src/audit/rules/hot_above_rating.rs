//! A tank whose pressure on the hottest day is above its rating.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::pascals_absolute;

rule! {
    /// ## What it checks
    /// Pressure of the tank on the hottest day of the site, liquid-full or not, or of the gas over a liquid, against its rated
    /// pressure.
    /// ## Why it matters
    /// A tank above its rating may burst, and its contents then burn as one cloud.
    /// ## What to do
    /// Do not put this fuel in this tank: another tank, or a fuel of lower vapour pressure. Shade helps
    /// only while it stands there.
    HotAboveRating, "TNK004", "hottest-day-above-rating", Tank
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if let Some(tank) = s.rig.supply.tank()
        && let (Some(pad), Some(limit)) = (tank.pressure, tank.rating)
    {
        if pad > limit {
            v.find(
                Signal::Danger,
                "tank.pressure",
                s.pressure(pad),
                Limit::AtMost(s.pressure(limit)),
                Source::Input("tank.rating".to_owned()),
                "less gas pressure over the liquid, or a tank made for it",
            );
        }
        return;
    }
    let Some(hot) = solved::hottest(s, v) else {
        return;
    };
    let Some(margin) = hot.to_rating else {
        v.not_checked("the tank gives no `rating`");
        return;
    };
    if margin.pascals() < 0.0 {
        let limit = pascals_absolute(hot.pressure.pascals() + margin.pascals());
        v.find(
            Signal::Danger,
            "tank.rating",
            Measured::Text(s.gauge(hot.pressure)),
            Limit::AtMost(Measured::Text(s.gauge(limit))),
            Source::Input("tank.rating".to_owned()),
            "another tank, or a fuel of lower vapour pressure",
        );
    }
}
