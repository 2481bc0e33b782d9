//! Exhaust that stays in the room.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::train::rig::Setting;

rule! {
    /// ## Finding
    /// The exhaust stays in the room{without}: the fire uses up the oxygen and then makes carbon monoxide.
    /// ## What it checks
    /// Indoors: whether the exhaust is led outdoors. If not, it is a WARNING; without a carbon monoxide alarm or
    /// ventilation, a DANGER.
    /// ## Why it matters
    /// The fire uses up the oxygen of the room and fills it with carbon dioxide. Then it burns badly and makes carbon
    /// monoxide, which has no smell. Those in the room are overcome before they notice.
    /// ## What to do
    /// Lead the exhaust outdoors by a duct that draws, or work in the open. Keep its end away from doors, windows and
    /// the air inlet.
    "SIT011", "exhaust-into-room", Site, [Danger, Warning],
    Choice("common practice; the code in force says which fires may do without a flue")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let site = &s.rig.site;
    if site.setting != Setting::Indoor {
        return;
    }
    let Some(flue) = site.flue else {
        v.not_checked("the rig file does not say whether the exhaust goes outdoors (`site.flue`)");
        return;
    };
    if flue {
        return;
    }
    let alarm = site.carbon_monoxide_alarm == Some(true);
    let aired = site.ventilation.is_some_and(|q| q.value > 0.0);
    let without = match (alarm, aired) {
        (true, true) => "",
        (false, true) => ", and no carbon monoxide alarm is on",
        (true, false) => ", and no ventilation is stated",
        (false, false) => ", with neither alarm nor ventilation",
    };
    let says = v.rule.says().replace("{without}", without);
    v.says(says)
        .signal(if alarm && aired {
            Signal::Warning
        } else {
            Signal::Danger
        })
        .find(
            "site.flue",
            "stays in the room",
            Limit::Should("led outdoors"),
        );
}
