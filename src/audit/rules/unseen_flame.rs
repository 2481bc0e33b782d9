//! A flame detector that does not see every flame.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::leak::shutdown::sees;
use crate::train::plan::INJECTOR;
use crate::train::rig::{Flame, Ignition};

rule! {
    /// ## Finding
    /// The flame detector sees {measured} only: main fuel that goes out, or never lights, flows on.
    /// ## What it checks
    /// Which flames the detector sees (`controls.flame_detector_sees`) against those that there are: the main flame,
    /// and a pilot where the rig has a branch for it or is lit by one.
    /// ## Why it matters
    /// A burning pilot keeps a detector content while the main fuel flows unlit past it. Main fuel that opens on a
    /// pilot nobody has seen finds no flame.
    /// ## What to do
    /// Place the detector where it sees both flames, or fit one for each. Prove the pilot before the main fuel opens.
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
    let (signal, says, measured, limit, advice) = if !sees(s.rig, INJECTOR) && !pilot {
        (
            Signal::Danger,
            "The flame detector sees {measured}, which this rig does not have: nothing watches the main flame.".to_owned(),
            "a pilot",
            "a detector that sees the main flame",
            "Place the detector where it sees the main flame.",
        )
    } else if !sees(s.rig, INJECTOR) {
        (
            Signal::Warning,
            v.rule.says(),
            "the pilot",
            "a detector that sees the main flame",
            "Place the detector where it sees both flames, or fit one for each.",
        )
    } else if pilot && !seen.contains(&Flame::Pilot) {
        (
            Signal::Warning,
            "The flame detector sees {measured} only: main fuel opens on a pilot that nothing has seen.".to_owned(),
            "the main flame",
            "a pilot that is seen before the main fuel opens",
            "Place the detector where it sees both flames, or fit one for each.",
        )
    } else {
        return;
    };
    v.signal(signal).says(says).advice(advice).find(
        "controls.flame_detector_sees",
        measured,
        Limit::Should(limit),
    );
}
