//! A purge that does not clear what a failed start leaves.

use super::{leak_plan, light_up};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::leak::unlit::PURGE_MARGIN;
use crate::quantity::{Kind, seconds};

rule! {
    /// ## Finding
    /// A purge of {measured} leaves fuel of a failed start for the next spark: clearing it takes {limit}.
    /// ## What it checks
    /// Purge time against the time that thins what a failed start of the first duty leaves in can and duct, without
    /// air meanwhile, to a quarter of the lower flammability limit, with a margin of 1.5.
    /// ## Why it matters
    /// The second try comes when people are impatient. The fuel of the first goes off with its spark.
    /// ## What to do
    /// Purge longer or with more air after a failed start, or shorten the ignition time.
    "LEK016", "purge-after-failed-start", Leak, [Warning],
    Choice("a quarter of the lower limit, with half as much again for corners that mix badly"),
    levers ["controls.purge_time" Up, "controls.purge_air_flow" Up, "controls.ignition_time" Down]
}

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let Some(time) = s.rig.controls.purge_time else {
        v.not_checked("the rig file does not give `controls.purge_time`");
        return None;
    };
    let plan = leak_plan(s, v)?;
    let first = light_up(s, plan, v)?;
    let Some(purge) = first.purge else {
        v.not_checked(
            "the purge air, the ignition time, the volume of can or duct, or the flammability limits are not given",
        );
        return None;
    };
    let needed = seconds(PURGE_MARGIN * purge.volumes_mixed * purge.one_volume.value);
    if time < needed {
        v.find(
            "controls.purge_time",
            (Kind::Time, time.value),
            Limit::at_least(Kind::Time, needed.value),
        );
    }
    Some(())
}
