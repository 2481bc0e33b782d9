//! Figure of where to stand: how far leaks reach and who stands how far off, on one axis.

use crate::audit::finding::capital;
use crate::leak::rig::{Effect, JOINT_LEAKS, JointLeak, LeakPlan};
use crate::quantity::show::{Units, number, show_digits};
use crate::quantity::{Kind, Length};
use crate::report::plot::{Figure, Plot, Reach, Ruler};
use crate::report::{Column, Table, Value};
use crate::train::rig::{Rig, Site};

/// Radiation that people in working clothes may stay in is the first level of a fire, brief emergency action the second.
const LEVELS: [(usize, &str, &str); 2] = [
    (1, "lit: brief action only beyond", ""),
    (0, "lit: people may stay beyond", "heat"),
];
const GAS: &str = "gas can burn, to half its lower limit";

/// Distances from tank, line and fire, with the people of the rig file.
pub(in crate::report) fn ruler(plan: &LeakPlan, rig: &Rig) -> Ruler {
    let site = &rig.site;
    let from = [tank(plan, rig), line(plan, site), fire(site)];
    Ruler {
        from: from.into_iter().flatten().collect(),
        people: stands([
            ("operator", site.operator_distance),
            ("others", site.people_distance),
        ]),
    }
}

/// What reaches people farthest who would be as near to it as they are to the fire, at most; empty: nothing.
pub(in crate::report) fn within(ruler: &Ruler, units: Units) -> String {
    let far = |m: f64| show_digits(Kind::Length, m, units, 2);
    let farthest = |(_, reaches): &&From| reaches.iter().map(Reach::reaches).fold(0.0, f64::max);
    let of = |a: &&From, b: &&From| farthest(a).total_cmp(&farthest(b));
    let Some((from, reaches)) = ruler.from.iter().max_by(of) else {
        return String::new();
    };
    let what = from
        .split_once(": ")
        .map_or(from.as_str(), |(_, what)| what);
    let told = ruler.people.iter().filter_map(|(name, m)| {
        let beyond = reaches
            .iter()
            .filter(|r| !r.word.is_empty() && r.reaches() > *m);
        let beyond: Vec<String> = beyond
            .map(|r| format!("{} {}", r.word, far(r.most)))
            .collect();
        (!beyond.is_empty()).then(|| {
            format!(
                "{} at {}: {what} reaches farther, at most {}.",
                capital(name),
                far(*m),
                beyond.join(", ")
            )
        })
    });
    told.collect::<Vec<_>>().join(" ")
}

/// The same drawn; nothing to draw where no leak is known and nobody stands anywhere.
pub(in crate::report) fn stand(ruler: Ruler) -> Plot {
    let told = ruler.from.iter().map(|(from, reaches)| {
        let reaches = reaches
            .iter()
            .map(|r| format!("{} {} m", r.name, number(r.most)));
        format!("{from}: {}", reaches.collect::<Vec<_>>().join(", "))
    });
    let told: Vec<String> = told.collect();
    let description = format!(
        "Distances on one axis, each at most. {}. Dashed lines across all of it: where operator and others stand, \
         measured from the fire.",
        told.join(". ")
    );
    let table = table(&ruler);
    Plot::new(
        "Distances from tank, line and fire",
        description,
        Figure::Ruler(ruler),
    )
    .with_table(table)
}

type From = (String, Vec<Reach>);

/// From the tank: a loose joint at its pressure, and what may light its gas.
fn tank(plan: &LeakPlan, rig: &Rig) -> Option<From> {
    rig.supply.tank()?;
    // the first level is that of the tank
    let level = &plan.joints.first()?.level;
    let loose = |j: &&JointLeak| j.level == *level && j.size + 1 == JOINT_LEAKS.len();
    let joint = plan.joints.iter().find(loose)?;
    let mut all = reaches(joint.effect.as_ref().ok()?);
    let fire = [("fire, or what else lights", rig.site.tank_to_fire)];
    all.extend(stands(fire).into_iter().map(stand_at));
    Some((format!("From the tank: a {}", joint.size_name()), all))
}

/// From the line whose break lets out most, or the joint that does, where no line can break.
fn line(plan: &LeakPlan, site: &Site) -> Option<From> {
    let (name, effect) = if let Some((broken, effect)) = plan.worst_break() {
        let until = match &broken.excess_flow {
            Some(e) if e.closes => format!(", until {} closes", e.part),
            _ => String::new(),
        };
        let name = format!("a full-bore break of {}{until}", broken.part);
        (name, effect)
    } else {
        let (joint, effect) = plan.worst_joint(JOINT_LEAKS.len() - 1)?;
        let name = format!("a {} at {}", joint.size_name(), joint.level.from);
        (name, effect)
    };
    let mut all = reaches(effect);
    all.extend(
        stands([("pit or drain", site.low_point_distance)])
            .into_iter()
            .map(stand_at),
    );
    Some((format!("From the line: {name}"), all))
}

/// From the fire: people, and the shut-off that the operator uses.
fn fire(site: &Site) -> Option<From> {
    let mut all: Vec<Reach> = stands([
        ("operator", site.operator_distance),
        ("others", site.people_distance),
    ])
    .into_iter()
    .map(stand_at)
    .collect();
    if let (Some(at), Some(off)) = (site.operator_distance, site.shutoff_distance) {
        let (at, off) = (at.value, off.value);
        let reach = Reach::between("shut-off, somewhere between", (at - off).max(0.0), at + off);
        all.insert(1, reach);
    }
    (!all.is_empty()).then(|| ("From the fire".to_owned(), all))
}

/// How far its gas can burn, its flame, and its heat.
fn reaches(effect: &Effect) -> Vec<Reach> {
    let does = &effect.consequences;
    let mut all = Vec::new();
    if let Some(jet) = &does.jet {
        let half = &jet.half_limit;
        all.push(Reach::to(GAS, "gas", half.value.value, half.high.value));
    }
    if let Some(fire) = &does.fire {
        let length = fire.length.value;
        let most = length * (1.0 + crate::leak::fire::LENGTH_BAND);
        all.push(Reach::to("lit: length of the flame", "flame", length, most));
        for (level, words, word) in LEVELS {
            if let Some(d) = fire.distances.get(level) {
                all.push(Reach::to(words, word, d.from_hole.value, d.high.value));
            }
        }
    }
    all
}

/// Those whose distance is given.
fn stands<const N: usize>(places: [(&str, Option<Length>); N]) -> Vec<(String, f64)> {
    let given = places.into_iter();
    given
        .filter_map(|(name, at)| Some((name.to_owned(), at?.value)))
        .collect()
}

fn stand_at((name, m): (String, f64)) -> Reach {
    Reach::between(name, m, m)
}

fn table(ruler: &Ruler) -> Table {
    let mut table = Table::new(vec![
        Column::new("from"),
        Column::new("what"),
        Column::of("distance", Kind::Length).digits(2),
        Column::of("at most", Kind::Length).digits(2),
    ]);
    for (from, reaches) in &ruler.from {
        for reach in reaches {
            let length = |si| Value::Quantity {
                kind: Kind::Length,
                si,
            };
            let least = if reach.stands {
                reach.least
            } else {
                reach.likely
            };
            table.row(vec![
                Value::Text(from.clone()),
                Value::Text(reach.name.clone()),
                length(least),
                length(reach.most),
            ]);
        }
    }
    table
}
