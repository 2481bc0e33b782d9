//! A tank that holds enough fuel to fill its room with a mixture that burns.

use super::leak_plan;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::train::rig::Setting;

rule! {
    /// ## What it checks
    /// Where the tank stands indoors: all the fuel of the tanks as vapour in half the volume of the room, against the
    /// lower flammability limit.
    /// ## Why it matters
    /// If the tank leaks while nobody is there, half the room can burn at once: that breaks walls and kills. Gas that
    /// is heavier or lighter than air lies in one half of a room rather than all through it.
    /// ## What to do
    /// Put the tank outside; close it at the tank when nobody is there; use a smaller one.
    TankCouldFillRoom, "LEK019", "tank-could-fill-room", Leak
}

/// Share of a room that is enough to kill those in it.
const HALF: f64 = 0.5;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(tank) = s.rig.supply.tank() else {
        return;
    };
    match (s.rig.site.setting, tank.setting) {
        (Setting::Outdoor, _) | (_, Some(Setting::Outdoor)) => return,
        (Setting::Indoor, None) => {
            v.not_checked("the rig file does not say where the tank stands");
            return;
        }
        (Setting::Indoor, Some(Setting::Indoor)) => {}
    }
    let Some(plan) = leak_plan(s, v) else { return };
    let (Some(room), Some(mass)) = (plan.room, plan.inventory) else {
        v.not_checked("the volume of the room or the fuel in the tanks is not known");
        return;
    };
    let Some(limits) = plan.fuel.limits else {
        v.not_checked("the fuel has no flammability limits in the library");
        return;
    };
    if !plan.fuel.gas_outside {
        v.not_checked("the fuel is no gas in the air of the site");
        return;
    }
    let gas = mass.value / plan.fuel.gas_density.value;
    let share = gas / (gas + HALF * room.volume.value);
    if share > limits.lower.value {
        let mixture = gas / limits.lower.value;
        v.find(
            Signal::Danger,
            "site.room_volume",
            Measured::Worded(
                Kind::Ratio,
                share,
                format!(
                    "{} of gas in half the room, if all of the tank comes out: enough for {} of mixture that burns",
                    s.show(Kind::Ratio, share),
                    s.show(Kind::Volume, mixture)
                ),
            ),
            Limit::AtMost(Measured::Worded(
                Kind::Ratio,
                limits.lower.value,
                format!(
                    "{}, the lower limit",
                    s.show(Kind::Ratio, limits.lower.value)
                ),
            )),
            Source::Published("iec60079-20-1"),
            "put the tank outside, and close it at the tank when nobody is there",
        );
    }
}
