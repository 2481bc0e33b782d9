//! Air whose failure does not stop the fuel.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::train::rig::Setting;

rule! {
    /// ## What it checks
    /// Whether the air flow is watched and the fuel shut when it fails.
    /// ## Why it matters
    /// Without air the flame burns rich, then goes out, and the fuel flows on into hot steel; no purge
    /// ever happened if the blower did not run.
    /// ## What to do
    /// Fit an air-flow or pressure switch that cuts the shut-off valves; prove it off before start.
    AirNotProved, "SHU011", "air-not-proved", Shutdown
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    match s.rig.air.proved {
        None => v.not_checked("the rig file does not say whether the air is proved"),
        Some(true) => {}
        Some(false) => v.find(
            if s.rig.site.setting == Setting::Indoor {
                Signal::Danger
            } else {
                Signal::Warning
            },
            "air.proved",
            "not proved",
            Limit::Should("a switch that shuts the fuel when the air fails"),
            Source::Published("nfpa86"),
            "fit an air-flow switch that cuts the shut-off valves",
        ),
    }
}
