//! A fire extinguisher whose inspection is overdue.

use super::older_than;
use crate::audit::rule::rule;
use crate::audit::{Solution, Verdict};
use crate::train::rig::Extinguisher;

rule! {
    /// ## Finding
    /// The extinguisher was last inspected {measured} ago, over {limit}: powder cakes and pressure leaks away.
    /// ## What it checks
    /// Age of the last inspection of the extinguisher on the test day, against one year.
    /// ## Why it matters
    /// Powder cakes and pressure leaks away, and that is found out only once.
    /// ## What to do
    /// Have it inspected or bring another, and look at its gauge on the day.
    "REC007", "extinguisher-inspection-due", Records, [Caution], Choice("yearly is usual for workplaces; the local code decides")
}

const UNDATED: &str =
    "The extinguisher carries no inspection date: powder cakes and pressure leaks away.";

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if matches!(s.rig.site.extinguisher, None | Some(Extinguisher::None)) {
        v.not_checked("the rig file does not give `site.extinguisher`");
        return;
    }
    let inspected = s.rig.records.extinguisher_inspected;
    let key = ("records.extinguisher_inspected", UNDATED);
    older_than(s, v, key, inspected, 1.0);
}
