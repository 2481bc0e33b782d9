//! A relief valve that opens on the hottest day.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::{Kind, pascals_absolute};

rule! {
    /// ## What it checks
    /// Pressure of the tank on the hottest day of the site, liquid-full or not, or of the gas over a liquid, against its
    /// relief set pressure. An overfilled tank is judged with its limit in it: it has a rule of its own.
    /// ## Why it matters
    /// A relief that opens throws fuel where nobody expects it, may not seat again, and finds a flame
    /// sooner or later.
    /// ## What to do
    /// Shade the tank, fill it less if it is liquid-full, or use a tank and relief made for this fuel.
    /// Never plug or raise the relief.
    ReliefOpensWhenHot, "TNK005", "relief-opens-on-hottest-day", Tank
}

/// Share of the relief's set pressure, by a gauge, that a pad keeps below.
const NEAR: f64 = 0.9;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if let Some(tank) = s.rig.supply.tank()
        && let (Some(pad), Some(limit)) = (s.pad(), tank.relief_pressure)
    {
        let (pad, shown) = solved::pad_when_hot(s, pad);
        if pad >= limit {
            v.find(
                Signal::Warning,
                "tank.pressure",
                shown.clone(),
                Limit::AtMost(s.pressure(limit)),
                Source::Input("tank.relief_pressure".to_owned()),
                "less gas pressure over the liquid: the relief valve must stay shut in ordinary work",
            );
        }
        let air = s.rig.site.air_pressure.pascals();
        let near = NEAR * (limit.pascals() - air);
        if pad < limit && pad.pascals() - air > near {
            v.find(
                Signal::Caution,
                "tank.pressure",
                shown,
                Limit::AtMost(s.pressure(pascals_absolute(air + near))),
                Source::Choice("a tenth below where the relief valve opens, or it weeps; common practice, no source"),
                "less gas pressure over the liquid, or a relief valve set higher within the rating of the tank",
            );
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
    if hot.relief_opens() {
        let full = hot.liquid_full.filter(|_| hot.pressure <= opens);
        v.find(
            Signal::Warning,
            "tank.relief_pressure",
            match full {
                Some(t) => Measured::Worded(
                    Kind::AbsolutePressure,
                    hot.pressure.pascals(),
                    format!("liquid-full at {}", s.show(Kind::Temperature, t.value)),
                ),
                None => s.pressure(hot.pressure),
            },
            Limit::AtMost(s.pressure(opens)),
            Source::Input("tank.relief_pressure".to_owned()),
            "shade the tank, fill it less, or use a tank and relief made for this fuel",
        );
    }
}
