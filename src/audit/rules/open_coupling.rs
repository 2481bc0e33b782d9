//! A quick coupling that stays open when it is parted.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::train::{JointKind, Part};

rule! {
    /// ## Finding
    /// The quick coupling of {it} stays open when parted: one pull and the line blows open beside the fire.
    /// ## What it checks
    /// Quick couplings whose file says that they do not close when parted (`self_closing = false`).
    /// ## Why it matters
    /// One pull of the hose and the line blows open beside the fire.
    /// ## What to do
    /// Fit a coupling that closes on the supply side when parted, or a screwed joint.
    "LEK022", "open-coupling", Leak, [Warning], Choice("nobody parts a fuel line open; common practice, no source")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(parts) = train_parts(s, v) else {
        return;
    };
    let coupled = |p: &&Part| {
        let mut joints = p.joints.iter();
        joints.any(|j| j.kind == JointKind::QuickCoupling)
    };
    for part in parts.into_iter().filter(coupled) {
        if part.protection.self_closing.is_none() {
            v.not_checked(format!(
                "the rig file does not say whether the quick coupling of {} closes when parted (`self_closing`)",
                part.name
            ));
        } else if part.protection.self_closing == Some(false) {
            v.find(
                format!("train.{}", part.name),
                "stays open when parted",
                Limit::Should("a coupling that closes when parted"),
            );
        }
    }
}
