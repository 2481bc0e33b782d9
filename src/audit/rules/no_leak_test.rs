//! No leak test on record.

use crate::audit::rule::rule;

rule! {
    /// ## Finding
    /// No leak test was made: every joint of the train is a guess.
    /// ## What it checks
    /// Whether a leak test is on record.
    /// ## Why it matters
    /// Every joint of an untested train is a guess.
    /// ## What to do
    /// Test with nitrogen at the pressure that the code names, soap every joint, and record it.
    "REC001", "no-leak-test", Records, [Danger], Choice("common practice; codes ask for it");
    asks: |s| match s.rig.leak_tests.as_slice() {
        [] if s.rig.says_none("leak_test") => Some(false),
        [] => None,
        _ => Some(true),
    },
    at: "leak_test",
    no: "none",
    should: "a pressure test of the whole train",
    unknown: "no leak test is on record"
}
