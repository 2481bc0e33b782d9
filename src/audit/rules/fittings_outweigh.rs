//! Fittings and gauges that outweigh what they join.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// Fittings and gauges weigh {measured}, more than the {limit} of the parts that they join: each is a joint that
    /// can leak.
    /// ## What it checks
    /// Mass of fittings, orifice plates and gauges together against the mass of the parts that they join:
    /// regulators, valves, filters, pumps, vaporisers and the injector. Lines, tank and fuel count on
    /// neither side.
    /// ## Why it matters
    /// Fittings neither meter nor stop fuel. Where they weigh more than what does, the train is put together from
    /// adapters. Each adds a joint that can leak, and weight that hangs on thin tube.
    /// ## What to do
    /// Bend the tube instead of using elbows, and choose parts whose ends fit each other. Move gauges to one block.
    /// `fuelwright mass` lists what weighs what.
    "MAS001", "fittings-outweigh-what-they-join", Mass, [Notice],
    Choice("what joins should weigh less than what it joins")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if train_parts(s, v).is_none() {
        return;
    }
    let list = s.inventory();
    let sum = |joins: bool| {
        let side = list
            .train_items()
            .filter(|i| i.group.only_joins() == joins && !i.group.is_line());
        side.fold((0.0, Vec::new()), |(kg, mut unknown), i| {
            match i.dry {
                Some(m) => return (kg + m.value, unknown),
                None => unknown.push(i.name.clone()),
            }
            (kg, unknown)
        })
    };
    let (joins_kg, joins_unknown) = sum(true);
    let (joined_kg, joined_unknown) = sum(false);
    if joins_kg > joined_kg && joined_unknown.is_empty() {
        v.find(
            "train",
            (Kind::Mass, joins_kg),
            Limit::at_most(Kind::Mass, joined_kg),
        );
    } else if joins_kg > joined_kg || !joins_unknown.is_empty() {
        let unknown = [joins_unknown, joined_unknown].concat();
        v.not_checked(format!(
            "the rig file gives no mass of {}",
            unknown.join(", ")
        ));
    }
}
