//! What a rig weighs, for people and machines.

use super::record::{Row, record, table, table_of};
use super::{Report, figures};
use crate::audit::Solution;
use crate::audit::solution::{holes, needs};
use crate::fuel::Library;
use crate::mass::lighter::{Asked, Lighter, LighterChoices, lighter_choices};
use crate::mass::orientation::orientation;
use crate::mass::{Basis, GroupMass, Inventory, Item};
use crate::quantity::Mass;
use crate::train::rig::Rig;
use crate::train::{JointKind, TrainDuty};
use std::collections::BTreeMap;

record! {
    /// What the whole weighs.
    Whole(list: &Inventory)
    with { missing = list.missing(); }
    {
        /// Mass of the rig with its fuel: of the parts whose mass is known.
        mass_kg: Mass = list.whole(), "Rig with fuel",
            note (!missing.is_empty()).then(|| format!("without {}: no mass given", missing.join(", ")));
        /// Parts whose mass is not known.
        mass_missing: Texts = &missing;
        /// Parts whose mass comes from their dimensions.
        mass_estimated: Texts = list.estimated();
    }

    /// A group of parts.
    Group(g: &GroupMass) {
        name: Text = g.group.name(), "group";
        mass_kg: Mass = g.mass, "mass";
        /// Share of the whole.
        share: Ratio = g.share, "share";
        joints: Count = g.joints, "joints";
        /// Parts whose mass is not known.
        without_mass: Count = g.missing, "without mass" => Count = (g.missing > 0).then_some(g.missing);
    }

    /// A part, heaviest first.
    Part(i: &Item, whole: Mass)
    with {
        known = i.dry.map(|_| i.fuelled());
        named = match i.count { 1 => i.name.clone(), n => format!("{n} x {}", i.name) };
        basis = i.basis.as_ref().map_or_else(|| "not known".to_owned(), Basis::text);
    }
    {
        name: Text = &i.name, "part" => Text = named;
        /// Its group.
        group: Text = i.group.name();
        /// Kind of part, as in the rig file.
        kind: Text = i.kind;
        /// How many of it.
        count: Count = i.count;
        dry_kg: Mass = i.dry, "dry";
        fuel_kg: Mass = i.fuel, "fuel" 2;
        fuelled_kg: Mass = known, "with fuel";
        /// Share of the whole.
        share: Ratio = known.map(|m| m / whole), "share" 2;
        /// How its mass is known.
        basis: Text = basis, "basis" [optional];
        joints: Count = i.joints, "joints";
        mass_per_joint_kg: Mass = i.mass_per_joint(), "for a joint" 2 [optional];
    }

    /// A part without a mass, and what a generic part of its kind weighs.
    Orientation(i: &Item, generic: &str, mass: Mass) {
        part: Text = &i.name, "part";
        generic: Text = generic, "generic part";
        mass_kg: Mass = mass, "which weighs" 2;
    }

    /// Joints, all copies of a part counted.
    Joints(rig: &Rig, list: &Inventory)
    with {
        joints = list.joints();
        parts = list.train_items().map(|i| i.count).sum::<u32>();
        kinds = by_kind(rig);
        said = kinds.iter().map(|(kind, n)| format!("{n} {kind}")).collect::<Vec<_>>().join(", ");
    }
    {
        number: Count = joints, "Joints", note said;
        /// By the kind of the joint.
        by_kind: Counts = kinds;
        per_part: Number = (parts > 0).then(|| f64::from(joints) / f64::from(parts)), "Joints per part, injector included";
        train_mass_per_joint_kg: Mass = (joints > 0).then(|| list.train() / f64::from(joints)), "Dry train mass per joint";
    }

    /// What a rig weighs.
    Weighed(rig: &Rig, list: &Inventory, orientation: Vec<Row>)
    with {
        fuel = list.fuel.filter(|f| f.value > 0.0);
        whole = list.whole();
    }
    {
        ..whole: Row(Whole) = Whole::row(list);
        /// For parts without a mass: what a generic part weighs; in no sum.
        orientation: Rows(Orientation) = orientation;
        dry_mass_kg: Mass = list.dry(), "Dry";
        fuel_mass_kg: Mass = list.fuel, "Fuel carried" => Mass = fuel;
        /// Dry mass of the train with the injector.
        train_mass_kg: Mass = list.train(), "Train with injector, dry";
        (over_fuel): Number = fuel.map(|f| (list.train() / f).value), "Dry train over fuel, by mass";
        fuel_in_train_kg: Mass = list.fuel_in_train(), "Fuel in the train";
        groups: Rows(Group) = list.groups().iter().map(Group::row).collect::<Vec<_>>();
        parts: Rows(Part) = list.heaviest_first().into_iter().map(|i| Part::row(i, whole)).collect::<Vec<_>>();
        joints: Row(Joints) = Joints::row(rig, list);
    }

    /// A lighter part.
    LighterPart(c: &Lighter)
    with { (low, high) = c.saves_between(); }
    {
        part: Text = &c.part, "part";
        now_kg: Mass = c.now, "now";
        choice: Text = &c.choice, "could be";
        mass_kg: Mass = c.mass, "which weighs" [optional];
        saves_kg: Mass = c.saves(), "saves" 2;
        saves_low_kg: Mass = low, "at least" 2;
        saves_high_kg: Mass = high, "at most" 2;
        rating_pa: AbsolutePressure = c.rating, "rated for" [optional];
        /// The highest pressure it must hold.
        must_hold_pa: AbsolutePressure = c.must_hold;
        /// Source key of its mass.
        source: Text = c.source;
    }

    /// Lighter parts that still carry flow and pressure.
    LighterParts(choices: &LighterChoices) {
        lighter: Rows(LighterPart) = choices.alone.iter().map(LighterPart::row).collect::<Vec<_>>();
        lighter_together: Row(Together) = Together::row(choices);
    }

    /// All lighter parts at once.
    Together(choices: &LighterChoices) {
        /// Parts that change.
        parts: Texts = &choices.together;
        saves_kg: Mass = choices.together_saves, "Together",
            note format!("all at once: {}", choices.together.join(", "));
    }
}

/// Adds the mass of the whole; `audit` says it in the same words and keys as `mass`.
pub fn whole(report: &mut Report, inventory: &Inventory) {
    let row = Whole::row(inventory);
    report.facts("Mass", row.facts());
    report.keys(&row);
    estimates(report, inventory);
}

/// Says which masses come from dimensions.
fn estimates(report: &mut Report, inventory: &Inventory) {
    for item in &inventory.items {
        if let Some(Basis::Estimate(how)) = &item.basis {
            report.assume(format!("Mass of {}: {how}.", item.name));
        }
    }
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
    estimates(report, &list);
    let orientation = orientation_rows(rig, &list);
    let row = Weighed::row(rig, &list, orientation.clone());
    report.facts("Mass", row.facts());
    for plot in figures::mass(&list) {
        report.plot("Mass in bars", plot);
    }
    report.table("By group", table(row.rows("groups")));
    let parts = [
        "name",
        "dry_kg",
        "fuel_kg",
        "fuelled_kg",
        "share",
        "joints",
        "mass_per_joint_kg",
        "basis",
    ];
    report.table(
        "Part by part, heaviest first",
        table_of(row.rows("parts"), &parts),
    );
    if list.joints() > 0 {
        report.facts(
            "Joints against mass",
            row.row("joints").map(Row::facts).unwrap_or_default(),
        );
    } else {
        report.remark("No part gives its joints.");
    }
    if !orientation.is_empty() {
        report.assume("Where no mass is given, that of a generic part of the kind and next larger size is shown for orientation, within 40 %; no sum has it.");
    }
    report.table("No mass given; for orientation", table(&orientation));
    remarks(report, &list, running.is_some());
    report.keys(&row);
}

/// Joints by kind, all copies of a part counted.
fn by_kind(rig: &Rig) -> Vec<(&'static str, u32)> {
    let mut all: BTreeMap<JointKind, u32> = BTreeMap::new();
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
    all.into_iter().map(|(kind, n)| (kind.name(), n)).collect()
}

/// What the parts without a mass may weigh: that of a generic part, counted in no sum.
fn orientation_rows(rig: &Rig, list: &Inventory) -> Vec<Row> {
    let unknown = list.items.iter().filter(|i| i.dry.is_none());
    let rows = unknown.filter_map(|i| {
        let (generic, mass) = orientation(rig.train.part(&i.name)?)?;
        Some(Orientation::row(
            i,
            &generic.name,
            mass * f64::from(i.count),
        ))
    });
    rows.collect()
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

/// Adds what lighter choices would save.
pub fn lighter(report: &mut Report, library: &Library, choices: &LighterChoices) {
    for choice in &choices.alone {
        report.cite(library, choice.source);
    }
    let row = LighterParts::row(choices);
    report.table("Lighter choices", table(row.rows("lighter")));
    report.keys(&row);
    if choices.alone.is_empty() {
        report.remark(
            "No part of the catalogue or the tube tables is lighter and still carries flow and pressure."
                .to_owned(),
        );
        return;
    }
    report.facts("Lighter choices", Together::row(choices).facts());
    report.assume(
        "A lighter choice feeds every duty in the train solved again with it, raises no new remark, opens no throttle beyond 90 %, and is rated for what its part is rated for or for all the supply can give, and is lighter even at the heavy end of its own band.",
    );
    report.assume("Generic parts are known within 40 % by mass, tube within 10 %; tanks, hoses and fittings are not compared, nor is what adapters weigh where ends no longer fit.");
    report.assume(
        "Tube is rated with a tenth off its wall: copper annealed [copper-tube-handbook], 316 steel with 115 MPa in the thin-wall formula [barlow]; its joints may hold less. Check every material with the fuel.",
    );
}
