//! A burner indoors without a carbon monoxide alarm.

use crate::audit::rule::rule;
use crate::train::rig::Setting;

rule! {
    /// ## Finding
    /// No carbon monoxide alarm is on in the room: the gas has no smell and takes away judgement first.
    /// ## What it checks
    /// Whether a carbon monoxide alarm is on where the rig stands indoors.
    /// ## Why it matters
    /// Carbon monoxide has no smell, and it takes away the judgement of those who breathe it first.
    /// ## What to do
    /// Put up an alarm at head height, test it on the day, and leave the room when it sounds.
    "SIT003", "no-carbon-monoxide-alarm", Site, [Warning], Choice("no other sense warns of it");
    asks: |s| match s.rig.site.setting {
        Setting::Indoor => s.rig.site.carbon_monoxide_alarm,
        Setting::Outdoor => Some(true),
    },
    at: "site.carbon_monoxide_alarm",
    no: "none",
    should: "an alarm that is on",
    unknown: "the rig file does not say whether there is a carbon monoxide alarm"
}
