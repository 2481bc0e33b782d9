//! An excess-flow valve that closes on ordinary flow.

use crate::audit::Limit;
use crate::audit::rule::rule;

rule! {
    /// ## Finding
    /// {It} closes at {measured} of the flow {when}; under {limit} it shuts in the middle of a run.
    /// ## What it checks
    /// Closing flow of each excess-flow valve, at the density in it, against 1.3 times the flow of each duty.
    /// ## Why it matters
    /// It shuts in the middle of a run, and somebody then takes it out.
    /// ## What to do
    /// Fit one with a larger closing flow. Never take it out.
    "TRN010", "excess-flow-valve-closes", Train, [Notice], Choice("common practice, no source"),
    levers ["excess-flow-valve.closing_flow" Up, "duties.target" Down];
    reads: [ExcessFlowTooSmall],
    given: "closing_flow",
    limit: |f, s| Limit::AtLeast(f.limit(s))
}
