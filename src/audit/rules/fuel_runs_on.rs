//! Fuel that runs on when power or signal fails, at any of the holes.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::leak::{Answer, Failure};

rule! {
    /// ## What it checks
    /// Whether the fuel of every branch stops when power fails and when the signal fails, by a valve that
    /// shuts off; a metering valve does not count.
    /// ## Why it matters
    /// A pilot that stays open unlit fills the burner as surely as the main flame, only more slowly.
    /// ## What to do
    /// Fit a shut-off valve that its spring closes before the split, or in each branch.
    FuelRunsOn, "SHU006", "fuel-runs-on", Shutdown
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if s.rig.train.parts().is_empty() {
        v.not_checked("the rig file gives no train");
        return;
    }
    for row in s.failures() {
        if !matches!(row.failure, Failure::Power | Failure::Signal) {
            continue;
        }
        if let Answer::RunsOn { because } = &row.answer {
            v.find(
                Signal::Danger,
                "train",
                format!(
                    "{}: fuel runs on to {}: {because}",
                    row.failure.words(),
                    row.outlet
                ),
                Limit::Should("a shut-off valve that closes by itself on the way to every hole"),
                Source::Published("nfpa86"),
                "fit a shut-off valve that its spring closes before the split, or in this branch",
            );
        }
    }
}
