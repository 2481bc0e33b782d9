//! A flame detector that does not see every flame.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::leak::shutdown::sees;
use crate::train::plan::INJECTOR;
use crate::train::rig::{Flame, Ignition};

rule! {
    /// ## What it checks
    /// Which flames the detector sees (`controls.flame_detector_sees`) against those that there are: the main one, and a
    /// pilot where the rig has a branch of its own for it or is lit by one.
    /// ## Why it matters
    /// A pilot that burns keeps a detector content while the main fuel flows unlit past it; main fuel that opens on a
    /// pilot nobody has seen finds no flame.
    /// ## What to do
    /// A detector placed where it sees both flames, or one for each; the pilot proved before the main fuel opens.
    "SHU018", "unseen-flame", Shutdown, [Danger, Warning],
    Choice("every flame that is fed is watched; common practice, no source")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let controls = &s.rig.controls;
    let Some(seen) = &controls.flame_detector_sees else {
        return;
    };
    if !controls.has_flame_detector() {
        return;
    }
    let branch = s
        .rig
        .train
        .outlets()
        .into_iter()
        .any(|o| o.name != INJECTOR);
    let pilot = branch || controls.ignition == Some(Ignition::Pilot);
    let (signal, measured, limit, advice) = if !sees(s.rig, INJECTOR) && !pilot {
        (
            Signal::Danger,
            "it sees a pilot, and the rig has none: nothing watches the main flame",
            "a detector that sees the main flame",
            "place the detector where it sees the main flame",
        )
    } else if !sees(s.rig, INJECTOR) {
        (
            Signal::Warning,
            "it sees the pilot alone: main fuel that goes out, or never lights, flows on",
            "a detector that sees the main flame",
            "place the detector where it sees both flames, or fit one for each",
        )
    } else if pilot && !seen.contains(&Flame::Pilot) {
        (
            Signal::Warning,
            "it sees the main flame alone: main fuel opens on a pilot that nothing has seen",
            "a pilot that is seen before the main fuel opens",
            "place the detector where it sees both flames, or fit one for each",
        )
    } else {
        return;
    };
    v.signal(signal).advice(advice).find(
        "controls.flame_detector_sees",
        measured,
        Limit::Should(limit),
    );
}
