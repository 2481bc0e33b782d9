//! A regulator that is too old.

use super::older_than;
use crate::audit::rule::rule;
use crate::audit::{Solution, Verdict};

rule! {
    /// ## What it checks
    /// Age of the regulator on the test day, against ten years, where the train has one.
    /// ## Why it matters
    /// Its diaphragm stiffens and its seat wears; it creeps, and the burner gets what it creeps to.
    /// ## What to do
    /// Replace the regulator. The date is stamped on it; some countries set their own age.
    "REC005", "old-regulator", Records, [Warning], Choice("an age in use for LPG regulators; the local code and the stamp decide")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let parts = s.rig.train.parts();
    if !parts.iter().any(|p| p.is_regulator()) {
        return;
    }
    let made = s.rig.records.regulator_made;
    older_than(s, v, "records.regulator_made", made, 10.0);
}
