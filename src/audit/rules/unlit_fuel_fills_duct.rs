//! A start without flame that fills can and duct with a mixture that burns.

use super::{leak_plan, light_up};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Mean mixture in can and duct at the end of the ignition time of the first duty, fed and not lit,
    /// against the lower flammability limit. Air counts only where its flow is proved.
    /// ## Why it matters
    /// If the whole duct can burn when the igniter at last strikes, all of it goes off at once.
    /// ## What to do
    /// Shorten the ignition time, light up with less fuel, prove the air, purge after every start that
    /// fails.
    "LEK015", "unlit-fuel-fills-duct", Leak, [Warning],
    Choice("the duct as a whole must not be able to burn while the igniter still tries")
}

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let plan = leak_plan(s, v)?;
    let first = light_up(s, plan, v)?;
    let Some(at) = first.at_ignition else {
        v.not_checked("the ignition time or the volume of can or duct is not given");
        return None;
    };
    let Some(limits) = plan.fuel.limits else {
        v.not_checked("the fuel has no flammability limits in the library");
        return None;
    };
    let proved = s.rig.air.proved == Some(true);
    let found = if proved {
        at.fraction
    } else {
        at.fraction_without_air
    };
    if found > limits.lower {
        let air = if proved {
            ""
        } else {
            " (the air is not proved: none is counted)"
        };
        v.advice(format!(
                "a late spark sets free up to {}{air}: shorten the ignition time or light up with less fuel",
                s.show(Kind::Energy, at.energy.value)
            )).find("controls.ignition_time", (Kind::Ratio, found.value), Limit::at_most(Kind::Ratio, limits.lower.value));
    }
    Some(())
}
