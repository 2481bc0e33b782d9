//! A burner that runs with nobody near, without what would stop it.

use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::train::rig::Ignition;

rule! {
    /// ## What it checks
    /// A rig that burns unattended (`controls.unattended`): ignition without a hand, a flame detector, lock-out, proof of air, cut-offs for low
    /// and high fuel pressure and a cut-out for too high a temperature. What the file does not state counts as not there.
    /// ## Why it matters
    /// Nobody hears the flame go out, smells the gas or presses the stop.
    /// ## What to do
    /// Fit what is missing, or have somebody stay with it.
    UnattendedWithoutProtection, "SHU020", "unattended-without-protection", Shutdown
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let controls = &s.rig.controls;
    if controls.unattended != Some(true) {
        return;
    }
    let hand = controls.ignition == Some(Ignition::Hand);
    let devices = [
        ("ignition but by hand", !hand),
        ("flame detector", controls.has_flame_detector()),
        ("lock-out", controls.lockout == Some(true)),
        ("proof of air", s.rig.air.proved == Some(true)),
        (
            "low-pressure cut-off",
            controls.low_fuel_cutoff == Some(true),
        ),
        (
            "high-pressure cut-off",
            controls.high_fuel_cutoff == Some(true),
        ),
        (
            "over-temperature cut-out",
            controls.over_temperature_cutoff == Some(true),
        ),
    ];
    let without = devices.iter().filter(|(_, there)| !there);
    let without: Vec<&str> = without.map(|(device, _)| *device).collect();
    if without.is_empty() {
        return;
    }
    let count = |n: usize| f64::from(u32::try_from(n).unwrap_or(u32::MAX));
    v.find(
        Signal::Warning,
        "controls.unattended",
        Measured::Worded(
            Kind::Ratio,
            count(without.len()),
            format!("nobody near, and no {}", without.join(", no ")),
        ),
        Limit::of_words(
            Kind::Ratio,
            0.0,
            "everything that stops it without a person",
        ),
        Source::Choice("what a person would notice, a device has to; common practice, no source"),
        "fit what is missing, or have somebody stay with it while it burns",
    );
}
