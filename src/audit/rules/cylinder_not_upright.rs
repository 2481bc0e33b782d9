//! Vapour drawn from a cylinder that does not stand upright.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::train::Draw;
use crate::train::rig::{Supply, TankPosition};

rule! {
    /// ## Finding
    /// Vapour is drawn and the tank does not stand upright: liquid reaches the burner, and the flame grows many times
    /// over.
    /// ## What it checks
    /// How the tank stands against what is drawn from it.
    /// ## Why it matters
    /// A vapour cylinder on its side or head gives liquid. The regulator passes it, the ring fills with it, and the
    /// flame grows many times over in a second.
    /// ## What to do
    /// Stand it on its foot and fix it there. A tank made to lie is described by the position `lying` and a dip tube
    /// that reaches the vapour: have a licensed fitter say so.
    "TNK001", "cylinder-not-upright", Tank, [Danger, Notice], Choice("common practice of the trade, no source")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Supply::Tank(tank) = &s.rig.supply else {
        v.not_checked("the fuel comes from a main");
        return;
    };
    if tank.draw == Draw::Liquid && tank.position == TankPosition::Inverted {
        v.signal(Signal::Notice)
            .advice("Stand the tank on its foot, or take out the dip tube")
            .says("{It} stands on its head while liquid is drawn: the dip tube ends in the vapour.")
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
        .advice("Stand the cylinder on its foot and fix it there")
        .says(match tank.position {
            TankPosition::Lying => {
                "{It} lies on its side while vapour is drawn: liquid reaches the burner, and the flame grows many times over."
            }
            _ => {
                "{It} stands on its head while vapour is drawn: liquid reaches the burner, and the flame grows many times over."
            }
        })
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
