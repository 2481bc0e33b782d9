//! No leak test on record.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};

rule! {
    /// ## What it checks
    /// Whether a leak test is on record.
    /// ## Why it matters
    /// Every joint of a train that nobody has tested is a guess.
    /// ## What to do
    /// Test with nitrogen at the pressure that the code names, soap every joint, and write it down.
    NoLeakTest, "REC001", "no-leak-test", Records
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if s.rig.leak_tests.is_empty() {
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
    }
}
