//! What a rig weighs, for people and machines.

use super::{Column, Fact, Report, Table, Value, figures, json};
use crate::audit::Solution;
use crate::audit::solution::{holes, needs};
use crate::fuel::Library;
use crate::mass::lighter::{Asked, Lighter, LighterChoices, lighter_choices};
use crate::mass::orientation::orientation;
use crate::mass::{Basis, Inventory, Item};
use crate::quantity::{Kind, Mass};
use crate::train::rig::Rig;
use crate::train::{JointKind, TrainDuty};
use serde_json::{Value as Json, json};
use std::collections::BTreeMap;

/// Adds the mass of the whole; `audit` says it in the same words and keys as `mass`.
pub fn whole(report: &mut Report, inventory: &Inventory) {
    report.facts("Mass", vec![whole_fact(inventory)]);
    whole_keys(report, inventory);
}

fn whole_fact(inventory: &Inventory) -> Fact {
    let missing = inventory.missing();
    let fact = Fact::of("Rig with fuel", Kind::Mass, inventory.whole().value);
    if missing.is_empty() {
        return fact;
    }
    fact.note(format!("without {}: no mass given", missing.join(", ")))
}

fn whole_keys(report: &mut Report, inventory: &Inventory) {
    let missing = inventory.missing();
    report.number("mass_kg", inventory.whole().value);
    report.key("mass_missing", json!(missing));
    estimates(report, inventory);
}

/// Says which masses come from dimensions.
fn estimates(report: &mut Report, inventory: &Inventory) {
    for item in &inventory.items {
        if let Some(Basis::Estimate(how)) = &item.basis {
            report.assume(format!("Mass of {}: {how}.", item.name));
        }
    }
    report.key("mass_estimated", json!(inventory.estimated()));
}

/// Adds the list of a solved rig, and what lighter parts would save where its train is solved.
pub fn solved(report: &mut Report, library: &Library, solution: &Solution<'_>) {
    let inventory = solution.inventory();
    match (&solution.injector, solution.train()) {
        (Ok(injector), Ok(train)) => {
            let question = Asked {
                rig: solution.rig,
                fuel: solution.fluid.as_ref(),
                holes: holes(injector),
                needs: &needs(solution),
                now: &train.duties,
            };
            let choices = lighter_choices(&question);
            rig(report, solution.rig, &inventory, &train.duties);
            lighter(report, library, &choices);
        }
        (Err(why), _) | (_, Err(why)) => {
            report.remark(format!("The train is not solved: {why}."));
            rig(report, solution.rig, &inventory, &[]);
        }
    }
}

/// Adds the list of a rig, with what is in every part at the duty with the largest flow.
pub fn rig(report: &mut Report, rig: &Rig, at_rest: &Inventory, now: &[TrainDuty]) {
    let running = now
        .iter()
        .filter_map(|d| Some((d, d.solution.as_ref().ok()?)))
        .max_by(|a, b| a.1.flow.value.total_cmp(&b.1.flow.value));
    let list = match running {
        Some((duty, solution)) => {
            report.assume(format!(
                "Fuel in the parts is that of the duty {}, the largest flow: volume times the mean of the densities before and behind.",
                duty.name
            ));
            at_rest.clone().running(rig, solution)
        }
        None => at_rest.clone(),
    };
    whole_keys(report, &list);
    facts(report, &list);
    for plot in figures::mass(&list) {
        report.plot("Mass in bars", plot);
    }
    report.table("By group", groups(&list));
    report.table("Part by part, heaviest first", parts(&list));
    joints(report, rig, &list);
    not_given(report, rig, &list);
    remarks(report, &list, running.is_some());
    keys(report, rig, &list);
}

fn quantity(mass: Option<Mass>) -> Value {
    Value::of(Kind::Mass, mass.map(|m| m.value))
}

fn share(x: f64) -> Value {
    Value::of(Kind::Ratio, x)
}

fn facts(report: &mut Report, list: &Inventory) {
    let mut facts = vec![
        whole_fact(list),
        Fact::of("Dry", Kind::Mass, list.dry().value),
        Fact::of("Train with injector, dry", Kind::Mass, list.train().value),
    ];
    if let Some(fuel) = list.fuel.filter(|f| f.value > 0.0) {
        let of_train = list.train() / fuel;
        facts.insert(2, Fact::of("Fuel carried", Kind::Mass, fuel.value));
        facts.push(Fact::plain("Dry train over fuel, by mass", of_train.value));
    }
    facts.push(Fact::of(
        "Fuel in the train",
        Kind::Mass,
        list.fuel_in_train().value,
    ));
    report.facts("Mass", facts);
}

fn groups(list: &Inventory) -> Table {
    let mut table = Table::new(vec![
        Column::new("group"),
        Column::of("mass", Kind::Mass).digits(3),
        Column::of("share", Kind::Ratio).digits(3),
        Column::new("joints"),
        Column::new("without mass"),
    ]);
    for g in list.groups() {
        table.row(vec![
            Value::Text(g.group.name().to_owned()),
            quantity(Some(g.mass)),
            share(g.share),
            Value::Count(g.joints as usize),
            if g.missing > 0 {
                Value::Count(g.missing)
            } else {
                Value::Absent
            },
        ]);
    }
    table
}

fn parts(list: &Inventory) -> Table {
    let whole = list.whole().value;
    let mut table = Table::new(vec![
        Column::new("part"),
        Column::of("dry", Kind::Mass).digits(3),
        Column::of("fuel", Kind::Mass).digits(2),
        Column::of("with fuel", Kind::Mass).digits(3),
        Column::of("share", Kind::Ratio).digits(2),
        Column::new("joints"),
        Column::of("for a joint", Kind::Mass).digits(2).optional(),
        Column::new("basis").optional(),
    ]);
    for item in list.heaviest_first() {
        table.row(vec![
            Value::Text(match item.count {
                1 => item.name.clone(),
                n => format!("{n} x {}", item.name),
            }),
            quantity(item.dry),
            quantity(item.fuel),
            item.dry
                .map_or(Value::Absent, |_| quantity(Some(item.fuelled()))),
            item.dry
                .map_or(Value::Absent, |_| share(item.fuelled().value / whole)),
            Value::Count(item.joints as usize),
            quantity(item.mass_per_joint()),
            Value::Text(basis(item)),
        ]);
    }
    table
}

fn basis(item: &Item) -> String {
    item.basis
        .as_ref()
        .map_or_else(|| "not known".to_owned(), Basis::text)
}

/// Joints by kind, all copies of a part counted.
fn by_kind(rig: &Rig) -> BTreeMap<JointKind, u32> {
    let mut all = BTreeMap::new();
    let own = rig
        .train
        .sources
        .iter()
        .flat_map(|s| s.parts.iter().map(|p| (p, s.count)));
    let n = rig.train.sources.iter().map(|s| s.parts.len()).sum();
    let shared = rig.train.parts().into_iter().skip(n).map(|p| (p, 1));
    for (part, count) in own.chain(shared) {
        for joint in &part.joints {
            *all.entry(joint.kind).or_insert(0) += joint.count * count;
        }
    }
    all
}

fn number_of_parts(list: &Inventory) -> u32 {
    list.train_items().map(|i| i.count).sum()
}

fn joints(report: &mut Report, rig: &Rig, list: &Inventory) {
    let (joints, parts) = (list.joints(), number_of_parts(list));
    if joints == 0 {
        report.remark("No part gives its joints.".to_owned());
        return;
    }
    let kinds: Vec<String> = by_kind(rig)
        .into_iter()
        .map(|(kind, n)| format!("{n} {}", kind.name()))
        .collect();
    report.facts(
        "Joints against mass",
        vec![
            Fact::text("Joints", joints.to_string()).note(kinds.join(", ")),
            Fact::plain(
                "Joints per part, injector included",
                f64::from(joints) / f64::from(parts),
            ),
            Fact::of(
                "Dry train mass per joint",
                Kind::Mass,
                list.train().value / f64::from(joints),
            ),
        ],
    );
}

/// What the parts without a mass may weigh: that of a generic part, counted in no sum.
fn not_given(report: &mut Report, rig: &Rig, list: &Inventory) {
    let mut table = Table::new(vec![
        Column::new("part"),
        Column::new("generic part"),
        Column::of("which weighs", Kind::Mass).digits(2),
    ]);
    let mut found = Vec::new();
    for item in list.items.iter().filter(|i| i.dry.is_none()) {
        let part = rig.train.part(&item.name);
        let Some((generic, mass)) = part.and_then(orientation) else {
            continue;
        };
        let mass = mass * f64::from(item.count);
        table.row(vec![
            Value::Text(item.name.clone()),
            Value::Text(generic.name.clone()),
            quantity(Some(mass)),
        ]);
        found.push(json!({
            "part": item.name, "generic": generic.name, "mass_kg": json::number(mass.value),
        }));
    }
    if !found.is_empty() {
        report.assume("Where no mass is given, that of a generic part of the kind and next larger size is shown for orientation, within 40 %; no sum has it.");
    }
    report.table("No mass given; for orientation", table);
    report.key("orientation", Json::Array(found));
}

fn remarks(report: &mut Report, list: &Inventory, running: bool) {
    let missing = list.missing();
    if !missing.is_empty() {
        report.remark(format!(
            "Sums and shares leave out what has no mass: {}. Weigh it.",
            missing.join(", ")
        ));
    }
    let unknown: Vec<&str> = list
        .train_items()
        .filter(|i| i.fuel.is_none())
        .map(|i| i.name.as_str())
        .collect();
    if running && !unknown.is_empty() {
        report.assume(format!(
            "No volume is given for {}: they are taken to hold no fuel.",
            unknown.join(", ")
        ));
    }
}

fn mass(m: Option<Mass>) -> Json {
    m.map_or(Json::Null, |m| json::number(m.value))
}

fn keys(report: &mut Report, rig: &Rig, list: &Inventory) {
    let whole = list.whole().value;
    report.number("dry_mass_kg", list.dry().value);
    report.key("fuel_mass_kg", mass(list.fuel));
    report.number("train_mass_kg", list.train().value);
    report.number("fuel_in_train_kg", list.fuel_in_train().value);
    let groups = list.groups();
    let groups = groups.iter().map(|g| {
        json!({
            "name": g.group.name(), "mass_kg": json::number(g.mass.value),
            "share": json::number(g.share), "joints": g.joints, "without_mass": g.missing,
        })
    });
    report.key("groups", Json::Array(groups.collect()));
    let parts = list.heaviest_first().into_iter().map(|i| {
        let known = i.dry.map(|_| i.fuelled());
        json!({
            "name": i.name, "group": i.group.name(), "kind": i.kind, "count": i.count,
            "dry_kg": mass(i.dry), "fuel_kg": mass(i.fuel), "fuelled_kg": mass(known),
            "share": known.map_or(Json::Null, |m| json::number(m.value / whole)),
            "basis": basis(i), "joints": i.joints,
            "mass_per_joint_kg": mass(i.mass_per_joint()),
        })
    });
    report.key("parts", Json::Array(parts.collect()));
    let (joints, parts) = (list.joints(), number_of_parts(list));
    let kinds: serde_json::Map<String, Json> = by_kind(rig)
        .into_iter()
        .map(|(k, n)| (k.name().to_owned(), json!(n)))
        .collect();
    let per = |x: f64, n: u32| {
        if n > 0 {
            json::number(x / f64::from(n))
        } else {
            Json::Null
        }
    };
    report.key(
        "joints",
        json!({
            "number": joints, "by_kind": kinds, "per_part": per(f64::from(joints), parts),
            "train_mass_per_joint_kg": per(list.train().value, joints),
        }),
    );
}

/// Adds what lighter choices would save.
pub fn lighter(report: &mut Report, library: &Library, choices: &LighterChoices) {
    let mut table = Table::new(vec![
        Column::new("part"),
        Column::of("now", Kind::Mass).digits(3),
        Column::new("could be"),
        Column::of("which weighs", Kind::Mass).digits(3).optional(),
        Column::of("saves", Kind::Mass).digits(2),
        Column::of("at least", Kind::Mass).digits(2),
        Column::of("at most", Kind::Mass).digits(2),
        Column::of("rated for", Kind::AbsolutePressure)
            .digits(3)
            .optional(),
    ]);
    for c in &choices.alone {
        let (low, high) = c.saves_between();
        table.row(vec![
            Value::Text(c.part.clone()),
            quantity(Some(c.now)),
            Value::Text(c.choice.clone()),
            quantity(Some(c.mass)),
            quantity(Some(c.saves())),
            quantity(Some(low)),
            quantity(Some(high)),
            Value::of(Kind::AbsolutePressure, c.rating.pascals()),
        ]);
        report.cite(library, c.source);
    }
    report.table("Lighter choices", table);
    report.key(
        "lighter",
        Json::Array(choices.alone.iter().map(lighter_json).collect()),
    );
    report.key(
        "lighter_together",
        json!({
            "parts": choices.together, "saves_kg": json::number(choices.together_saves.value),
        }),
    );
    if choices.alone.is_empty() {
        report.remark(
            "No part of the catalogue or the tube tables is lighter and still carries flow and pressure."
                .to_owned(),
        );
        return;
    }
    report.facts(
        "Lighter choices",
        vec![
            Fact::of("Together", Kind::Mass, choices.together_saves.value)
                .note(format!("all at once: {}", choices.together.join(", "))),
        ],
    );
    report.assume(
        "A lighter choice feeds every duty in the train solved again with it, raises no new remark, opens no throttle beyond 90 %, and is rated for what its part is rated for or for all the supply can give, and is lighter even at the heavy end of its own band.",
    );
    report.assume("Generic parts are known within 40 % by mass, tube within 10 %; tanks, hoses and fittings are not compared, nor is what adapters weigh where ends no longer fit.");
    report.assume(
        "Tube is rated with a tenth off its wall: copper annealed [copper-tube-handbook], 316 steel with 115 MPa in the thin-wall formula [barlow]; its joints may hold less. Check every material with the fuel.",
    );
}

fn lighter_json(c: &Lighter) -> Json {
    let (low, high) = c.saves_between();
    json!({
        "part": c.part, "now_kg": json::number(c.now.value), "choice": c.choice,
        "mass_kg": json::number(c.mass.value), "saves_kg": json::number(c.saves().value),
        "saves_low_kg": json::number(low.value), "saves_high_kg": json::number(high.value),
        "rating_pa": json::number(c.rating.pascals()),
        "must_hold_pa": json::number(c.must_hold.pascals()), "source": c.source,
    })
}
