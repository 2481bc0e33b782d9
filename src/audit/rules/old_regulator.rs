//! A regulator that is too old.

use super::older_than;
use crate::audit::rule::rule;
use crate::audit::{Signal, Solution, Source, Verdict};
use crate::train::PartKind;

rule! {
    /// ## What it checks
    /// Age of the regulator on the test day, against ten years, where the train has one.
    /// ## Why it matters
    /// Its diaphragm stiffens and its seat wears; it creeps, and the burner gets what it creeps to.
    /// ## What to do
    /// Replace the regulator. The date is stamped on it; some countries set their own age.
    OldRegulator, "REC005", "old-regulator", Records
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let parts = s.rig.train.parts();
    if !parts
        .iter()
        .any(|p| matches!(p.kind, PartKind::Regulator(_)))
    {
        return;
    }
    older_than(
        s,
        v,
        Signal::Warning,
        ("records.regulator_made", s.rig.records.regulator_made),
        10.0,
        Source::Choice("an age in use for LPG regulators; the local code and the stamp decide"),
        "replace the regulator",
    );
}
