//! A regulator that is too old.

use super::older_than;
use crate::audit::rule::rule;
use crate::audit::{Solution, Verdict};

rule! {
    /// ## Finding
    /// The regulator is {measured} old, over {limit}: its diaphragm stiffens, its seat wears, and it creeps.
    /// ## What it checks
    /// Age of the regulator on the test day, against ten years, where the train has one.
    /// ## Why it matters
    /// Its diaphragm stiffens and its seat wears. It creeps, and the burner gets what it creeps to.
    /// ## What to do
    /// Replace the regulator. Its date is stamped on it; some countries set their own age.
    "REC005", "old-regulator", Records, [Warning], Choice("an age in use for LPG regulators; the local code and the stamp decide")
}

const UNDATED: &str = "The regulator carries no date: nobody knows its age.";

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let parts = s.rig.train.parts();
    if !parts.iter().any(|p| p.is_regulator()) {
        return;
    }
    let made = s.rig.records.regulator_made;
    let key = ("records.regulator_made", UNDATED);
    older_than(s, v, key, made, 10.0);
}
