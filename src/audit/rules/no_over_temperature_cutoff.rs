//! Nothing that shuts the fuel when something gets too hot.

use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};

rule! {
    /// ## Finding
    /// Nothing shuts the fuel when it gets too hot: a controller or throttle that fails open heats until something
    /// melts.
    /// ## What it checks
    /// A rig whose file says that nothing shuts the fuel at too high a temperature, and in which something must not
    /// get too hot (`[[limits]]`). A rig that burns unattended has a rule of its own.
    /// ## Why it matters
    /// A controller or throttle that fails open heats until something melts. The device that controls the temperature
    /// cannot guard it.
    /// ## What to do
    /// Fit a separate thermostat or thermocouple relay in series with the valves. Have it reset by hand.
    "SHU021", "no-over-temperature-cutoff", Shutdown, [Caution],
    Choice("what controls a temperature does not guard it; common practice, no source")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let controls = &s.rig.controls;
    let none = controls.over_temperature_cutoff == Some(false);
    if !none || controls.unattended == Some(true) || s.rig.limits.is_empty() {
        return;
    }
    v.find(
        "controls.over_temperature_cutoff",
        "none",
        Limit::Should("a cut-out of its own that shuts the fuel"),
    );
}
