//! A start without flame that fills can and duct with a mixture that burns.

use super::{leak_plan, light_up};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// By the end of the ignition time can and duct hold {measured} of unlit fuel, over {limit}: a late spark sets
    /// free up to {energy}.
    /// ## What it checks
    /// Mean mixture in can and duct at the end of the ignition time of the first duty, fed and not lit, against the
    /// lower flammability limit. Air counts only where its flow is proved.
    /// ## Why it matters
    /// If the whole duct can burn when the igniter at last strikes, all of it goes off at once.
    /// ## What to do
    /// Shorten the ignition time, light up with less fuel, prove the air, and purge after every failed start.
    "LEK015", "unlit-fuel-fills-duct", Leak, [Warning],
    Choice("the duct as a whole must not be able to burn while the igniter still tries"),
    levers ["controls.ignition_time" Down, "duties.target" Down, "duties.throttle" Up, "duties.air_flow" Up]
}

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let plan = leak_plan(s, v)?;
    let first = light_up(s, plan, v)?;
    let Some(at) = first.at_ignition else {
        v.not_checked("the rig file does not give the ignition time, or the volume of can or duct");
        return None;
    };
    let Some(limits) = plan.fuel.limits else {
        v.not_checked("the fuel library has no flammability limits for this fuel");
        return None;
    };
    let proved = s.rig.air.proved == Some(true);
    let found = if proved {
        at.fraction
    } else {
        at.fraction_without_air
    };
    if found > limits.lower {
        let energy = s.show(Kind::Energy, at.energy.value);
        let says = v.rule.says().replace("{energy}", &energy);
        v.says(says)
            .advice(if proved {
                "Shorten the ignition time, or light up with less fuel."
            } else {
                "Prove the air, or it does not count. Shorten the ignition time, or light up with less fuel."
            })
            .find(
                "controls.ignition_time",
                (Kind::Ratio, found.value),
                Limit::at_most(Kind::Ratio, limits.lower.value),
            );
    }
    Some(())
}
