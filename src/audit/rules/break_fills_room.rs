//! A release that nothing closes and that fills the room sooner than a person can act.

use super::{leak_plan, worst_lasting};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;
use crate::train::rig::Setting;

rule! {
    /// ## What it checks
    /// Indoors, the time until the largest release that nothing closes by itself (a line torn off, or a
    /// loose joint) has filled the room to a quarter of the lower flammability limit, against two minutes.
    /// ## Why it matters
    /// Two minutes are little to notice, decide, reach the valve and close it; the room is reckoned as well
    /// mixed, and near the floor or ceiling the limit comes sooner.
    /// ## What to do
    /// Fit an excess-flow valve or a gas detector that shuts the fuel, a smaller bore, more ventilation, or
    /// put the tank outside.
    "LEK010", "release-fills-room", Leak, [Warning],
    Choice("time to notice a release, reach the shut-off and close it")
}

const LEAST_S: f64 = 120.0;

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    if s.rig.site.setting == Setting::Outdoor {
        return None;
    }
    let plan = leak_plan(s, v)?;
    if plan.room.is_none() {
        v.not_checked("the volume of the room is not given");
        return None;
    }
    let (what, effect) = worst_lasting(plan, v)?;
    if plan.fuel.limits.is_none() {
        v.not_checked("the fuel has no flammability limits in the library");
        return None;
    }
    let Some(room) = effect.consequences.room else {
        v.not_checked("the fuel makes a pool: what its vapour does in the room is not worked out");
        return None;
    };
    if let Some(time) = room.quarter_limit
        && time.value < LEAST_S
    {
        v.advice(format!(
            "{what} fills the room that soon: close it by itself, or ventilate more"
        ))
        .find(
            "site.room_volume",
            (Kind::Time, time.value),
            Limit::at_least(Kind::Time, LEAST_S),
        );
    }
    Some(())
}
