//! A relief valve that opens on the hottest day.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::pascals_absolute;

rule! {
    /// ## What it checks
    /// Pressure of the tank on the hottest day of the site, liquid-full or not, against its relief set
    /// pressure.
    /// ## Why it matters
    /// A relief that opens throws fuel where nobody expects it, may not seat again, and finds a flame
    /// sooner or later.
    /// ## What to do
    /// Shade the tank, fill it less if it is liquid-full, or use a tank and relief made for this fuel.
    /// Never plug or raise the relief.
    ReliefOpensWhenHot, "TNK005", "relief-opens-on-hottest-day", Tank
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(hot) = solved::hottest(s, v) else {
        return;
    };
    let Some(margin) = hot.to_relief else {
        v.not_checked("the tank gives no `relief_pressure`");
        return;
    };
    if margin.pascals() < 0.0 {
        let limit = pascals_absolute(hot.pressure.pascals() + margin.pascals());
        v.find(
            Signal::Warning,
            "tank.relief_pressure",
            Measured::Text(s.gauge(hot.pressure)),
            Limit::AtMost(Measured::Text(s.gauge(limit))),
            Source::Input("tank.relief_pressure".to_owned()),
            "shade the tank, fill it less, or use a tank and relief made for this fuel",
        );
    }
}
