//! An excess-flow valve that closes on ordinary flow.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::train::CheckKind;

rule! {
    /// ## What it checks
    /// Closing flow of each excess-flow valve, at the density in it, over the flow of each duty,
    /// against 1.3.
    /// ## Why it matters
    /// It shuts in the middle of a run, and somebody then takes it out.
    /// ## What to do
    /// One with a larger closing flow. Never take it out.
    ExcessFlowCloses, "TRN010", "excess-flow-valve-closes", Train
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    for found in solved::remarked(plan, &[CheckKind::ExcessFlowTooSmall]) {
        v.find(
            Signal::Notice,
            found.at(),
            found.measured(s),
            Limit::AtLeast(found.limit(s)),
            found.source("closing_flow", "common practice, no source"),
            "one with a larger closing flow; never take it out",
        );
    }
}
