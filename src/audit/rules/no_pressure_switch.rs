//! Fuel pressure that nothing watches.

use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};

rule! {
    /// ## What it checks
    /// Whether switches shut the fuel when its pressure is too low and when it is too high.
    /// ## Why it matters
    /// Low pressure lets the flame go back or out, and the fuel comes back unlit; high pressure from a
    /// failed regulator over-fires the burner within seconds.
    /// ## What to do
    /// Fit a low and a high pressure switch behind the regulator, in series with the shut-off valves.
    "SHU012", "no-pressure-switch", Shutdown, [Caution], Published("nfpa86")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let controls = &s.rig.controls;
    let switches = [
        ("controls.low_fuel_cutoff", controls.low_fuel_cutoff, "low"),
        (
            "controls.high_fuel_cutoff",
            controls.high_fuel_cutoff,
            "high",
        ),
    ];
    for (at, there, which) in switches {
        match there {
            None => v.not_checked(format!(
                "the rig file does not say whether a switch cuts {which} fuel pressure"
            )),
            Some(true) => {}
            Some(false) => v
                .advice(format!(
                    "fit a {which} pressure switch in series with the shut-off valves"
                ))
                .find(
                    at,
                    format!("no switch for {which} fuel pressure"),
                    Limit::Should("switches for low and high fuel pressure"),
                ),
        }
    }
}
