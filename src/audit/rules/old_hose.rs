//! A hose that is too old.

use super::{DAYS_PER_YEAR, SECONDS_PER_DAY};
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::train::PartKind;

rule! {
    /// ## What it checks
    /// Age of the oldest hose on the test day, against five years, where the train has a hose.
    /// ## Why it matters
    /// Rubber hardens and cracks from inside; it shows outside last.
    /// ## What to do
    /// Replace the hose. The date is stamped on it; some countries set their own age.
    OldHose, "REC003", "old-hose", Records
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
    if s.rig.says_none("records.hose_made") {
        v.find(
            Signal::Warning,
            "records.hose_made",
            "no date on the hose",
            Limit::Should("a hose whose age is known"),
            Source::Choice("common practice; codes set the age"),
            "replace the hose by one with a date on it",
        );
        return;
    }
    let (Some(day), Some(made)) = (s.rig.records.test_day, s.rig.records.hose_made) else {
        v.not_checked("the date of the hose or the test day is not given");
        return;
    };
    let years = f64::from(day.days_since(made)) / DAYS_PER_YEAR;
    let worded = |years: f64, text| {
        Measured::Worded(Kind::Time, years * DAYS_PER_YEAR * SECONDS_PER_DAY, text)
    };
    if years > MOST_YEARS {
        v.find(
            Signal::Warning,
            "records.hose_made",
            worded(years, format!("{years:.1} years")),
            Limit::AtMost(worded(MOST_YEARS, format!("{MOST_YEARS} years"))),
            Source::Choice("the shorter of the ages in use; the local code and the stamp decide"),
            "replace the hose",
        );
    }
}
