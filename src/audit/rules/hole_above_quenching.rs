//! Holes wider than the quenching distance of the fuel.

use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Diameter of the holes against the smallest quenching distance of the fuel's components.
    /// ## Why it matters
    /// A flame can pass back through a wide hole once there is air behind it: after a slow purge, or
    /// when the pressure fails. A hole below the distance makes that less likely and no more: no row
    /// of holes is a flame arrester, which is a part that was type-tested as one.
    /// ## What to do
    /// Keep air out of the tube behind the holes: shut off close to it, purge it with inert gas, fit a
    /// type-tested arrester where the gas could be mixed with air. Smaller holes would be no flame
    /// arrester either.
    "INJ006", "hole-above-quenching-distance", Injector, [Notice],
    Choice("quenching distance of the fuel file, good to a quarter")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let plan = match &s.injector {
        Ok(plan) => plan,
        Err(why) => {
            v.not_checked(format!("the injector is not solved: {why}"));
            return;
        }
    };
    let quenching = s
        .flammability
        .as_ref()
        .ok()
        .and_then(|f| f.quenching_distance.as_ref());
    let Some(quenching) = quenching else {
        v.not_checked("no quenching distance is known for this fuel");
        return;
    };
    if plan.diameter.value > quenching.value {
        v.find(
            "injector",
            (Kind::Length, plan.diameter.value),
            Limit::at_most(Kind::Length, quenching.value),
        );
    }
}
