//! A relief valve of a tank that opens today or on the hottest day.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::{Kind, pascals_absolute};

rule! {
    /// ## Finding
    /// The relief valve opens at {limit}; on the hottest day the tank stands at {measured}, so it vents fuel that a
    /// flame may find.
    /// ## What it checks
    /// Pressure of the tank as it starts, and on the hottest day of the site, 20 K warmer in the sun, liquid-full or
    /// not, or of the gas over a liquid, against the set pressure of its relief valve. An overfilled tank is judged
    /// with its limit in it: it has a rule of its own.
    /// ## Why it matters
    /// A relief valve that opens throws fuel where nobody expects it, may not seat again, and finds a flame sooner or
    /// later.
    /// ## What to do
    /// Shade the tank, fill it less if it is liquid-full, or use a tank and relief valve made for this fuel. Never plug
    /// the relief valve or raise its set pressure.
    "TNK005", "tank-relief-opens", Tank, [Warning, Danger, Caution], given("tank.relief_pressure")
}

/// Share of the relief's set pressure, by gauge, that a pad keeps below.
const NEAR: f64 = 0.9;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if let Some(tank) = s.rig.supply.tank()
        && let (Some(pad), Some(limit)) = (s.pad(), tank.relief_pressure)
    {
        let air = s.rig.site.air_pressure.pascals();
        let (hot, when) = solved::pad_when_hot(s, tank, pad);
        let near = pascals_absolute(air + NEAR * (limit.pascals() - air));
        if hot >= limit {
            let (stands, when) = if pad >= limit {
                (pad, "today")
            } else {
                (hot, when.as_str())
            };
            let says = format!(
                "The relief valve opens at {{limit}}; the gas in the tank stands at {{measured}} {when}, so it vents in ordinary work."
            );
            v.advice("Put less gas pressure over the liquid")
                .says(says)
                .find(
                    "tank.pressure",
                    s.pressure(stands),
                    Limit::AtMost(s.pressure(limit)),
                );
        } else if pad > near {
            v.signal(Signal::Caution)
                .source(Source::Choice("a tenth below where the relief valve opens, or it weeps; common practice, no source"))
                .says("The gas in {it} stands at {measured}; above {limit}, a tenth below its set pressure, the relief valve weeps.")
                .advice(format!("Put {} or less over the liquid, or fit a relief valve set higher. Keep within the rating of the tank", s.gauge(near)))
                .find("tank.pressure", s.pressure(pad), Limit::AtMost(s.pressure(near)));
        }
        return;
    }
    let Some(hot) = solved::hottest(s, v) else {
        return;
    };
    let Some(opens) = s.rig.supply.tank().and_then(|t| t.relief_pressure) else {
        v.not_checked("the rig file does not give `tank.relief_pressure`");
        return;
    };
    // what stands in the tank today: warmer days are no matter of then
    let start = s.tank().as_ref().ok().and_then(|t| t.start.as_ref().ok());
    if let Some(start) = start.filter(|c| c.pressure >= opens) {
        v.signal(Signal::Danger)
            .advice("Light nothing near it, and use a tank and relief valve made for this fuel")
            .says("The relief valve opens at {limit} and the tank stands at {measured} today: it vents fuel that a flame may find.")
            .find(
                "tank.relief_pressure",
                s.pressure(start.pressure),
                Limit::AtMost(s.pressure(opens)),
            );
    } else if hot.relief_opens() {
        let full = hot.liquid_full.filter(|_| hot.pressure <= opens);
        let when = solved::hottest_day(s);
        let (measured, says) = match full {
            Some(t) => (
                Measured::Worded(
                    Kind::AbsolutePressure,
                    hot.pressure.pascals(),
                    format!("liquid-full at {}", s.show(Kind::Temperature, t.value)),
                ),
                format!(
                    "The relief valve opens at {{limit}}; the tank is {{measured}} and warmer {when}, so it throws liquid."
                ),
            ),
            None => (
                s.pressure(hot.pressure),
                format!(
                    "The relief valve opens at {{limit}}; the tank reaches {{measured}} {when}, so it vents fuel that a flame may find."
                ),
            ),
        };
        v.advice("Shade the tank, fill it less, or use one made for this fuel")
            .says(says)
            .find(
                "tank.relief_pressure",
                measured,
                Limit::AtMost(s.pressure(opens)),
            );
    }
}
