//! One set of holes asked for too wide a range of flow.

use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Most over least fuel flow of the duties against 10.
    /// ## Why it matters
    /// Below choking the drop over the holes goes with the square of the flow: at a tenth of the flow
    /// there is a hundredth of the drop left to meter with.
    /// ## What to do
    /// A second set of holes, or a pilot of its own, for the low duties.
    "INJ008", "wide-turndown", Injector, [Notice], Choice("a hundredth of the drop is left at a tenth of the flow")
}

const MOST: f64 = 10.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let turndown = match &s.injector {
        Ok(plan) => plan.turndown,
        Err(why) => {
            v.not_checked(format!("the injector is not solved: {why}"));
            return;
        }
    };
    match turndown {
        Some(turndown) if turndown.value > MOST => v.find(
            "injector",
            (
                Kind::Ratio,
                turndown.value,
                format!("{:.1} to 1", turndown.value),
            ),
            Limit::AtMost(Measured::Worded(Kind::Ratio, MOST, format!("{MOST} to 1"))),
        ),
        Some(_) => {}
        None => v.not_checked("no duty is fed"),
    }
}
