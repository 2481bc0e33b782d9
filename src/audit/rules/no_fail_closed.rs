//! No valve that shuts the fuel by itself.

use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};

rule! {
    /// ## Finding
    /// No valve shuts the fuel on loss of power and signal: a tripped fuse leaves fuel running and the ignition dead.
    /// ## What it checks
    /// Whether at least one valve between supply and injector closes when its power fails and when its signal fails.
    /// ## Why it matters
    /// Without one, a tripped fuse or a pulled plug leaves the fuel running and the ignition dead.
    /// ## What to do
    /// Fit a spring-closed shut-off valve in the line to the injector.
    "SHU001", "no-fail-closed-shut-off", Shutdown, [Danger], Published("nfpa86")
}

/// Whether no valve of the main line closes on loss of power and of signal.
pub(super) fn none_closes(s: &Solution<'_>) -> bool {
    !s.main_parts()
        .iter()
        .any(|p| p.shuts_without_power() && p.shuts_without_signal())
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if s.main_parts().is_empty() && !s.rig.says_none("train") {
        v.not_checked("the rig file has no train");
        return;
    }
    if none_closes(s) {
        v.find(
            "train",
            "none",
            Limit::Should("a valve that closes on loss of power and signal"),
        );
    }
}
