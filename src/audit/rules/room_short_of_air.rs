//! A fire that takes more air out of the room than comes in.

use super::ventilation_below_leak::air_burnt;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;
use crate::train::rig::{CombustionAir, Setting};

rule! {
    /// ## What it checks
    /// Indoors, with a flue and air for the fire out of the room: the most air of any duty against the ventilation. Where
    /// it does not even bring the oxygen that the fire uses, LEK011 says so.
    /// ## Why it matters
    /// What the blower takes and the ventilation does not bring comes down the flue: smoke and carbon monoxide with it,
    /// and the fire gets air that it has burnt once.
    /// ## What to do
    /// An opening outdoors for the air of the fire that cannot be shut, or a duct from outdoors to the blower.
    "SIT012", "room-short-of-air", Site, [Warning],
    Choice("what the fire takes has to come in; common practice, no source")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let site = &s.rig.site;
    // without a flue the rule on that tells what becomes of the air
    if site.setting != Setting::Indoor || site.flue == Some(false) {
        return;
    }
    match site.combustion_air {
        Some(CombustionAir::Room) => {}
        Some(CombustionAir::Outdoors) => return,
        None => {
            v.not_checked("the rig file does not say where the air for the fire comes from");
            return;
        }
    }
    let Some(ventilation) = site.ventilation else {
        v.not_checked("the ventilation of the room is not given");
        return;
    };
    let Some(most) = s.most_air() else {
        v.not_checked("no duty gives its air");
        return;
    };
    // so little that it burns up the oxygen of the room is LEK011's
    let used_up = air_burnt(s).is_some_and(|needed| ventilation < needed);
    if ventilation.value < most && !used_up {
        v.find(
            "site.combustion_air",
            s.worded(Kind::VolumeRate, ventilation.value, |x| {
                format!(
                    "{x} of ventilation for a fire that takes {}",
                    s.show(Kind::VolumeRate, most)
                )
            }),
            Limit::at_least(Kind::VolumeRate, most),
        );
    }
}
