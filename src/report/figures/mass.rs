//! Figures of what a rig weighs: by group, and part by part of the train.

use crate::mass::{Inventory, Item};
use crate::quantity::Kind;
use crate::report::plot::{Axis, Bar, Bars, Figure, Plot};

/// Parts that have a bar of their own; the lighter ones share one.
const PARTS: usize = 14;

/// Mass by group, then that of the train's parts, heaviest first.
pub(in crate::report) fn mass(list: &Inventory) -> Vec<Plot> {
    let groups = list.groups();
    let of_groups = groups.iter().filter(|g| g.mass.value > 0.0).map(|g| Bar {
        name: g.group.name().to_owned(),
        value: g.mass.value,
        band: None,
        group: None,
    });
    let sorted = list.heaviest_first();
    let known: Vec<&&Item> = sorted
        .iter()
        .filter(|i| i.group.of_train() && i.dry.is_some())
        .collect();
    let (own, shared) = known.split_at(known.len().min(PARTS));
    let mut parts: Vec<Bar> = own
        .iter()
        .map(|i| Bar {
            name: i.name.clone(),
            value: i.fuelled().value,
            band: None,
            group: None,
        })
        .collect();
    if !shared.is_empty() {
        parts.push(Bar {
            name: format!("{} others", shared.len()),
            value: shared.iter().map(|i| i.fuelled().value).sum(),
            band: None,
            group: None,
        });
    }
    let axis = || Axis::of("mass", Kind::Mass).with_zero();
    let plot = |title: &str, description: &str, bars| {
        let x = axis();
        let figure = Figure::Bars(Bars {
            x,
            bars,
            limits: Vec::new(),
        });
        Plot::new(title, description, figure)
    };
    vec![
        plot(
            "Mass by group",
            "A bar for each group of parts, heaviest first; the table by group has the figures.",
            of_groups.collect(),
        ),
        plot(
            "Parts of the train, with the fuel in them",
            "A bar for each part of the train and the injector, heaviest first; the table part by \
             part has the figures.",
            parts,
        ),
    ]
}
