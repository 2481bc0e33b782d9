//! No emergency stop where the operator stands.

use crate::audit::rule::rule;

rule! {
    /// ## Finding
    /// The operator has no emergency stop within reach: the cylinder valve stands next to what is burning.
    /// ## What it checks
    /// Whether the operator has an emergency stop within reach.
    /// ## Why it matters
    /// The cylinder valve is next to what is burning; a button need not be.
    /// ## What to do
    /// Fit a latching stop on the operator's side that cuts the power of the shut-off valves. Press it once on every
    /// test day.
    "SHU010", "no-emergency-stop", Shutdown, [Warning],
    Choice("a person who sees it first should be able to stop it first");
    asks: |s| s.rig.controls.emergency_stop,
    at: "controls.emergency_stop",
    no: "none",
    should: "a stop within the operator's reach that cuts the shut-off valves",
    unknown: "the rig file does not say whether there is an emergency stop"
}
