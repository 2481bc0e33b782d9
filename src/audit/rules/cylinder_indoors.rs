//! A cylinder of gas in the room, or below the ground.

use super::solved::is_heavy;
use super::tank_could_fill_room::could_fill_room;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::flow::air::DRY_AIR_KG_MOL;
use crate::fuel::FedAs;
use crate::quantity::Kind;
use crate::train::rig::Setting;

rule! {
    /// ## What it checks
    /// Where a tank of gas stands: indoors is a warning, unless LEK019 finds that it could fill the room, which is the
    /// graver word for the same. Below the ground, a gas heavier than air is a danger.
    /// ## Why it matters
    /// A valve that weeps overnight leaves nothing outdoors, and a room of mixture indoors. Out of a cellar or pit heavy gas
    /// does not go by itself; who comes down with a lamp lights it, or finds no air to breathe.
    /// ## What to do
    /// Stand it outdoors, upright and fixed, and bring in the line alone.
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
        let heavier = s.fluid.molar_mass_kg_mol() / DRY_AIR_KG_MOL;
        v.advice("bring it up and outdoors: what leaks down there stays there")
            .find(
                "tank.below_ground",
                (
                    Kind::Ratio,
                    heavier,
                    format!("below the ground, with gas {heavier:.1} times as heavy as air"),
                ),
                Limit::of_words(Kind::Ratio, 1.0, "above the ground, in the open"),
            );
    } else if (below || tank.setting == Some(Setting::Indoor)) && !could_fill_room(s) {
        v.signal(Signal::Warning).find(
            "tank.setting",
            if below { "below the ground" } else { "indoors" },
            Limit::Should("outdoors"),
        );
    }
}
