//! A quick coupling that stays open when it is parted.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::train::{JointKind, Part};

rule! {
    /// ## What it checks
    /// Quick couplings whose file says that they do not close by themselves when they are parted
    /// (`self_closing = false`).
    /// ## Why it matters
    /// One pull of the hose and the line blows open, beside the fire.
    /// ## What to do
    /// A coupling that closes on the supply's side when it is parted, or a screwed joint.
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
                "{}: whether its quick coupling closes by itself is not said (`self_closing`)",
                part.name
            ));
        } else if part.protection.self_closing == Some(false) {
            v.find(
                format!("train.{}", part.name),
                "its quick coupling stays open when it is parted",
                Limit::Should("a coupling that closes by itself"),
            );
        }
    }
}
