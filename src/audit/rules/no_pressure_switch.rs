//! Fuel pressure that nothing watches.

use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};

rule! {
    /// ## Finding
    /// No switch shuts the fuel at low or high pressure: the flame goes out, or a failed regulator over-fires the
    /// burner.
    /// ## What it checks
    /// Whether switches shut the fuel when its pressure is too low and when it is too high.
    /// ## Why it matters
    /// At low pressure the flame flashes back or goes out, and the fuel comes back unlit. High pressure from a failed
    /// regulator over-fires the burner within seconds.
    /// ## What to do
    /// Fit a low and a high pressure switch behind the regulator, in series with the shut-off valves.
    "SHU012", "no-pressure-switch", Shutdown, [Caution], Published("nfpa86")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let controls = &s.rig.controls;
    let switches = [
        (
            "controls.low_fuel_cutoff",
            controls.low_fuel_cutoff,
            "low",
            "the flame goes back or out, and the fuel comes back unlit",
        ),
        (
            "controls.high_fuel_cutoff",
            controls.high_fuel_cutoff,
            "high",
            "a failed regulator over-fires the burner within seconds",
        ),
    ];
    for (at, there, which, consequence) in switches {
        match there {
            None => v.not_checked(format!(
                "the rig file does not say whether a switch shuts the fuel at {which} pressure"
            )),
            Some(true) => {}
            Some(false) => v
                .says(format!(
                    "No switch shuts the fuel at {which} pressure: {consequence}."
                ))
                .advice(format!(
                    "Fit a {which}-pressure switch in series with the shut-off valves."
                ))
                .find(
                    at,
                    "none",
                    Limit::Should("switches for low and high fuel pressure"),
                ),
        }
    }
}
