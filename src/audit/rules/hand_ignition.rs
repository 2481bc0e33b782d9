//! A burner lit by hand.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::train::rig::Ignition;

rule! {
    /// ## What it checks
    /// How the fire is lit: by spark, hot surface or pilot, or by a hand.
    /// ## Why it matters
    /// A hand at the burner is in the way of whatever comes out of it, and the spark comes after the
    /// fuel instead of before.
    /// ## What to do
    /// Fit a spark that is on before the fuel, and stand clear.
    HandIgnition, "SHU005", "hand-ignition", Shutdown
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    match s.rig.controls.ignition {
        Some(Ignition::Hand) => v.find(
            Signal::Warning,
            "controls.ignition",
            "by hand",
            Limit::Should("a spark, hot surface or pilot that is on before the fuel"),
            Source::Choice("nobody should stand where the first flame goes"),
            "fit a spark that is on before the fuel, and stand clear",
        ),
        Some(_) => {}
        None => v.not_checked("the rig file does not say how the fire is lit"),
    }
}
