//! A relief valve of a tank that opens today or on the hottest day.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::{AbsolutePressure, Kind, pascals_absolute};

rule! {
    /// ## What it checks
    /// Pressure of the tank as it starts, and on the hottest day of the site, 20 K warmer in the sun, liquid-full or not,
    /// or of the gas over a liquid, against its relief set pressure. An overfilled tank is judged with its limit in it: it
    /// has a rule of its own.
    /// ## Why it matters
    /// A relief that opens throws fuel where nobody expects it, may not seat again, and finds a flame
    /// sooner or later.
    /// ## What to do
    /// Shade the tank, fill it less if it is liquid-full, or use a tank and relief made for this fuel.
    /// Never plug or raise the relief.
    "TNK005", "tank-relief-opens", Tank, [Warning, Danger, Caution], given("tank.relief_pressure")
}

/// Share of the relief's set pressure, by a gauge, that a pad keeps below.
const NEAR: f64 = 0.9;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if let Some(tank) = s.rig.supply.tank()
        && let (Some(pad), Some(limit)) = (s.pad(), tank.relief_pressure)
    {
        let air = s.rig.site.air_pressure.pascals();
        let (hot, shown) = solved::pad_when_hot(s, tank, pad);
        let near_pa = air + NEAR * (limit.pascals() - air);
        if hot >= limit {
            v.advice("less gas pressure over the liquid: the relief valve must stay shut in ordinary work").find("tank.pressure", if pad >= limit { opens_today(s, pad) } else { shown }, Limit::AtMost(s.pressure(limit)));
        } else if pad.pascals() > near_pa {
            v.signal(Signal::Caution).source(Source::Choice("a tenth below where the relief valve opens, or it weeps; common practice, no source")).advice("less gas pressure over the liquid, or a relief valve set higher within the rating of the tank").find("tank.pressure", s.pressure(pad), Limit::AtMost(s.pressure(pascals_absolute(near_pa))));
        }
        return;
    }
    let Some(hot) = solved::hottest(s, v) else {
        return;
    };
    let Some(opens) = s.rig.supply.tank().and_then(|t| t.relief_pressure) else {
        v.not_checked("the tank gives no `relief_pressure`");
        return;
    };
    // what stands in the tank today: warmer days are no matter of then
    let start = s.tank().as_ref().ok().and_then(|t| t.start.as_ref().ok());
    if let Some(start) = start.filter(|c| c.pressure >= opens) {
        v.signal(Signal::Danger)
            .advice("light nothing near it, and use a tank and relief made for this fuel")
            .find(
                "tank.relief_pressure",
                opens_today(s, start.pressure),
                Limit::AtMost(s.pressure(opens)),
            );
    } else if hot.relief_opens() {
        let full = hot.liquid_full.filter(|_| hot.pressure <= opens);
        v.advice("shade the tank, fill it less, or use a tank and relief made for this fuel")
            .find(
                "tank.relief_pressure",
                match full {
                    Some(t) => Measured::Worded(
                        Kind::AbsolutePressure,
                        hot.pressure.pascals(),
                        format!("liquid-full at {}", s.show(Kind::Temperature, t.value)),
                    ),
                    None => s.gauged(hot.pressure, |x| format!("{x} {}", solved::hottest_day(s))),
                },
                Limit::AtMost(s.pressure(opens)),
            );
    }
}

/// A pressure that the relief valve does not hold today.
fn opens_today(s: &Solution<'_>, pressure: AbsolutePressure) -> Measured {
    let text = format!("{} today", s.gauge(pressure));
    Measured::Worded(Kind::AbsolutePressure, pressure.pascals(), text)
}
