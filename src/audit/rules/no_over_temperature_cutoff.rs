//! Nothing that shuts the fuel when something gets too hot.

use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};

rule! {
    /// ## What it checks
    /// A rig whose file says that no device shuts the fuel at too high a temperature, where something in it must not get
    /// too hot (`[[limits]]`). One that burns unattended is the finding of its own rule.
    /// ## Why it matters
    /// A controller or throttle that fails open heats until something melts; the device that controls the temperature
    /// cannot be the one that guards it.
    /// ## What to do
    /// A thermostat or thermocouple relay of its own, in series with the shut-off valves, that is reset by hand.
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
