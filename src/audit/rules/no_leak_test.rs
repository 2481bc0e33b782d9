//! No leak test on record, or one that failed.

use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::leak::LeakVerdict;
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Whether a leak test is on record, and whether its gauge fell by more than 10 % of where it began.
    /// ## Why it matters
    /// Every joint of a train that nobody has tested is a guess.
    /// ## What to do
    /// Test with nitrogen at the pressure that the code names, soap every joint, and write it down.
    NoLeakTest, "REC001", "no-leak-test", Records
}

/// Share of the start pressure that an ASTM pressure-decay practice lets the gauge fall, as quoted on a
/// public summary.
const MOST: f64 = 0.10;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(test) = &s.rig.leak_test else {
        if s.rig.says_none("leak_test") {
            v.find(
                Signal::Danger,
                "leak_test",
                "none was made",
                Limit::Should("a pressure test of the whole train"),
                Source::Choice("common practice; codes ask for it"),
                "test with nitrogen at the pressure that the code names, soap every joint, and write it down",
            );
        } else {
            v.not_checked("there is no leak test on record");
        }
        return;
    };
    // a fall that is known to be a leak has its own rule
    let judged = s.judged_leak_test().and_then(|j| j.as_ref().ok());
    if judged.is_some_and(|j| j.verdict == LeakVerdict::Leaks) {
        return;
    }
    let share = test.drop.pascals() / test.pressure.pascals();
    if share > MOST {
        v.find(
            Signal::Danger,
            "leak_test.drop",
            Measured::Worded(
                Kind::Ratio,
                share,
                format!("fell by {}", s.show(Kind::Ratio, share)),
            ),
            Limit::AtMost(Measured::Quantity(Kind::Ratio, MOST)),
            Source::Choice(
                "the fall that a published decay practice lets pass; smaller leaks matter too",
            ),
            "find the leak with soap, mend it, and test again",
        );
    }
}
