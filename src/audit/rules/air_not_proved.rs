//! Air whose failure does not stop the fuel.

use crate::audit::rule::rule;

rule! {
    /// ## Finding
    /// The air is not proved: when it fails the flame goes out, and fuel flows on into hot steel.
    /// ## What it checks
    /// Whether the air flow is watched, and the fuel shut when it fails.
    /// ## Why it matters
    /// Without air the flame burns rich, then goes out, and the fuel flows on into hot steel. If the blower did not
    /// run there was no purge either.
    /// ## What to do
    /// Fit an air-flow or pressure switch that cuts the shut-off valves, and prove it off before each start.
    "SHU011", "air-not-proved", Shutdown, [Danger, Warning], Published("nfpa86");
    asks: |s| s.rig.air.proved,
    at: "air.proved",
    no: "not proved",
    should: "a switch that shuts the fuel when the air fails",
    outdoors: Warning,
    unknown: "the rig file does not say whether the air is proved"
}
