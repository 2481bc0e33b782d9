//! No hand valve where the fuel enters the rig.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::train::{Actuation, Part, PartKind};

rule! {
    /// ## Finding
    /// No hand valve stands before {it}: nothing behind can be shut off by hand or worked on.
    /// ## What it checks
    /// Whether a hand valve stands on every supply before the first hose, regulator or shut-off valve.
    /// ## Why it matters
    /// It is the one closure that needs neither power nor thought. Without it nothing behind can be worked on.
    /// ## What to do
    /// Fit a hand valve first in line, or keep the cylinder valve. A hand has to reach it clear of the flame.
    "SHU014", "no-isolation-at-supply", Shutdown, [Warning], Choice("codes ask for a manual valve at the supply")
}

/// Whether a hand closes it.
fn by_hand(part: &Part) -> bool {
    let manual = |a: Actuation| a == Actuation::Manual;
    match &part.kind {
        PartKind::CylinderValve(_) | PartKind::BallValve(_) => {
            part.closure.as_ref().is_none_or(|c| manual(c.actuation))
        }
        PartKind::NeedleValve(_) => part.closure.as_ref().is_some_and(|c| manual(c.actuation)),
        _ => false,
    }
}

/// Whether a hand valve has to stand before it.
fn needs_one_before(part: &Part) -> bool {
    matches!(
        part.kind,
        PartKind::Hose(_) | PartKind::Regulator(_) | PartKind::SolenoidValve(_)
    )
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if train_parts(s, v).is_none() {
        return;
    }
    let train = &s.rig.train;
    for source in &train.sources {
        let first = source
            .parts
            .iter()
            .chain(&train.run.parts)
            .find(|p| by_hand(p) || needs_one_before(p));
        let Some(part) = first.filter(|p| !by_hand(p)) else {
            continue;
        };
        v.find(
            format!("train.{}", part.name),
            "no hand valve before it",
            Limit::Should("a hand valve first in line"),
        );
    }
}
