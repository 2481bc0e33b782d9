//! A hose that is too old.

use super::aged;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::train::PartKind;

rule! {
    /// ## Finding
    /// The oldest hose is {measured} old, over {limit}: rubber cracks from inside and shows it outside last.
    /// ## What it checks
    /// Age of the oldest hose on the test day, against five years, where the train has a hose.
    /// ## Why it matters
    /// Rubber hardens and cracks from inside; outside it shows last.
    /// ## What to do
    /// Replace the hose. Its date is stamped on it; some countries set their own age.
    "REC003", "old-hose", Records, [Warning], Choice("the shorter of the ages in use; the local code and the stamp decide")
}

const MOST_YEARS: f64 = 5.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let has_hose = s
        .rig
        .train
        .parts()
        .iter()
        .any(|p| matches!(p.kind, PartKind::Hose(_)));
    if !has_hose {
        return;
    }
    let at = "records.hose_made";
    if s.rig.says_none(at) {
        v.source(Source::Choice("common practice; codes set the age"))
            .says("The hose carries no date: nobody knows its age.")
            .advice("Replace the hose by one with a date on it.")
            .find(at, "no date", Limit::Should("a hose whose age is known"));
        return;
    }
    let (Some(day), Some(made)) = (s.rig.records.test_day, s.rig.records.hose_made) else {
        v.not_checked("the rig file does not give `records.hose_made` or `records.test_day`");
        return;
    };
    aged(v, at, day, made, MOST_YEARS);
}
