//! A train that outweighs the fuel it feeds.

use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// {It} weighs {measured}, more than the {limit} of fuel in the tank: a lighter train gains more than a fuller
    /// tank.
    /// ## What it checks
    /// Dry mass of all parts of the train with the injector against the fuel in the tank, where the rig
    /// has a tank.
    /// ## Why it matters
    /// A rig that is carried pays for every part. Where the train weighs more than all the fuel of one filling, a
    /// lighter train gains more than a fuller tank.
    /// ## What to do
    /// See `fuelwright mass` for the heaviest parts and what lighter ones would save. Join fewer parts, or accept it,
    /// with a reason, on a rig that stays where it stands.
    "MAS002", "train-outweighs-its-fuel", Mass, [Notice],
    Choice("a train that is carried should weigh less than the fuel it feeds")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if s.rig.supply.tank().is_none() {
        return;
    }
    let list = s.inventory();
    let Some(fuel) = list.fuel else {
        v.not_checked("the fuel in the tank is not known");
        return;
    };
    let train = list.train();
    let unknown: Vec<&str> = list
        .train_items()
        .filter(|i| i.dry.is_none())
        .map(|i| i.name.as_str())
        .collect();
    if train > fuel {
        v.find(
            "train",
            (Kind::Mass, train.value),
            Limit::at_most(Kind::Mass, fuel.value),
        );
    } else if !unknown.is_empty() {
        v.not_checked(format!(
            "the rig file gives no mass of {}",
            unknown.join(", ")
        ));
    }
}
