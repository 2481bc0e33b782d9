//! A full-bore break whose jet can burn where other people are.

use super::{leak_plan, people_distance, worst_break};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// If a line breaks full-bore its jet can burn out to {limit}; other people stand at {measured}.
    /// ## What it checks
    /// Distance to other people, against the distance at which the jet from the worst full-bore break is thinned to
    /// half its lower flammability limit. Their distance to the fire is taken as that to the break.
    /// ## Why it matters
    /// A broken hose blows until something closes. Whoever stands within that distance stands in gas that can be lit.
    /// ## What to do
    /// Keep people farther off, point the line away from them, or fit a smaller bore or an orifice before the hose.
    "LEK008", "break-reaches-people", Leak, [Warning], Published("chen-rodi1980"),
    levers ["site.people_distance" Up]
}

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let distance = people_distance(s, v)?;
    let plan = leak_plan(s, v)?;
    let (broken, reach) = worst_break(plan, v)?;
    if distance < reach {
        v.says(format!(
                "If the {broken} breaks full-bore, its jet can burn out to {{limit}}; other people stand at {{measured}}."
            )).advice(format!("Keep people farther off, or limit the flow before the {broken}.")).find("site.people_distance", (Kind::Length, distance.value), Limit::at_least(Kind::Length, reach.value));
    }
    Some(())
}
