//! More joints than the parts need.

use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Joints of the train for each of its parts, against three; joints made with heat left out.
    /// ## Why it matters
    /// Every joint weighs something and is a place to leak; adapters screwed into adapters double both.
    /// ## What to do
    /// Parts that fit each other directly, bends instead of elbows, one tube instead of two.
    "MAS005", "many-joints", Mass, [Notice], Choice("two for a part in line, and one to spare")
}

const MOST: f64 = 3.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    use crate::train::JointKind;
    let parts = s.rig.train.parts();
    let listing = parts.iter().filter(|p| !p.joints.is_empty()).count();
    if listing == 0 {
        v.not_checked("no part lists its joints");
        return;
    }
    let joints: u32 = parts
        .iter()
        .flat_map(|p| &p.joints)
        .filter(|j| !matches!(j.kind, JointKind::Brazed | JointKind::Welded))
        .map(|j| j.count)
        .sum();
    let each = f64::from(joints) / listing as f64;
    if each > MOST {
        v.find(
            "train",
            (
                Kind::Ratio,
                each,
                format!("{each:.1} joints a part, {joints} in all"),
            ),
            Limit::AtMost(Measured::Number(MOST)),
        );
    }
}
