//! A liquid fuel that stands above its flash point.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::combustion::Flammability;
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::fuel::FedAs;
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// At up to {measured} the fuel is above its flash point of {limit}: every open surface and every drip gives a
    /// mixture that burns.
    /// ## What it checks
    /// Flash point of a liquid fuel, burnt now or planned in `[switch]`, against the hottest
    /// temperature at the site, 20 K more where the tank stands in the sun.
    /// ## Why it matters
    /// Above its flash point every open surface and every drip gives a mixture that burns. Below it a
    /// mist still does.
    /// ## What to do
    /// Keep the tank closed, use drip trays and keep ignition sources away. Or use a fuel of higher flash point. For a
    /// fuel far below it, light-up needs a fine spray and a strong spark.
    "LIQ005", "above-flash-point", Liquid, [Danger, Warning, Notice],
    Choice("lowest flash point of the standards that list the fuel")
}

/// So far above its flash point a fuel gives off a mixture that burns as soon as it is opened, K.
const FAR_ABOVE_K: f64 = 30.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let hottest = s.rig.hottest_tank().unwrap_or(s.rig.site.ambient);
    let planned = s.rig.switch.as_ref().map(|p| (&p.to, "switch.to"));
    for (fuel, at) in std::iter::once((&s.rig.fuel.composition, "fuel.composition")).chain(planned)
    {
        if usual_phase(fuel) != FedAs::Liquid {
            continue;
        }
        let point = match Flammability::of(fuel) {
            Ok(f) => f.flash_point,
            Err(why) => {
                v.not_checked(format!("{}: {why}", fuel.label()));
                continue;
            }
        };
        let Some(point) = point else {
            v.not_checked(format!("the flash point of {} is not known", fuel.label()));
            continue;
        };
        if hottest.value > point.value {
            let burnt = at == "fuel.composition";
            v.signal(if burnt && hottest.value > point.value + FAR_ABOVE_K {
                Signal::Danger
            } else if burnt {
                Signal::Warning
            } else {
                Signal::Notice
            })
            .says(format!(
                "At up to {{measured}} {} is above its flash point of {{limit}}: every open surface and drip gives a mixture that burns.",
                fuel.label()
            ))
            .find(
                at,
                (Kind::Temperature, hottest.value),
                Limit::at_most(Kind::Temperature, point.value),
            );
        }
    }
}
