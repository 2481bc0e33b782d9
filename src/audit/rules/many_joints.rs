//! More joints than the parts need.

use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Solution, Verdict};
use crate::quantity::Kind;
use crate::quantity::show::number;

rule! {
    /// ## Finding
    /// {It} has {measured} joints for each part, over {limit}: every one weighs something and can leak.
    /// ## What it checks
    /// Joints of the train for each of its parts, against three; joints made with heat left out.
    /// ## Why it matters
    /// Every joint weighs something and can leak; adapters screwed into adapters double both.
    /// ## What to do
    /// Use parts that fit each other directly, bends instead of elbows, and one tube instead of two.
    "MAS005", "many-joints", Mass, [Notice], Choice("two for a part in line, and one to spare")
}

const MOST: f64 = 3.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    use crate::train::JointKind;
    let parts = s.rig.train.parts();
    let listing = parts.iter().filter(|p| !p.joints.is_empty()).count();
    if listing == 0 {
        v.not_checked("the parts do not list their joints");
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
        let says = format!(
            "{{It}} has {joints} joints, {{measured}} for each part and over {{limit}}: every one weighs something and can leak."
        );
        v.says(says).find(
            "train",
            (Kind::Ratio, each, number(each)),
            Limit::AtMost(Measured::Number(MOST)),
        );
    }
}
