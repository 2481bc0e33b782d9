//! A valve in which the liquid cavitates.

use crate::audit::Limit;
use crate::audit::rule::rule;

rule! {
    /// ## Finding
    /// {It} takes {measured} of the drop to the vapour pressure {when}, over {limit}: bubbles eat its trim.
    /// ## What it checks
    /// Drop over each valve with liquid as a share of the drop to the vapour pressure, against four fifths of the
    /// square of the valve's recovery factor.
    /// ## Why it matters
    /// Bubbles that collapse on the trim eat it, and a metering valve drifts until it does not shut.
    /// ## What to do
    /// Take the drop in two valves, or fit one of higher recovery factor.
    "LIQ002", "cavitation", Liquid, [Notice], Choice("four fifths of where the flow chokes"),
    levers ["train.flow_coefficient" Up, "injector.hole_diameter" Up, "pump.outlet_pressure" Down];
    reads: [Cavitation],
    given: "recovery",
    limit: |f, s| Limit::AtMost(f.limit(s))
}
