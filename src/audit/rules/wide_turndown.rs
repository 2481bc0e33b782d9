//! One set of holes asked for too wide a range of flow.

use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Solution, Verdict};
use crate::quantity::Kind;
use crate::quantity::show::number;

rule! {
    /// ## Finding
    /// One set of holes is turned down {measured}, past {limit}: next to no drop is left to meter the smallest duty.
    /// ## What it checks
    /// Turndown: the largest fuel flow of the duties over the smallest, against 10.
    /// ## Why it matters
    /// Below choking the drop over the holes goes with the square of the flow: at a tenth of the flow a hundredth of
    /// the drop is left to meter with.
    /// ## What to do
    /// Feed the low duties by a second set of holes, or by a pilot of its own.
    "INJ008", "wide-turndown", Injector, [Notice], Choice("a hundredth of the drop is left at a tenth of the flow"),
    levers ["duties.target" Either]
}

pub(crate) const MOST: f64 = 10.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let turndown = match &s.injector {
        Ok(plan) => plan.turndown,
        Err(why) => {
            v.not_checked(format!("the holes cannot be computed: {why}"));
            return;
        }
    };
    match turndown {
        Some(turndown) if turndown.value > MOST => v.find(
            "injector",
            (
                Kind::Ratio,
                turndown.value,
                format!("{} to 1", number(turndown.value)),
            ),
            Limit::AtMost(Measured::Worded(Kind::Ratio, MOST, format!("{MOST} to 1"))),
        ),
        Some(_) => {}
        None => v.not_checked("the holes do not feed any duty"),
    }
}
