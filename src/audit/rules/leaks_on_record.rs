//! A leak test that shows a leak, or cannot tell.

use super::judged_leak_test;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::leak::LeakVerdict;
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// The leak test on record: its fall, corrected for temperature, less the band of gauge and
    /// thermometer, against the fall that a leak of one burner shut-off valve's size makes in that time.
    /// ## Why it matters
    /// A small volume loses pressure fast; a large one hides the same leak. The fall by itself says
    /// nothing.
    /// ## What to do
    /// Find the leak with soap, mend it, and test again.
    LeaksOnRecord, "LEK001", "leaks-on-record", Leak
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(judged) = judged_leak_test(s, v) else {
        return;
    };
    if judged.verdict == LeakVerdict::Leaks {
        v.find(
            Signal::Danger,
            "leak_test.drop",
            Measured::Worded(
                Kind::PressureDifference,
                judged.corrected.pascals(),
                format!(
                    "fell by {}, corrected: a leak of {} of the test gas, {} at least",
                    s.show(Kind::PressureDifference, judged.corrected.pascals()),
                    s.show(Kind::VolumeRate, judged.leak.1.value),
                    s.show(Kind::VolumeRate, judged.leak.0.value)
                ),
            ),
            Limit::AtMost(Measured::Quantity(
                Kind::PressureDifference,
                judged.accepted.pascals(),
            )),
            Source::Unconfirmed("en161"),
            "find the leak with soap, mend it, and test again",
        );
    }
}
