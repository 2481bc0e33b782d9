//! A burner that runs with nobody near, without what would stop it.

use super::few;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;
use crate::train::rig::Ignition;

rule! {
    /// ## Finding
    /// The rig burns unattended {devices}: nobody hears the flame go out or smells gas.
    /// ## What it checks
    /// A rig that burns unattended (`controls.unattended`): ignition without a hand, a flame detector, lock-out,
    /// proof of air, cut-offs for low and high fuel pressure and for too high a temperature. What the file does not
    /// state counts as missing.
    /// ## Why it matters
    /// Nobody hears the flame go out, smells the gas or presses the stop.
    /// ## What to do
    /// Fit what is missing, or stay with it while it burns. State what is there.
    "SHU020", "unattended-without-protection", Shutdown, [Warning],
    Choice("what a person would notice, a device has to; common practice, no source")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let controls = &s.rig.controls;
    if controls.unattended != Some(true) {
        return;
    }
    let detector = controls
        .flame_detection
        .map(|_| controls.has_flame_detector());
    let devices = [
        (
            "automatic ignition",
            Some(controls.ignition != Some(Ignition::Hand)),
        ),
        ("flame detector", detector),
        ("lock-out", controls.lockout),
        ("proof of air", s.rig.air.proved),
        ("low-pressure cut-off", controls.low_fuel_cutoff),
        ("high-pressure cut-off", controls.high_fuel_cutoff),
        ("over-temperature cut-out", controls.over_temperature_cutoff),
    ];
    let of = |said: Option<bool>| {
        let alike = devices.iter().filter(move |(_, there)| *there == said);
        alike.map(|(device, _)| *device).collect::<Vec<&str>>()
    };
    let (denied, unsaid) = (of(Some(false)), of(None));
    let without = denied.len() + unsaid.len();
    if without == 0 {
        return;
    }
    let list = |word: &str, devices: &[&str]| match devices {
        [] => String::new(),
        devices => format!("; {word}: {}", devices.join(", ")),
    };
    let words = format!(
        "nobody near{}{}",
        list("none", &denied),
        list("not stated", &unsaid)
    );
    let count = |n: usize| f64::from(u32::try_from(n).unwrap_or(u32::MAX));
    let told = match (denied.as_slice(), unsaid.as_slice()) {
        (denied, []) => format!("without {}", few(denied)),
        ([], unsaid) => format!("with {} not stated", few(unsaid)),
        (denied, unsaid) => format!(
            "without {}, and with {} not stated",
            few(denied),
            few(unsaid)
        ),
    };
    let says = v.rule.says().replace("{devices}", &told);
    v.says(says).find(
        "controls.unattended",
        (Kind::Ratio, count(without), words),
        Limit::of_words(
            Kind::Ratio,
            0.0,
            "everything that stops it without a person",
        ),
    );
}
