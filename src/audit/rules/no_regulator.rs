//! Vapour from a tank without a regulator.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::train::Draw;

rule! {
    /// ## What it checks
    /// Whether a regulator stands between a tank that is drawn as vapour and the holes.
    /// ## Why it matters
    /// Without one the pressure before the holes is that of the tank: it doubles between a cold morning
    /// and a warm afternoon, and falls as the tank chills.
    /// ## What to do
    /// A regulator set well below the lowest pressure of the tank.
    NoRegulator, "REG007", "no-regulator", Regulator
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(tank) = s.rig.supply.tank() else {
        v.not_checked("the fuel comes from a main");
        return;
    };
    if train_parts(s, v).is_none() {
        return;
    }
    if tank.draw == Draw::Vapour && s.last_set_pressure().is_none() {
        v.find(
            Signal::Warning,
            "train",
            "no regulator between tank and holes",
            Limit::Should("a regulator set below the lowest pressure of the tank"),
            Source::Choice("vapour pressure changes by about 3 % with every kelvin"),
            "a regulator set well below the lowest pressure of the tank",
        );
    }
}
