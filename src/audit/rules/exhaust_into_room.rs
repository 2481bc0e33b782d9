//! What leaves the duct stays in the room.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::train::rig::Setting;

rule! {
    /// ## What it checks
    /// Indoors: whether what leaves the duct is led outdoors. Where it is not, a warning; a danger where there is no
    /// carbon monoxide alarm, or no ventilation.
    /// ## Why it matters
    /// The fire uses up the oxygen of the room and fills it with carbon dioxide; then it burns badly and makes carbon
    /// monoxide, which has no smell. Those in the room are overcome before they notice.
    /// ## What to do
    /// Lead it outdoors by a duct that draws, away from doors, windows and the inlet of the air; or work in the open.
    "SIT011", "exhaust-into-room", Site, [Danger, Warning],
    Choice("common practice; the code in force says which fires may do without a flue")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let site = &s.rig.site;
    if site.setting != Setting::Indoor {
        return;
    }
    let Some(flue) = site.flue else {
        v.not_checked("the rig file does not say whether what leaves the duct is led outdoors");
        return;
    };
    if flue {
        return;
    }
    let alarm = site.carbon_monoxide_alarm == Some(true);
    let aired = site.ventilation.is_some_and(|q| q.value > 0.0);
    v.signal(if alarm && aired {
        Signal::Warning
    } else {
        Signal::Danger
    })
    .find(
        "site.flue",
        match (alarm, aired) {
            (true, true) => "it stays in the room",
            (false, true) => "it stays in the room, and no alarm for carbon monoxide is on",
            (true, false) => "it stays in the room, and no ventilation is stated",
            (false, false) => "it stays in the room, with neither alarm nor ventilation",
        },
        Limit::Should("led outdoors"),
    );
}
