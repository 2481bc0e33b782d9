//! A fire that takes more air out of the room than comes in.

use super::ventilation_below_leak::air_burnt;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;
use crate::train::rig::{CombustionAir, Setting};

rule! {
    /// ## Finding
    /// Ventilation brings in {measured}, and the fire takes {limit} out of the room: flue gas comes back down the
    /// flue.
    /// ## What it checks
    /// Indoors, with a flue and combustion air from the room: the most air of any duty against the ventilation. Where
    /// the ventilation does not even bring the oxygen that the fire burns, LEK011 says so.
    /// ## Why it matters
    /// What the blower takes and the ventilation does not bring comes down the flue, smoke and carbon monoxide with
    /// it, and the fire gets air that it has burnt once.
    /// ## What to do
    /// Make an opening to the outdoors that cannot be shut, or lead a duct from outdoors to the blower.
    "SIT012", "room-short-of-air", Site, [Warning],
    Choice("what the fire takes has to come in; common practice, no source"),
    levers ["site.ventilation" Up]
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
            v.not_checked("the rig file does not give `site.combustion_air`");
            return;
        }
    }
    let Some(ventilation) = site.ventilation else {
        v.not_checked("the rig file does not give `site.ventilation`");
        return;
    };
    let Some(most) = s.most_air() else {
        v.not_checked("no duty gives its air flow");
        return;
    };
    // so little that it burns up the oxygen of the room is LEK011's
    let used_up = air_burnt(s).is_some_and(|needed| ventilation < needed);
    if ventilation.value < most && !used_up {
        v.find(
            "site.combustion_air",
            (Kind::VolumeRate, ventilation.value),
            Limit::at_least(Kind::VolumeRate, most),
        );
    }
}
