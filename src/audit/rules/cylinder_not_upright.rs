//! Vapour drawn from a cylinder that does not stand upright.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::train::Draw;
use crate::train::rig::{Supply, TankPosition};

rule! {
    /// ## What it checks
    /// How the tank stands against what is drawn from it.
    /// ## Why it matters
    /// A vapour cylinder on its side or head gives liquid: the regulator passes it, the ring fills with
    /// it, and the flame grows many times over in a second.
    /// ## What to do
    /// Stand it on its foot and fix it there. A tank made to lie is described by the position `lying`
    /// and a dip tube that reaches the vapour: have a licensed fitter say so.
    "TNK001", "cylinder-not-upright", Tank, [Danger, Notice], Choice("common practice of the trade, no source")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Supply::Tank(tank) = &s.rig.supply else {
        v.not_checked("the fuel comes from a main");
        return;
    };
    if tank.draw == Draw::Liquid && tank.position == TankPosition::Inverted {
        v.signal(Signal::Notice)
            .advice("stand the tank on its foot, or take out the dip tube")
            .find(
                "tank.position",
                "inverted, liquid drawn",
                Limit::Should("upright, so that the dip tube ends in the liquid"),
            );
    }
    if tank.draw == Draw::Vapour && tank.position != TankPosition::Upright {
        v.source(Source::Choice(
            "common practice of the trade; liquid in a vapour train over-fires at once",
        ))
        .advice("stand the cylinder on its foot and fix it there")
        .find(
            "tank.position",
            match tank.position {
                TankPosition::Lying => "lying, vapour drawn",
                _ => "inverted, vapour drawn",
            },
            Limit::Should("upright where vapour is drawn"),
        );
    }
}
