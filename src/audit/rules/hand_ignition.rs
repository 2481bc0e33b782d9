//! A burner lit by hand.

use crate::audit::rule::rule;
use crate::train::rig::Ignition;

rule! {
    /// ## Finding
    /// The burner is lit by hand: the hand is in the way of the flame, and the spark comes after the fuel.
    /// ## What it checks
    /// How the fire is lit: by spark, hot surface or pilot, or by hand.
    /// ## Why it matters
    /// A hand at the burner is in the way of whatever comes out of it, and its spark comes after the fuel instead of
    /// before.
    /// ## What to do
    /// Fit a spark that is on before the fuel, and stand clear.
    "SHU005", "hand-ignition", Shutdown, [Warning], Choice("nobody should stand where the first flame goes");
    asks: |s| Some(s.rig.controls.ignition? != Ignition::Hand),
    at: "controls.ignition",
    no: "by hand",
    should: "a spark, hot surface or pilot that is on before the fuel",
    unknown: "the rig file does not say how the fire is lit"
}
