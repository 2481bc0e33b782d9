//! A tank that holds enough fuel to fill its room with a mixture that burns.

use super::leak_plan;
use super::solved::is_heavy;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Rule, Signal, Solution, Source, Verdict};
use crate::leak::rig::LeakPlan;
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
    // that of a cellar is told by where it stands
    if tank.below_ground == Some(true) && is_heavy(s) {
        return;
    }
    let Some(plan) = leak_plan(s, v) else { return };
    match spilt(plan) {
        Err(why) => v.not_checked(why),
        Ok(spilt) if spilt.share > spilt.lower => {
            let mixture = spilt.gas_m3 / spilt.lower;
            v.find(
                Signal::Danger,
                "site.room_volume",
                Measured::Worded(
                    Kind::Ratio,
                    spilt.share,
                    format!(
                        "{} of gas in half the room, if all of the tank comes out: enough for {} of mixture that burns",
                        s.show(Kind::Ratio, spilt.share),
                        s.show(Kind::Volume, mixture)
                    ),
                ),
                Limit::AtMost(Measured::Worded(
                    Kind::Ratio,
                    spilt.lower,
                    format!("{}, the lower limit", s.show(Kind::Ratio, spilt.lower)),
                )),
                Source::Published("iec60079-20-1"),
                "put the tank outside, and close it at the tank when nobody is there",
            );
        }
        Ok(_) => {}
    }
}

/// All the fuel of the tanks as gas in half the room.
struct Spilt {
    gas_m3: f64,
    share: f64,
    lower: f64,
}

fn spilt(plan: &LeakPlan) -> Result<Spilt, &'static str> {
    let (Some(room), Some(mass)) = (plan.room, plan.inventory) else {
        return Err("the volume of the room or the fuel in the tanks is not known");
    };
    let Some(limits) = plan.fuel.limits else {
        return Err("the fuel has no flammability limits in the library");
    };
    if !plan.fuel.gas_outside {
        return Err("the fuel is no gas in the air of the site");
    }
    let gas_m3 = mass.value / plan.fuel.gas_density.value;
    Ok(Spilt {
        gas_m3,
        share: gas_m3 / (gas_m3 + HALF * room.volume.value),
        lower: limits.lower.value,
    })
}

/// Whether what this rule finds is found.
pub(super) fn could_fill_room(s: &Solution<'_>) -> bool {
    let mut verdict = Verdict::new(TankCouldFillRoom.about());
    check(s, &mut verdict);
    !verdict.findings.is_empty()
}
