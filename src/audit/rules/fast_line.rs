//! A line too narrow for its flow.

use crate::audit::Limit;
use crate::audit::rule::rule;

rule! {
    /// ## Finding
    /// Fuel flows through {it} at {measured} {when}, above {limit}: fast gas wears seats, fast liquid hammers.
    /// ## What it checks
    /// Velocity and Mach number in every tube, hose and dip tube at each duty, against 30 m/s for gas, 3 m/s for
    /// liquid, and Mach 0.3.
    /// ## Why it matters
    /// Fast gas is noisy, shakes its line, erodes seats and makes gauges at tappings read low. Fast liquid hammers
    /// when a valve shuts.
    /// ## What to do
    /// Fit the next larger bore.
    "TRN003", "fast-line", Train, [Notice], Choice("common practice, no source"),
    levers ["tube.bore" Up, "hose.bore" Up, "duties.target" Down];
    reads: [Velocity, Mach],
    given: "bore",
    limit: |f, s| Limit::AtMost(f.limit(s))
}
