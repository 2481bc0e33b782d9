//! Figures of releases: how far they reach, drawn round the leak as seen from above.

use crate::leak::rig::{Effect, LeakPlan};
use crate::quantity::Kind;
use crate::quantity::show::number;
use crate::report::plot::{Around, Figure, Plot};
use crate::report::{Column, Table, Value};
use crate::train::rig::Site;

/// Radiation that people in working clothes may stay in is the first level of a fire, brief emergency
/// action the second.
const LEVELS: [(usize, &str); 2] = [
    (0, "lit: people may stay beyond"),
    (1, "lit: brief emergency action beyond"),
];

/// The worst leaking joint and the worst broken line.
pub(in crate::report) fn around(plan: &LeakPlan, site: &Site) -> Vec<Plot> {
    let joint = [1, 0].iter().find_map(|&size| plan.worst_joint(size));
    let joint = joint.map(|(leak, effect)| {
        let name = format!(
            "{} between {} and {}",
            leak.size_name(),
            leak.level.from,
            leak.level.to
        );
        view("A leaking joint, seen from above", &name, effect, site)
    });
    let broken = plan.worst_break().map(|(line, effect)| {
        let name = format!("{} broken off", line.part);
        view("A broken line, seen from above", &name, effect, site)
    });
    [joint, broken].into_iter().flatten().collect()
}

fn view(title: &str, name: &str, effect: &Effect, site: &Site) -> Plot {
    let does = &effect.consequences;
    let mut reaches = Vec::new();
    if let Some(jet) = &does.jet {
        reaches.push((
            "lower limit, at most".to_owned(),
            jet.lower_limit.high.value,
        ));
        reaches.push((
            "half the lower limit, at most".to_owned(),
            jet.half_limit.high.value,
        ));
    }
    if let Some(fire) = &does.fire {
        reaches.push(("length of the flame if lit".to_owned(), fire.length.value));
        for (level, words) in LEVELS {
            if let Some(d) = fire.distances.get(level) {
                reaches.push((words.to_owned(), d.high.value));
            }
        }
    }
    let mut table = Table::new(vec![
        Column::new("what"),
        Column::of("distance", Kind::Length).digits(2),
    ]);
    for (name, si) in &reaches {
        let si = *si;
        let kind = Kind::Length;
        table.row(vec![
            Value::Text(name.clone()),
            Value::Quantity { kind, si },
        ]);
    }
    let places = [
        ("fire, from the tank", site.tank_to_fire),
        ("operator, from the fire", site.operator_distance),
        ("others, from the fire", site.people_distance),
        ("low point", site.low_point_distance),
    ];
    let places: Vec<(String, f64)> = places
        .into_iter()
        .filter_map(|(name, at)| Some((name.to_owned(), at?.value)))
        .collect();
    let told: Vec<String> = reaches
        .iter()
        .map(|(name, m)| format!("{name} {} m", number(*m)))
        .collect();
    let description = format!(
        "Circles round the leak ({name}): {}. The rig file does not say where on the site the leak is nor in \
         which direction anything stands: each square is as far from the middle as the file puts it, from \
         the tank or the fire where its name says so, and may be nearer to the leak than that. In still air; \
         heavy gas runs along the floor and farther.",
        told.join(", ")
    );
    let title = format!("{title}: {name}");
    let figure = Figure::Around(Around {
        centre: "leak".to_owned(),
        reaches,
        places,
    });
    Plot::new(title, description, figure).with_table(table)
}
