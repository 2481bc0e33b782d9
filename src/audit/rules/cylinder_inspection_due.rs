//! A cylinder whose periodic inspection is overdue.

use super::older_than;
use crate::audit::rule::rule;
use crate::audit::{Solution, Verdict};

rule! {
    /// ## Finding
    /// The cylinder was last inspected {measured} ago, over {limit}: rust and a worn relief valve go unseen.
    /// ## What it checks
    /// Age of the last inspection of the cylinder on the test day, against `records.cylinder_years`, or ten years
    /// where that is left out. In Europe ten is usual, fifteen by approval; in the United States twelve after making,
    /// then twelve or, where the cylinder was only proof-tested, seven (49 CFR 180.209).
    /// ## Why it matters
    /// Rust at the foot and a worn relief valve are found on the inspection bench, or in use.
    /// ## What to do
    /// Exchange the cylinder. The date is stamped on it or on its collar; composite cylinders are due sooner.
    "REC006", "cylinder-inspection-due", Records, [Warning], Choice("ten years where the file gives no term; the stamp and the local code decide")
}

const UNDATED: &str =
    "The cylinder carries no inspection date: rust and a worn relief valve go unseen.";

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if s.rig.supply.tank().is_none() {
        return;
    }
    let years = s.rig.records.cylinder_years.map_or(10.0, f64::from);
    let inspected = s.rig.records.cylinder_inspected;
    let key = ("records.cylinder_inspected", UNDATED);
    older_than(s, v, key, inspected, years);
}
