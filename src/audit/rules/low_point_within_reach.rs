//! A pit or drain within the jet of a full-bore break.

use super::{leak_plan, worst_break};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// If a line breaks full-bore, gas that can burn reaches out to {limit}; a pit or drain lies at {measured}.
    /// ## What it checks
    /// For a fuel heavier than air: distance to the nearest pit, drain or cellar opening, against the distance at
    /// which the jet of the worst full-bore break is thinned to half its lower flammability limit.
    /// ## Why it matters
    /// A jet that blows into a low place fills it with gas that no ventilation reaches.
    /// ## What to do
    /// Cover and seal the opening, point the lines away from it, or move the rig.
    "LEK012", "low-point-within-reach", Leak, [Caution], Published("chen-rodi1980"),
    levers ["site.low_point_distance" Up]
}

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let site = &s.rig.site;
    if site.low_points == Some(false) {
        return None;
    }
    let Some(distance) = site.low_point_distance else {
        v.not_checked("the rig file does not give `site.low_point_distance`");
        return None;
    };
    let plan = leak_plan(s, v)?;
    if !plan.fuel.is_heavy() {
        return None;
    }
    let (broken, reach) = worst_break(plan, v)?;
    if distance < reach {
        v.says(format!("If the {broken} breaks full-bore, gas that can burn reaches out to {{limit}}; a pit or drain lies at {{measured}}.")).find("site.low_point_distance", (Kind::Length, distance.value), Limit::at_least(Kind::Length, reach.value));
    }
    Some(())
}
