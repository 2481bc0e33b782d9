//! A valve in which the liquid cavitates.

use crate::audit::Limit;
use crate::audit::rule::rule;

rule! {
    /// ## What it checks
    /// Drop over each valve with liquid over the drop to the vapour pressure, against four fifths of
    /// the square of the valve's recovery factor.
    /// ## Why it matters
    /// Bubbles that collapse on the trim eat it, and a metering valve drifts until it no longer shuts.
    /// ## What to do
    /// Take the drop in two valves, or a valve with a higher recovery factor.
    "LIQ002", "cavitation", Liquid, [Notice], Choice("four fifths of where the flow chokes");
    reads: [Cavitation],
    given: "recovery",
    limit: |f, s| Limit::AtMost(f.limit(s))
}
