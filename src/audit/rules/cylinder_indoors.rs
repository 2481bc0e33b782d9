//! A cylinder of gas in the room, or below the ground.

use super::solved::is_heavy;
use super::tank_could_fill_room::could_fill_room;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::flow::air::DRY_AIR_KG_MOL;
use crate::fuel::FedAs;
use crate::quantity::Kind;
use crate::quantity::show::significant;
use crate::train::rig::Setting;

rule! {
    /// ## Finding
    /// The cylinder stands {measured}: a valve that weeps overnight fills the room with a mixture that burns.
    /// ## What it checks
    /// Where a tank of gas stands. Indoors it is a WARNING, unless LEK019, the graver word for the same, finds that
    /// it could fill the room. Below ground, gas heavier than air is a DANGER.
    /// ## Why it matters
    /// A valve that weeps overnight leaves nothing outdoors, and a room of mixture indoors. Heavy gas does not leave
    /// a cellar or pit by itself: whoever comes down with a flame lights it, or finds no air to breathe.
    /// ## What to do
    /// Stand it outdoors, upright and fixed, and bring in only the line.
    "SIT010", "cylinder-indoors", Site, [Danger, Warning], Choice("what gas codes ask of cylinders, common practice; the local code decides")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(tank) = s.rig.supply.tank() else {
        return;
    };
    if usual_phase(&s.rig.fuel.composition) == FedAs::Liquid {
        return;
    }
    let below = tank.below_ground == Some(true);
    if below && is_heavy(s) {
        let times = s.fluid.molar_mass_kg_mol() / DRY_AIR_KG_MOL;
        let heavier = significant(times, 2);
        v.says(format!("The cylinder stands below ground with gas {heavier} times as heavy as air: what leaks there stays there."))
            .advice("Bring it up and outdoors.")
            .find(
                "tank.below_ground",
                (
                    Kind::Ratio,
                    times,
                    format!("below ground, {heavier} times as heavy as air"),
                ),
                Limit::of_words(Kind::Ratio, 1.0, "above ground, outdoors"),
            );
    } else if (below || tank.setting == Some(Setting::Indoor)) && !could_fill_room(s) {
        v.signal(Signal::Warning).find(
            "tank.setting",
            if below { "below ground" } else { "indoors" },
            Limit::Should("outdoors"),
        );
    }
}
