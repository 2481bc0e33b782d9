//! Holes wider than the quenching distance of the fuel.

use super::injector_plan;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::combustion::Flammability;
use crate::quantity::{Kind, Length};

rule! {
    /// ## Finding
    /// The holes are {measured} wide, above the quenching distance of {limit}: a flame can pass back through them once
    /// air is behind.
    /// ## What it checks
    /// Diameter of the holes against the smallest quenching distance of the fuel's components.
    /// ## Why it matters
    /// A flame can pass back through a wide hole once there is air behind it: after a slow purge, or when the pressure
    /// fails. A hole below the distance only makes that less likely. A flame arrester is a part that was type-tested as
    /// one; a row of holes is not.
    /// ## What to do
    /// Keep air out of the tube behind the holes. Shut off close to it, and purge it with inert gas. Fit a type-tested
    /// arrester where the gas could be mixed with air. Smaller holes would not be a flame arrester either.
    "INJ006", "hole-above-quenching-distance", Injector, [Notice],
    Choice("quenching distance of the fuel file, good to a quarter"),
    levers ["injector.hole_diameter" Down]
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if let Some(plan) = injector_plan(s, v) {
        judge("injector", plan.diameter, s.flammability.as_ref().ok(), v);
    }
}

/// Holds a hole against the quenching distance; says if there is none.
pub(super) fn judge(at: &str, hole: Length, burns: Option<&Flammability>, v: &mut Verdict) {
    let Some(quenching) = burns.and_then(|b| b.quenching_distance.as_ref()) else {
        return v.not_checked("the quenching distance of this fuel is not known");
    };
    if hole.value > quenching.value {
        let limit = Limit::at_most(Kind::Length, quenching.value);
        v.find(at, (Kind::Length, hole.value), limit);
    }
}
