//! A leak test that shows a leak.

use super::judged_leak_tests;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::leak::{LeakJudgement, LeakVerdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Each leak test on record: its fall, corrected for temperature, less the band of gauge and
    /// thermometer, against the fall that a leak of one burner shut-off valve's size makes in that time, and against a
    /// twentieth of the test pressure; of soap, whether it showed a leak. A later test of all the
    /// same parts that passes stands in its place; soap in the place of soap alone.
    /// ## Why it matters
    /// A small volume loses pressure fast; a large one hides the same leak. The fall by itself says
    /// nothing.
    /// ## What to do
    /// Find the leak with soap, mend it, and test again.
    "LEK001", "leaks-on-record", Leak, [Danger],
    Choice("common practice, no source: what bubbles leaks, whatever its rate")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let all = judged_leak_tests(s, v);
    for judged in all {
        let mended = all.iter().any(|later| passed_since(judged, later));
        if judged.verdict != LeakVerdict::Leaks || mended {
            continue;
        }
        let record = &judged.record;
        let Some(sums) = &judged.sums else {
            v.advice("mend the joint and soap it again before any fuel")
                .find(
                    format!("{}.leak_found", record.test.at),
                    format!("soap showed a leak, {}", record.label),
                    Limit::Should("no bubbles at any joint"),
                );
            continue;
        };
        let fell = s.show(Kind::PressureDifference, sums.corrected.pascals());
        let corrected = if record.temperatures_read() {
            ", corrected"
        } else {
            ", no temperatures read"
        };
        let text = sums.leak.map_or_else(
            || format!("{}: fell by {fell}{corrected}", record.label),
            |(least, leak, _)| {
                format!(
                    "{}: fell by {fell}{corrected}: a leak of {} of the test gas, {} at least",
                    record.label,
                    s.show(Kind::VolumeRate, leak.value),
                    s.show(Kind::VolumeRate, least.value)
                )
            },
        );
        v.source(Source::Unconfirmed("en161")).find(
            format!("{}.drop", record.test.at),
            (Kind::PressureDifference, sums.corrected.pascals(), text),
            Limit::at_most(Kind::PressureDifference, sums.accepted.pascals()),
        );
    }
}

/// Whether a later test of all the parts of an older one passed: what leaked then has been mended.
fn passed_since(older: &LeakJudgement, later: &LeakJudgement) -> bool {
    let (old, new) = (&older.record, &later.record);
    later.verdict == LeakVerdict::Within
        && new.test.date > old.test.date
        && (old.soaped() || !new.soaped())
        && old.parts.iter().all(|p| new.parts.contains(p))
}
