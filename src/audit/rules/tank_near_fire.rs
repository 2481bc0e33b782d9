//! A tank near the fire or another source of ignition.

use super::leak_plan;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::train::rig::Supply;

rule! {
    /// ## What it checks
    /// Distance from the tank to the fire or the nearest other source of ignition, against 3 m and against
    /// the distance at which the jet from a loose joint at tank pressure is thinned to half its lower
    /// flammability limit.
    /// ## Why it matters
    /// Gas from the tank's own valve must not find the fire, and the fire must not warm the tank.
    /// ## What to do
    /// Move the tank away, or put a wall that does not burn between them.
    TankNearFire, "LEK017", "tank-near-fire", Leak
}

const LEAST_M: f64 = 3.0;
/// Beside the fire: the tank is warmed by it, m. Our choice.
const BESIDE_M: f64 = 1.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if matches!(s.rig.supply, Supply::Mains(_)) {
        return;
    }
    let Some(distance) = s.rig.site.tank_to_fire else {
        v.not_checked("the rig file gives no distance from tank to fire");
        return;
    };
    let Some(plan) = leak_plan(s, v) else { return };
    // the first level is that of the tank
    let reach = plan
        .joints
        .iter()
        .take_while(|j| j.level == plan.joints[0].level)
        .filter_map(|j| j.effect.as_ref().ok()?.consequences.jet)
        .map(|j| j.half_limit.value.value)
        .fold(0.0, f64::max);
    let least = reach.max(LEAST_M);
    if distance.value < least {
        v.find(
            if distance.value < BESIDE_M {
                Signal::Danger
            } else {
                Signal::Warning
            },
            "site.tank_to_fire",
            Measured::Quantity(Kind::Length, distance.value),
            Limit::AtLeast(Measured::Quantity(Kind::Length, least)),
            Source::Choice(
                "near the distances that gas codes keep between a cylinder and ignition; the local code decides",
            ),
            "move the tank away from the fire, or put a wall that does not burn between them",
        );
    }
}
