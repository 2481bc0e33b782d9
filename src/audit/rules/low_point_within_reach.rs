//! A pit or drain inside the jet of a line that is torn off.

use super::{leak_plan, worst_break};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// For a fuel heavier than air, the distance to the nearest pit, drain or cellar opening against the
    /// distance at which the jet of the worst break is thinned to half its lower flammability limit.
    /// ## Why it matters
    /// A jet that blows into a low place fills it with gas that no ventilation reaches.
    /// ## What to do
    /// Cover and seal the opening, point the lines away from it, or move the rig.
    "LEK012", "low-point-within-reach", Leak, [Caution], Published("chen-rodi1980")
}

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let site = &s.rig.site;
    if site.low_points == Some(false) {
        return None;
    }
    let Some(distance) = site.low_point_distance else {
        v.not_checked("the rig file gives no distance to the nearest low point");
        return None;
    };
    let plan = leak_plan(s, v)?;
    if !plan.fuel.is_heavy() {
        return None;
    }
    let (broken, reach) = worst_break(plan, v)?;
    if distance < reach {
        v.advice(format!(
                "if `{broken}` is torn off, gas that can burn reaches the low point: cover and seal it, or move the rig"
            )).find("site.low_point_distance", (Kind::Length, distance.value), Limit::at_least(Kind::Length, reach.value));
    }
    Some(())
}
