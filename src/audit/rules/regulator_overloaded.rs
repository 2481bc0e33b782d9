//! A regulator asked for more than it is made for.

use crate::audit::Limit;
use crate::audit::rule::rule;

rule! {
    /// ## Finding
    /// {It} is loaded with {measured} {when} and made for {limit}: past that it droops further than its data say,
    /// chatters and wears.
    /// ## What it checks
    /// Flow through each regulator at each duty against its rated flow, and against nine tenths of what
    /// its open seat passes.
    /// ## Why it matters
    /// Past its rated flow a regulator droops further than its data say, chatters and wears. Near its capacity it has
    /// nothing left to correct with.
    /// ## What to do
    /// Fit a regulator of larger rated flow, or two stages.
    "REG002", "regulator-overloaded", Regulator, [Notice],
    Choice("nine tenths of the open capacity leaves something to regulate with; common practice, no source"),
    levers ["regulator.rated_flow" Up, "duties.target" Down];
    reads: [RegulatorOverloaded, RegulatorNearCapacity],
    given: "rated_flow",
    limit: |f, s| Limit::AtMost(f.limit(s))
}
