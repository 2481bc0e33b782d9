//! A vapour tank so full that liquid gets into the train.

use super::{ROUNDING, solved};
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// Liquid fills {measured} of {it}; above {limit} it is carried into the train, and the flame grows many times
    /// over.
    /// ## What it checks
    /// Share of the volume that is liquid when vapour is to be drawn, at the temperature it starts with and on the
    /// hottest day. Where the filling limit would cure it, the rule on overfilled tanks says so.
    /// ## Why it matters
    /// Boiling liquid swells and splashes. Close under the valve it is carried into a train made for vapour, boils
    /// there, and the flame grows many times over.
    /// ## What to do
    /// Start with less in the tank, or draw slowly until the level has fallen.
    "TNK007", "liquid-carry-over", Tank, [Danger, Warning],
    Choice("room for swell and splash above the filling limit of 80 %; no published figure")
}

/// Highest share of liquid under a vapour draw.
const MOST: f64 = 0.88;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    use crate::train::Draw;
    let Some(tank) = solved::tank(s, v) else {
        return;
    };
    if s.rig.supply.tank().is_none_or(|t| t.draw != Draw::Vapour) {
        return;
    }
    match tank.at_limit.as_ref().map_or(&tank.start, |l| &l.start) {
        Ok(contents) if contents.liquid_volume.value > MOST * ROUNDING => v
            .signal(Signal::Warning)
            .advice("Start with less in the tank, or draw slowly until the level has fallen")
            .find(
                "tank",
                (Kind::Ratio, contents.liquid_volume.value),
                Limit::at_most(Kind::Ratio, MOST),
            ),
        Ok(_) => {}
        Err(why) => v
            .source(Source::Choice(
                "a tank without vapour gives liquid, and its pressure has no bound",
            ))
            .advice("Correct the charge; if it is right, have fuel taken out before anything else")
            .says("{It} has no room for vapour, so it gives liquid: {measured}.")
            .find(
                "tank",
                Measured::Text(why.clone()),
                Limit::Should("a charge that leaves room for vapour"),
            ),
    }
}
