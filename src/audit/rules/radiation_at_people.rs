//! Radiation of a lit release where other people are.

use super::{leak_plan, people_distance, worst_radiation};
use crate::audit::finding::capital;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::leak::fire::THRESHOLDS;
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// {What}, once lit, puts {measured} on other people, over {limit}: it drives them off or burns them.
    /// ## What it checks
    /// Radiation where other people are from the largest release that nothing closes by itself, once lit, against
    /// 1.58 kW/m2. Their distance to the fire is taken as that to the release, which may blow towards them.
    /// ## Why it matters
    /// More than that drives off or burns people who have no protective clothes and no task there.
    /// ## What to do
    /// Keep people farther off. Fit an excess-flow valve or a smaller bore.
    "LEK014", "radiation-at-people", Leak, [Warning], Published("api521"),
    levers ["site.people_distance" Up]
}

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let distance = people_distance(s, v)?;
    let plan = leak_plan(s, v)?;
    let (what, found) = worst_radiation(plan, distance, v)?;
    let limit = THRESHOLDS[0].level_w_m2;
    if found.value > limit {
        let says = v.rule.says().replace("{What}", &capital(&what));
        v.says(says).find(
            "site.people_distance",
            (Kind::HeatFlux, found.value),
            Limit::at_most(Kind::HeatFlux, limit),
        );
    }
    Some(())
}
