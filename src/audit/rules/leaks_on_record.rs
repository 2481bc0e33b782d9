//! A leak test that shows a leak.

use super::judged_leak_tests;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::leak::LeakVerdict;
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Each leak test on record: its fall, corrected for temperature, less the band of gauge and
    /// thermometer, against the fall that a leak of one burner shut-off valve's size makes in that time, and against a
    /// tenth of the test pressure; of soap, whether it showed a leak.
    /// ## Why it matters
    /// A small volume loses pressure fast; a large one hides the same leak. The fall by itself says
    /// nothing.
    /// ## What to do
    /// Find the leak with soap, mend it, and test again.
    LeaksOnRecord, "LEK001", "leaks-on-record", Leak
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    for judged in judged_leak_tests(s, v) {
        if judged.verdict != LeakVerdict::Leaks {
            continue;
        }
        let record = &judged.record;
        let Some(sums) = &judged.sums else {
            v.find(
                Signal::Danger,
                format!("{}.leak_found", record.test.at),
                format!("soap showed a leak, {}", record.label),
                Limit::Should("no bubbles at any joint"),
                Source::Choice("common practice, no source: what bubbles leaks, whatever its rate"),
                "mend the joint and soap it again before any fuel",
            );
            continue;
        };
        let fell = s.show(Kind::PressureDifference, sums.corrected.pascals());
        let text = sums.leak.map_or_else(
            || format!("{}: fell by {fell}, corrected", record.label),
            |(least, leak, _)| {
                format!(
                    "{}: fell by {fell}, corrected: a leak of {} of the test gas, {} at least",
                    record.label,
                    s.show(Kind::VolumeRate, leak.value),
                    s.show(Kind::VolumeRate, least.value)
                )
            },
        );
        v.find(
            Signal::Danger,
            format!("{}.drop", record.test.at),
            Measured::Worded(Kind::PressureDifference, sums.corrected.pascals(), text),
            Limit::AtMost(Measured::Quantity(
                Kind::PressureDifference,
                sums.accepted.pascals(),
            )),
            Source::Unconfirmed("en161"),
            "find the leak with soap, mend it, and test again",
        );
    }
}
