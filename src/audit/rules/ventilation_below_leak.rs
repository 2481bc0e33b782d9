//! Ventilation that does not hold a room below a quarter of the lower limit against a small leak.

use super::leak_plan;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::flow::air::MoistAir;
use crate::quantity::{Kind, VolumeRate, cubic_metres_per_second, ratio};
use crate::train::rig::{CombustionAir, Setting};

rule! {
    /// ## Finding
    /// Ventilation of {measured} lets a washed-out joint {where} fill the room: a quarter of the lower limit takes
    /// {limit}.
    /// ## What it checks
    /// Indoors: the ventilation against the fresh air that holds a washed-out joint (0.25 mm2) at the highest
    /// pressure of the train below a quarter of the lower flammability limit; and against the air that the fire of
    /// the largest duty burns.
    /// ## Why it matters
    /// A neglected seal comes to leak that much, perhaps for hours before it is found. Enough fresh air keeps it from
    /// filling the room.
    /// ## What to do
    /// Ventilate more, low down for a heavy gas and high up for a light one, or move the part at high pressure
    /// outdoors.
    "LEK011", "ventilation-below-leak", Leak, [Danger, Warning],
    Choice("common practice, no source; the local code decides"),
    levers ["site.ventilation" Up]
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
        v.not_checked("the rig file does not give `site.ventilation`");
        return;
    };
    // a fire with a flue and air from outdoors asks nothing of the room
    let outdoors = site.combustion_air == Some(CombustionAir::Outdoors);
    let sealed = outdoors && site.flue != Some(false);
    if outdoors && site.flue.is_none() {
        v.not_checked("the rig file does not say whether the exhaust goes outdoors (`site.flue`)");
    }
    if !sealed && ventilation.value <= 0.0 {
        v.says("The room has no ventilation: the fire uses up its oxygen, and a leak fills it.")
            .advice("Open the room to the outdoors, low and high. Never burn in a closed room.")
            .find(
                "site.ventilation",
                "none",
                Limit::Should("fresh air for the fire, and against a leak"),
            );
        return;
    }
    if let Some(needed) = air_burnt(s).filter(|needed| !sealed && ventilation < *needed) {
        v.source(Source::Choice("the fire of the largest duty uses the oxygen of that much air; more is needed to breathe")).says("Ventilation of {measured} does not bring the {limit} of air that the fire burns.").advice("Ventilate far more, or lead the air and the exhaust of the burner outdoors.").find("site.ventilation", (Kind::VolumeRate, ventilation.value), Limit::at_least(Kind::VolumeRate, needed.value));
        return;
    }
    let Some(plan) = leak_plan(s, v) else { return };
    let Some((joint, effect)) = plan.worst_joint(0) else {
        v.not_checked("no leak of a joint can be computed");
        return;
    };
    let needed = effect.consequences.room.and_then(|r| r.ventilation_needed);
    let Some(needed) = needed else {
        v.not_checked(match site.room_volume {
            None => "the rig file does not give `site.room_volume`",
            Some(_) => "the fuel makes a pool, or its flammability limits are not known",
        });
        return;
    };
    let outside = (s.rig.supply.tank()).is_some_and(|t| t.setting == Some(Setting::Outdoor));
    if ventilation < needed {
        let before_regulator = outside && joint.level.from == "tank";
        let place = if before_regulator {
            "before the regulator".to_owned()
        } else {
            format!("at {}", joint.level.from)
        };
        let place = format!("{place} ({})", s.gauge(joint.level.pressure));
        let says = v.rule.says().replace("{where}", &place);
        v.says(says)
            .signal(Signal::Warning)
            .source(Source::Unconfirmed("iec60079-10-1"))
            .advice(if before_regulator {
                "Ventilate more, or keep the regulator outdoors."
            } else {
                "Ventilate more, or move that joint outdoors."
            })
            .find(
                "site.ventilation",
                (Kind::VolumeRate, ventilation.value),
                Limit::at_least(Kind::VolumeRate, needed.value),
            );
    }
}
