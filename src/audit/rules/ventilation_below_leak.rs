//! Ventilation that does not hold a room below a quarter of the lower limit against a small leak.

use super::leak_plan;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::flow::air::MoistAir;
use crate::quantity::{Kind, VolumeRate, cubic_metres_per_second, ratio};
use crate::train::rig::{CombustionAir, Setting};

rule! {
    /// ## What it checks
    /// Indoors, the ventilation against the fresh air that holds a quarter of the lower flammability limit
    /// against a washed-out joint (0.25 mm2) at the highest pressure of the train; and against the air whose oxygen
    /// the fire of the largest duty uses.
    /// ## Why it matters
    /// A seal that nobody looks after comes to such a leak, and it may go on for hours before it is found;
    /// with enough fresh air it cannot fill the room.
    /// ## What to do
    /// Ventilate more, low down for a heavy gas and high up for a light one, or move the part at high
    /// pressure outside.
    "LEK011", "ventilation-below-leak", Leak, [Danger, Warning],
    Choice("common practice, no source; the local code decides")
}

/// Air whose oxygen the fire of the largest duty uses, at the temperature of the site.
pub(super) fn air_burnt(s: &Solution<'_>) -> Option<VolumeRate> {
    let needed = s.stoichiometry.as_ref().ok()?.air_fuel_ratio.value;
    let fuel = s
        .duties
        .iter()
        .filter_map(|d| d.demand.as_ref().ok())
        .map(|d| d.fuel.value)
        .reduce(f64::max)?;
    let air = MoistAir::new(s.rig.site.air_pressure, s.rig.site.ambient, ratio(0.0)).ok()?;
    Some(cubic_metres_per_second(fuel * needed / air.density().value))
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let site = &s.rig.site;
    if site.setting == Setting::Outdoor {
        return;
    }
    let Some(ventilation) = site.ventilation else {
        v.not_checked("the ventilation of the room is not given");
        return;
    };
    // a fire with a flue and air from outdoors asks nothing of the room
    let outdoors = site.combustion_air == Some(CombustionAir::Outdoors);
    let sealed = outdoors && site.flue != Some(false);
    if outdoors && site.flue.is_none() {
        v.not_checked("does what leaves the duct go outdoors? (`site.flue`)");
    }
    if !sealed && ventilation.value <= 0.0 {
        v.advice("open the room to the outside, low and high; never burn in a closed room")
            .find(
                "site.ventilation",
                "no fresh air",
                Limit::Should("fresh air for the fire, and against a leak"),
            );
        return;
    }
    if let Some(needed) = air_burnt(s).filter(|needed| !sealed && ventilation < *needed) {
        v.source(Source::Choice("the fire of the largest duty uses the oxygen of that much air; more is needed to breathe")).advice("ventilate far more, or lead air and exhaust of the burner outside").find("site.ventilation", (Kind::VolumeRate, ventilation.value), Limit::at_least(Kind::VolumeRate, needed.value));
        return;
    }
    let Some(plan) = leak_plan(s, v) else { return };
    let Some((joint, effect)) = plan.worst_joint(0) else {
        v.not_checked("no leak of a joint could be computed");
        return;
    };
    let needed = effect.consequences.room.and_then(|r| r.ventilation_needed);
    let Some(needed) = needed else {
        v.not_checked(match site.room_volume {
            None => "the volume of the room is not given",
            Some(_) => "the fuel makes a pool, or has no flammability limits",
        });
        return;
    };
    let outside = (s.rig.supply.tank()).is_some_and(|t| t.setting == Some(Setting::Outdoor));
    if ventilation < needed {
        v.signal(Signal::Warning).source(Source::Unconfirmed("iec60079-10-1")).advice(if outside && joint.level.from == "tank" {
                format!(
                    "a washed-out joint before the regulator ({}) needs that much fresh air where it stands in the room: ventilate \
                     more, or keep the regulator outdoors with the cylinder",
                    s.gauge(joint.level.pressure)
                )
            } else {
                format!(
                    "a washed-out joint at {} ({}) needs that much fresh air: ventilate more, or move it outside",
                    joint.level.from,
                    s.gauge(joint.level.pressure)
                )
            }).find("site.ventilation", (Kind::VolumeRate, ventilation.value), Limit::at_least(Kind::VolumeRate, needed.value));
    }
}
