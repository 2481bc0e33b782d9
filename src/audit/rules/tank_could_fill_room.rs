//! A tank that holds enough fuel to fill its room with a mixture that burns.

use super::leak_plan;
use super::solved::is_heavy;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::leak::rig::LeakPlan;
use crate::quantity::Kind;
use crate::train::rig::Setting;

rule! {
    /// ## Finding
    /// All the fuel of the tank fills half the room to {measured}, over the lower limit of {limit}: lit, it kills
    /// those in it.
    /// ## What it checks
    /// Where the tank stands indoors: all its fuel as vapour in half the room, against the lower flammability limit.
    /// ## Why it matters
    /// If the tank leaks while nobody is there, half the room can burn at once: that breaks walls and kills. Gas that
    /// is heavier or lighter than air lies in one half of a room rather than all through it.
    /// ## What to do
    /// Put the tank outdoors, close it at its valve when nobody is there, or use a smaller one.
    "LEK019", "tank-could-fill-room", Leak, [Danger], Published("iec60079-20-1"),
    levers ["tank.fuel_mass" Down, "tank.fill" Down, "tank.number" Down]
}

/// Share of a room that is enough to kill those in it.
const HALF: f64 = 0.5;

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let tank = s.rig.supply.tank()?;
    match (s.rig.site.setting, tank.setting) {
        (Setting::Outdoor, _) | (_, Some(Setting::Outdoor)) => return None,
        (Setting::Indoor, None) => {
            v.not_checked("the rig file does not give `tank.setting`");
            return None;
        }
        (Setting::Indoor, Some(Setting::Indoor)) => {}
    }
    // that of a cellar is told by where it stands
    if tank.below_ground == Some(true) && is_heavy(s) {
        return None;
    }
    let plan = leak_plan(s, v)?;
    match spilt(plan) {
        Err(why) => v.not_checked(why),
        Ok(spilt) if spilt.share > spilt.lower => {
            v.find(
                "site.room_volume",
                (Kind::Ratio, spilt.share),
                Limit::at_most(Kind::Ratio, spilt.lower),
            );
        }
        Ok(_) => {}
    }
    Some(())
}

/// All the fuel of the tanks as gas in half the room.
struct Spilt {
    share: f64,
    lower: f64,
}

fn spilt(plan: &LeakPlan) -> Result<Spilt, &'static str> {
    let (Some(room), Some(mass)) = (plan.room, plan.inventory) else {
        return Err("the volume of the room or the fuel in the tanks is not known");
    };
    let Some(limits) = plan.fuel.limits else {
        return Err("the fuel library has no flammability limits for this fuel");
    };
    if !plan.fuel.gas_outside {
        return Err("the fuel is not a gas in the air of the site");
    }
    let gas_m3 = mass.value / plan.fuel.gas_density.value;
    Ok(Spilt {
        share: gas_m3 / (gas_m3 + HALF * room.volume.value),
        lower: limits.lower.value,
    })
}

/// Whether what this rule finds is found.
pub(super) fn could_fill_room(s: &Solution<'_>) -> bool {
    !RULE.check(s).findings.is_empty()
}
