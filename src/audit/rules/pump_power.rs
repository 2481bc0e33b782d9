//! A pump that asks for more power than there is.

use crate::audit::Limit;
use crate::audit::rule::rule;

rule! {
    /// ## Finding
    /// {It} needs {measured} at its shaft {when} and has {limit}: it stalls at the duty that needs it most.
    /// ## What it checks
    /// Shaft power of each pump at each duty against the power at hand.
    /// ## Why it matters
    /// A pump that is short of power stalls at the duty that needs it most.
    /// ## What to do
    /// Fit a stronger motor, or pump to less pressure.
    "LIQ004", "pump-power", Liquid, [Notice], given("max_power"),
    levers ["pump.max_power" Up, "pump.outlet_pressure" Down];
    reads: [PumpPower],
    given: "max_power",
    limit: |f, s| Limit::AtMost(f.limit(s))
}
