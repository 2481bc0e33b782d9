//! A burner indoors without a carbon monoxide alarm.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::train::rig::Setting;

rule! {
    /// ## What it checks
    /// Whether a carbon monoxide alarm is on where the rig stands indoors.
    /// ## Why it matters
    /// Carbon monoxide has no smell and takes away the judgement of those who breathe it first.
    /// ## What to do
    /// Put up an alarm at head height, tested on the day, and leave the room when it sounds.
    NoCarbonMonoxideAlarm, "SIT003", "no-carbon-monoxide-alarm", Site
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if s.rig.site.setting != Setting::Indoor {
        return;
    }
    match s.rig.site.carbon_monoxide_alarm {
        Some(true) => {}
        Some(false) => v.find(
            Signal::Warning,
            "site.carbon_monoxide_alarm",
            "none",
            Limit::Should("an alarm that is on"),
            Source::Choice("no other sense warns of it"),
            "put up an alarm and test it on the day",
        ),
        None => v.not_checked("the rig file does not say whether there is a carbon monoxide alarm"),
    }
}
