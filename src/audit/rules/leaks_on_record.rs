//! A leak test that shows a leak.

use super::{judged_leak_tests, tested};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::leak::{LeakJudgement, LeakVerdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// {Test} lost {measured} ({corrected}), over {limit}.{leak}
    /// ## What it checks
    /// Each leak test on record. Its pressure drop, corrected for temperature, less the error of gauge and
    /// thermometer, against the drop that a leak of one burner shut-off valve's size makes in that time, and against
    /// a twentieth of the test pressure. Of soap: whether it showed a leak. A later test of all the same parts that
    /// passes takes its place; soap takes the place of soap only.
    /// ## Why it matters
    /// A small volume loses pressure fast; a large one hides the same leak. The drop alone says nothing.
    /// ## What to do
    /// Find the leak with soap and mend it. Test again before any fuel goes in.
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
            let says = format!("{} shows a leak.", tested("soap test", &record.label));
            v.says(says)
                .advice("Mend the joint and soap it again before any fuel goes in.")
                .find(
                    format!("{}.leak_found", record.test.at),
                    "soap showed a leak",
                    Limit::Should("no bubbles at any joint"),
                );
            continue;
        };
        let test = tested("leak test", &record.label);
        let corrected = if record.temperatures_read() {
            "corrected"
        } else {
            "no temperatures read"
        };
        let leak = sums.leak.map_or_else(String::new, |(least, leak, _)| {
            format!(
                " Test gas leaks at {}, at least {}.",
                s.show(Kind::VolumeRate, leak.value),
                s.show(Kind::VolumeRate, least.value)
            )
        });
        let says = v.rule.says().replace("{Test}", &test);
        let says = says
            .replace("{corrected}", corrected)
            .replace("{leak}", &leak);
        v.says(says).source(Source::Unconfirmed("en161")).find(
            format!("{}.drop", record.test.at),
            (Kind::PressureDifference, sums.corrected.pascals()),
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
