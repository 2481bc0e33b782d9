//! A line torn off whose jet can burn where other people are.

use super::{leak_plan, worst_break};
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
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
    BreakReachesPeople, "LEK008", "break-reaches-people", Leak
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
        v.find(
            Signal::Warning,
            "site.people_distance",
            Measured::Quantity(Kind::Length, distance.value),
            Limit::AtLeast(Measured::Quantity(Kind::Length, reach.value)),
            Source::Published("chen-rodi1980"),
            format!(
                "if `{broken}` is torn off, its jet can burn up to there: keep people farther off, or limit the flow before it"
            ),
        );
    }
}
