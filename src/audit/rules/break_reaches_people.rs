//! A line torn off whose jet can burn where other people are.

use super::{leak_plan, people_distance, worst_break};
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

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let distance = people_distance(s, v)?;
    let plan = leak_plan(s, v)?;
    let (broken, reach) = worst_break(plan, v)?;
    if distance < reach {
        v.advice(format!(
                "if `{broken}` is torn off, its jet can burn up to there: keep people farther off, or limit the flow before it"
            )).find("site.people_distance", (Kind::Length, distance.value), Limit::at_least(Kind::Length, reach.value));
    }
    Some(())
}
