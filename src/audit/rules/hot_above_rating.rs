//! A tank whose pressure on the hottest day is above its rating.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::quantity::pascals_absolute;

rule! {
    /// ## What it checks
    /// Pressure of the tank on the hottest day of the site, 20 K warmer in the sun, liquid-full or not, or of the gas over a
    /// liquid, against its rated pressure. A liquid-full tank stands no higher than its relief valve opens at, and an overfilled one is judged
    /// with its limit in it: it has a rule of its own.
    /// ## Why it matters
    /// A tank above its rating may burst, and its contents then burn as one cloud.
    /// ## What to do
    /// Do not put this fuel in this tank: another tank, or a fuel of lower vapour pressure. Shade helps
    /// only while it stands there.
    "TNK004", "hottest-day-above-rating", Tank, [Danger, Warning], given("tank.rating")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if s.rig.says_none("tank.rating") {
        v.signal(Signal::Warning)
            .advice("a tank that is marked for the pressure it holds")
            .find(
                "tank.rating",
                "no rating is marked on it",
                Limit::Should("a tank whose rating is known"),
            );
        return;
    }
    if let Some(tank) = s.rig.supply.tank()
        && let (Some(pad), Some(limit)) = (s.pad(), tank.rating)
    {
        let (hot, shown) = solved::pad_when_hot(s, tank, pad);
        // what a warm day adds, the relief valve lets go: then it is that which opens
        let relieved = pad <= limit && tank.relief_pressure.is_some_and(|p| p <= limit);
        if hot > limit && !relieved {
            v.advice("less gas pressure over the liquid, or a tank made for it")
                .find("tank.pressure", shown, Limit::AtMost(s.pressure(limit)));
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
    let limit = pascals_absolute(hot.pressure.pascals() + margin.pascals());
    // of a fuel whose vapour alone is above the rating, the relief valve is no cure
    let own = s.rig.hottest_tank().map(|t| s.fluid.bubble_t(t.value));
    let pressure = match own {
        Some(Ok(e)) => pascals_absolute(e.pressure_pa.max(hot.pressure.pascals())),
        _ => hot.pressure,
    };
    if pressure > limit {
        v.advice("another tank, or a fuel of lower vapour pressure")
            .find(
                "tank.rating",
                s.gauged(pressure, |x| format!("{x} {}", solved::hottest_day(s))),
                Limit::AtMost(s.pressure(limit)),
            );
    }
}
