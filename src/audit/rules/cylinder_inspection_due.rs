//! A cylinder whose periodic inspection is overdue.

use super::older_than;
use crate::audit::rule::rule;
use crate::audit::{Signal, Solution, Source, Verdict};

rule! {
    /// ## What it checks
    /// Age of the last inspection of the cylinder on the test day, against ten years.
    /// ## Why it matters
    /// Rust at the foot and a worn relief valve are found on the inspection bench, or in use.
    /// ## What to do
    /// Exchange the cylinder. The date is stamped on it or its collar; composite cylinders are due sooner.
    CylinderInspectionDue, "REC006", "cylinder-inspection-due", Records
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if s.rig.supply.tank().is_none() {
        return;
    }
    older_than(
        s,
        v,
        Signal::Warning,
        (
            "records.cylinder_inspected",
            s.rig.records.cylinder_inspected,
        ),
        10.0,
        Source::Choice(
            "the usual term for steel LPG cylinders, from memory; the stamp and the local code decide",
        ),
        "exchange the cylinder",
    );
}
