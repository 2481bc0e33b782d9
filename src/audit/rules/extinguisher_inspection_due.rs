//! A fire extinguisher whose inspection is overdue.

use super::older_than;
use crate::audit::rule::rule;
use crate::audit::{Solution, Verdict};
use crate::train::rig::Extinguisher;

rule! {
    /// ## What it checks
    /// Age of the last inspection of the extinguisher on the test day, against one year.
    /// ## Why it matters
    /// Powder cakes and pressure leaks away; it is found out once.
    /// ## What to do
    /// Have it inspected or bring another, and look at its gauge on the day.
    "REC007", "extinguisher-inspection-due", Records, [Caution], Choice("yearly is usual for workplaces; the local code decides")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if matches!(s.rig.site.extinguisher, None | Some(Extinguisher::None)) {
        v.not_checked("the rig file names no extinguisher");
        return;
    }
    let inspected = s.rig.records.extinguisher_inspected;
    older_than(s, v, "records.extinguisher_inspected", inspected, 1.0);
}
