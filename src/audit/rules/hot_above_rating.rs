//! A tank whose pressure on the hottest day is above its rating.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::quantity::pascals_absolute;

rule! {
    /// ## Finding
    /// {It} is rated for {limit} and reaches {measured} on the hottest day: it may burst.
    /// ## What it checks
    /// Pressure of the tank on the hottest day of the site, 20 K warmer in the sun, liquid-full or not, or of the gas over a
    /// liquid, against its rated pressure. A liquid-full tank stands no higher than its relief valve opens at, and an overfilled one is judged
    /// with its limit in it: it has a rule of its own.
    /// ## Why it matters
    /// A tank above its rating may burst, and its contents then burn as one cloud.
    /// ## What to do
    /// Do not put this fuel in this tank: use a tank rated for it, or a fuel of lower vapour pressure. Shade helps only
    /// while it is there.
    "TNK004", "hottest-day-above-rating", Tank, [Danger, Warning], given("tank.rating")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if s.rig.says_none("tank.rating") {
        v.signal(Signal::Warning)
            .advice("Use a tank that is marked for the pressure it holds")
            .says("{It} has no pressure rating marked on it: nobody can tell whether it may burst on the hottest day.")
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
        let (hot, when) = solved::pad_when_hot(s, tank, pad);
        // what a warm day adds, the relief valve lets go: then it is that which opens
        let relieved = pad <= limit && tank.relief_pressure.is_some_and(|p| p <= limit);
        if hot > limit && !relieved {
            let says = format!(
                "{{It}} is rated for {{limit}} and the gas in it reaches {{measured}} {when}: it may burst."
            );
            v.advice("Put less gas pressure over the liquid, or use a tank made for it")
                .says(says)
                .find(
                    "tank.pressure",
                    s.pressure(hot),
                    Limit::AtMost(s.pressure(limit)),
                );
        }
        return;
    }
    let Some(hot) = solved::hottest(s, v) else {
        return;
    };
    let Some(margin) = hot.to_rating else {
        v.not_checked("the rig file does not give `tank.rating`");
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
        let when = solved::hottest_day(s);
        let says =
            format!("{{It}} is rated for {{limit}} and reaches {{measured}} {when}: it may burst.");
        let advice = format!(
            "Use a tank rated for {} or more, or a fuel of lower vapour pressure",
            solved::enough_pressure(s, pressure)
        );
        v.advice(advice).says(says).find(
            "tank.rating",
            s.pressure(pressure),
            Limit::AtMost(s.pressure(limit)),
        );
    }
}
