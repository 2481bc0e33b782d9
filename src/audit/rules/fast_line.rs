//! A line too narrow for its flow.

use crate::audit::Limit;
use crate::audit::rule::rule;

rule! {
    /// ## What it checks
    /// Velocity and Mach number in every tube, hose and dip tube at each duty against 30 m/s for gas, 3
    /// m/s for liquid and a Mach number of 0.3.
    /// ## Why it matters
    /// Fast gas is noisy, shakes its line, erodes seats and makes gauges at tappings read low; fast
    /// liquid hammers when a valve shuts.
    /// ## What to do
    /// The next larger bore.
    "TRN003", "fast-line", Train, [Notice], Choice("common practice, no source");
    reads: [Velocity, Mach],
    given: "bore",
    limit: |f, s| Limit::AtMost(f.limit(s))
}
