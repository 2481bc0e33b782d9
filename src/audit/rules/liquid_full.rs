//! A tank that becomes liquid-full by warming.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::quantity::Kind;
use crate::train::rig::supply::SUN_K;

rule! {
    /// ## Finding
    /// {It} is liquid-full at {measured}; the hottest day with sun brings {limit}, and then its relief valve throws
    /// liquid or its wall gives.
    /// ## What it checks
    /// Temperature at which the charge fills the whole tank with liquid, against the hottest day and 20 K of sun on top
    /// of it. Where the filling limit would cure it, the rule on overfilled tanks says so.
    /// ## Why it matters
    /// A tank without room for vapour gains several bar with every kelvin. The relief valve throws liquid, or the wall
    /// gives.
    /// ## What to do
    /// Fill less, to the limit of the code in force, and shade the tank.
    "TNK003", "liquid-full-when-warm", Tank, [Danger, Warning],
    Choice("hottest day of the site and 20 K for sun on the wall"),
    levers ["tank.fuel_mass" Down, "tank.fill" Down, "tank.water_bath" Down]
}

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let tank = solved::tank(s, v)?;
    let Some(hottest) = s.rig.site.hottest else {
        v.not_checked("the rig file does not give `site.hottest`");
        return None;
    };
    let full = tank.filling.liquid_full?;
    // what an overfilled tank would not do with its limit in it is told with the overfilling
    let spared = tank.at_limit.as_ref().is_some_and(|l| {
        l.liquid_full
            .is_none_or(|t| t.value > hottest.value + SUN_K)
    });
    if !spared && full.value <= hottest.value + SUN_K {
        v.signal(
            if s.rig.hottest_tank().is_some_and(|t| full.value <= t.value) {
                Signal::Danger
            } else {
                Signal::Warning
            },
        )
        .find(
            "tank",
            (Kind::Temperature, full.value),
            Limit::at_least(Kind::Temperature, hottest.value + SUN_K),
        );
    }
    Some(())
}
