//! A release that nothing closes and that fills the room sooner than a person can act.

use super::{leak_plan, worst_lasting};
use crate::audit::finding::capital;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;
use crate::train::rig::Setting;

rule! {
    /// ## Finding
    /// {What} fills the room to a quarter of the lower flammability limit in {measured}; closing it by hand takes
    /// {limit}.
    /// ## What it checks
    /// Indoors: the time in which the largest release that nothing closes by itself (a full-bore break or a loose
    /// joint) fills the room to a quarter of the lower flammability limit, against two minutes.
    /// ## Why it matters
    /// Two minutes are little to notice a release, reach the valve and close it. The room is taken as well mixed:
    /// near the floor or the ceiling the limit comes sooner.
    /// ## What to do
    /// Fit an excess-flow valve, or a detector that shuts the fuel. Ventilate more, or put the tank outdoors.
    "LEK010", "release-fills-room", Leak, [Warning],
    Choice("time to notice a release, reach the shut-off and close it"),
    levers ["site.ventilation" Up]
}

const LEAST_S: f64 = 120.0;

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    if s.rig.site.setting == Setting::Outdoor {
        return None;
    }
    let plan = leak_plan(s, v)?;
    if plan.room.is_none() {
        v.not_checked("the rig file does not give `site.room_volume`");
        return None;
    }
    let (what, effect) = worst_lasting(plan, v)?;
    if plan.fuel.limits.is_none() {
        v.not_checked("the fuel library has no flammability limits for this fuel");
        return None;
    }
    let Some(room) = effect.consequences.room else {
        v.not_checked("the fuel makes a pool, and its vapour in the room is not computed");
        return None;
    };
    if let Some(time) = room.quarter_limit
        && time.value < LEAST_S
    {
        let says = v.rule.says().replace("{What}", &capital(&what));
        v.says(says).find(
            "site.room_volume",
            (Kind::Time, time.value),
            Limit::at_least(Kind::Time, LEAST_S),
        );
    }
    Some(())
}
