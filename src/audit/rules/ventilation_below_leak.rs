//! Ventilation that does not hold a room below a quarter of the lower limit against a small leak.

use super::leak_plan;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::train::rig::Setting;

rule! {
    /// ## What it checks
    /// Indoors, the ventilation against the fresh air that holds a quarter of the lower flammability limit
    /// against a washed-out joint (0.25 mm2) at the highest pressure of the train.
    /// ## Why it matters
    /// A seal that nobody looks after comes to such a leak, and it may go on for hours before it is found;
    /// with enough fresh air it cannot fill the room.
    /// ## What to do
    /// Ventilate more, low down for a heavy gas and high up for a light one, or move the part at high
    /// pressure outside.
    VentilationBelowLeak, "LEK011", "ventilation-below-leak", Leak
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
    let Some(plan) = leak_plan(s, v) else { return };
    let Some((joint, effect)) = plan.worst_joint(0) else {
        v.not_checked("no leak of a joint could be computed");
        return;
    };
    let needed = effect.consequences.room.and_then(|r| r.ventilation_needed);
    let Some(needed) = needed else {
        v.not_checked(
            "the volume of the room is not given, or the fuel has no limits or makes a pool",
        );
        return;
    };
    if ventilation < needed {
        v.find(
            Signal::Warning,
            "site.ventilation",
            Measured::Quantity(Kind::VolumeRate, ventilation.value),
            Limit::AtLeast(Measured::Quantity(Kind::VolumeRate, needed.value)),
            Source::Published("iec60079-10-1"),
            format!(
                "a washed-out joint at {} ({}) needs that much fresh air: ventilate more, or move it outside",
                joint.level.from,
                s.gauge(joint.level.pressure)
            ),
        );
    }
}
