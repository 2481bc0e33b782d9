//! A line torn off whose jet can burn where other people are.

use super::{leak_plan, worst_break};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Distance to other people, against the distance at which the jet from the line whose break lets out
    /// most is thinned to half its lower flammability limit. Their distance to the fire is taken as that to
    /// the break.
    /// ## Why it matters
    /// A hose that is torn off blows until something closes; whoever stands inside that distance stands in
    /// gas that can be lit.
    /// ## What to do
    /// Keep people farther off, point the line away from them, or fit a smaller bore or an orifice before
    /// the hose.
    "LEK008", "break-reaches-people", Leak, [Warning], Published("chen-rodi1980")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    // nobody else is near
    if s.rig.says_none("site.people_distance") {
        return;
    }
    let Some(distance) = s.rig.site.people_distance else {
        v.not_checked("the rig file gives no distance to other people");
        return;
    };
    let Some(plan) = leak_plan(s, v) else { return };
    let Some((broken, reach)) = worst_break(plan, v) else {
        return;
    };
    if distance < reach {
        v.advice(format!(
                "if `{broken}` is torn off, its jet can burn up to there: keep people farther off, or limit the flow before it"
            )).find("site.people_distance", (Kind::Length, distance.value), Limit::at_least(Kind::Length, reach.value));
    }
}
