//! A figure of the file that is most likely a slip.

use crate::audit::rule::rule;
use crate::audit::usual::Usual;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};

rule! {
    /// ## Finding
    /// The key `{path}` reads {measured}, beyond the usual {limit}: a slip of the unit or of the decimal point is likely.
    /// ## What it checks
    /// Every number of the file against the range that such a figure has in the trade: wide ranges, common practice
    /// unless a source is named. A CAUTION where a hazard sum rests on it. Zero is left to other rules.
    /// ## Why it matters
    /// A slip of the unit or of the decimal point describes a rig that nobody has, and every figure after it belongs
    /// to that rig.
    /// ## What to do
    /// Check the figure and its unit where it came from: plate, data sheet, ruler. If it is so, set the finding aside
    /// with the reason.
    "VAL001", "unusual-value", Values, [Caution, Notice], Choice("what the trade has; each figure gives its own reason")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    for given in &s.rig.given {
        let Some(usual) = Usual::of(given) else {
            continue;
        };
        let Some(&si) = given.values.iter().find(|si| usual.is_outside(**si)) else {
            continue;
        };
        let limit = if si < usual.low {
            Limit::AtLeast(usual.measured(usual.low))
        } else {
            Limit::AtMost(usual.measured(usual.high))
        };
        let says = v.rule.says().replace("{path}", &given.path);
        v.says(says)
            .signal(if usual.hazard {
                Signal::Caution
            } else {
                Signal::Notice
            })
            .source(Source::Choice(usual.why))
            .advice(format!("Check the figure and the unit of `{}`.", given.key))
            .find(given.path.clone(), usual.measured(si), limit);
    }
}
