//! One rig by two property codes, for people and machines.

use super::findings_apart::{self, Alone};
use super::measures::{Group, Measure};
use super::record::{Row, record, table};
use super::{Fact, Report, Table};
use crate::audit::Finding;
use crate::quantity::Kind;
use crate::quantity::show::{Units, number, rounded, show_digits};

/// Rows of the table of the largest differences.
const LARGEST: usize = 12;
/// Digits that show what two good codes differ by.
const DIGITS: usize = 7;

/// What the codes are called.
const NAMES: [&str; 2] = ["embedded", "CoolProp"];

record! {
    /// A figure of both codes.
    Figure(p: &Pair<'_>, units: Units) {
        /// What it belongs to: `supply`, `duties`, `train`, `tank`, `releases`, `trapped liquid`.
        group: Text = p.of.group.name();
        /// Duty, part or both.
        at: Text = &p.of.at, "where";
        name: Text = p.of.line.name(), "figure";
        /// Its key, with its SI unit.
        key: Text = p.of.line.key;
        /// By the program's own model.
        embedded: Number = p.values[0], "embedded" => Text = p.shown(0, units);
        /// By the second code; null: not known to it.
        coolprop: Number = p.values[1], "CoolProp" => Text = p.shown(1, units);
        /// Second less first, over the larger.
        relative_difference: Number = p.relative(), "difference" => Text = p.difference();
    }

    /// How near the figures of a group are.
    Agreement(group: Group, sizes: &[f64]) {
        (group): Text = group.name(), "group";
        (figures): Count = sizes.len(), "figures";
        (half): Text = percent(sizes[(sizes.len() - 1) / 2]), "half are within";
        (all): Text = percent(sizes[sizes.len() - 1]), "all are within";
    }

    /// One rig by the program's own property model and by a second code.
    Opinion(figures: Vec<Row>, largest: Option<f64>, alone: &[Vec<Row>; 2]) {
        figures: Rows(Figure) = figures;
        /// The largest relative difference.
        largest_relative_difference: Number = largest.map(f64::abs);
        /// Findings of the program's own model alone.
        findings_only_embedded: Rows(Alone) = alone[0].clone();
        /// Findings of the second code alone.
        findings_only_coolprop: Rows(Alone) = alone[1].clone();
    }
}

/// What one code makes of the rig.
#[derive(Debug, Clone)]
pub struct Side {
    /// Name of its model.
    pub model: String,
    /// Its figures.
    pub measures: Vec<Measure>,
    /// Its findings.
    pub findings: Vec<Finding>,
}

/// A figure of both codes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pair<'a> {
    of: &'a Measure,
    values: [Option<f64>; 2],
}

impl Pair<'_> {
    /// Second over first less one; of temperatures too, from absolute zero.
    fn relative(&self) -> Option<f64> {
        let [Some(a), Some(b)] = self.values else {
            return None;
        };
        let scale = a.abs().max(b.abs());
        Some(if scale > 0.0 { (b - a) / scale } else { 0.0 })
    }

    /// The difference in words.
    fn difference(&self) -> Option<String> {
        let [a, b] = self.values;
        Some(match self.of.line.kind() {
            Some(Kind::Temperature | Kind::TemperatureDifference) => {
                format!("{} K", signed(b? - a?))
            }
            _ => format!("{} %", signed(100.0 * self.relative()?)),
        })
    }

    fn shown(&self, i: usize, units: Units) -> Option<String> {
        let si = self.values[i]?;
        Some(match self.of.line.kind() {
            Some(kind) => show_digits(kind, si, units, DIGITS),
            None => number(si),
        })
    }
}

fn signed(x: f64) -> String {
    let text = rounded(x, 2);
    if x > 0.0 { format!("+{text}") } else { text }
}

/// Adds what two codes say of a rig: the program's own first, the second opinion after it.
pub fn second_opinion(report: &mut Report, sides: &[Side; 2], units: Units) {
    let pairs = paired(sides);
    let both: Vec<&Pair<'_>> = pairs.iter().filter(|p| p.relative().is_some()).collect();
    let largest = ranked(&both);
    report.facts("Second opinion", facts(&pairs, &both, &largest));
    report.table("By group", by_group(&both));
    let rows = |pairs: &mut dyn Iterator<Item = &Pair<'_>>| -> Vec<Row> {
        pairs.map(|p| Figure::row(p, units)).collect()
    };
    for (group, heading, first) in [
        (Group::Supply, "Fuel in the supply", "where"),
        (Group::Duties, "Duties", "duty"),
        (Group::Tank, "Tank", "where"),
    ] {
        let mut of_group = both.iter().copied().filter(|p| p.of.group == group);
        let mut table = table(&rows(&mut of_group));
        if let Some(column) = table.columns.first_mut() {
            first.clone_into(&mut column.heading);
        }
        report.table(heading, table);
    }
    let differ = largest.iter().take(LARGEST);
    let mut differ = differ.filter(|p| p.relative() != Some(0.0));
    report.table("Largest differences", table(&rows(&mut differ)));
    let mut one = pairs.iter().filter(|p| p.relative().is_none());
    report.table("Known to one of them", table(&rows(&mut one)));
    let findings = sides.each_ref().map(|s| s.findings.as_slice());
    let alone = findings_apart::apart(findings, units);
    findings_apart::tables(report, NAMES, &alone);
    if alone.iter().all(Vec::is_empty) {
        report.remark("Both have the same findings; `fuelwright audit` lists them.");
    }
    report.remark(
        "Both codes carry the same published equations: where they agree the sums are right, which does not \
         say how near the equations are to the fuel in the tank.",
    );
    if sides[0].model == sides[1].model {
        report.remark(
            "There is no second opinion on this fuel: both columns are the program's own model.",
        );
    }
    let largest = largest.first().and_then(Pair::relative);
    report.keys(&Opinion::row(rows(&mut pairs.iter()), largest, &alone));
}

/// Figures of both by group, place and name, in the order of the first.
fn paired(sides: &[Side; 2]) -> Vec<Pair<'_>> {
    let same =
        |a: &Measure, b: &Measure| a.group == b.group && a.at == b.at && a.line.key == b.line.key;
    let [own, second] = sides;
    let mut taken = vec![false; second.measures.len()];
    let mut pairs: Vec<Pair<'_>> = Vec::new();
    for of in &own.measures {
        let other = second
            .measures
            .iter()
            .enumerate()
            .find(|(i, m)| !taken[*i] && same(of, m));
        if let Some((i, _)) = other {
            taken[i] = true;
        }
        pairs.push(Pair {
            of,
            values: [Some(of.si), other.map(|(_, m)| m.si)],
        });
    }
    let left = second
        .measures
        .iter()
        .zip(taken)
        .filter(|(_, taken)| !taken);
    pairs.extend(left.map(|(of, _)| Pair {
        of,
        values: [None, Some(of.si)],
    }));
    pairs
}

/// The largest difference first; of equal ones the first in the list.
fn ranked<'a>(both: &[&Pair<'a>]) -> Vec<Pair<'a>> {
    let size = |p: &Pair<'_>| p.relative().map_or(0.0, f64::abs);
    let mut all: Vec<Pair<'a>> = both.iter().map(|p| **p).collect();
    all.sort_by(|a, b| size(b).total_cmp(&size(a)));
    all
}

fn facts(pairs: &[Pair<'_>], both: &[&Pair<'_>], largest: &[Pair<'_>]) -> Vec<Fact> {
    let within = |limit: f64| {
        let near = both
            .iter()
            .filter(|p| p.relative().is_some_and(|r| r.abs() <= limit));
        format!("{} of {}", near.count(), both.len())
    };
    let mut facts = vec![
        Fact::text("Within 1 in 100000", within(1e-5)),
        Fact::text("Within 1 in 1000", within(1e-3)),
    ];
    if let Some(most) = largest.first() {
        let place = if most.of.at.is_empty() {
            most.of.group.name()
        } else {
            &most.of.at
        };
        if let Some(text) = most.difference() {
            let note = format!("{}, {place}", most.of.line.name());
            facts.push(Fact::text("Largest difference", text).note(note));
        }
    }
    let alone = pairs.len() - both.len();
    if alone > 0 {
        facts.push(Fact::text("Known to one of them", alone.to_string()));
    }
    facts
}

fn by_group(both: &[&Pair<'_>]) -> Table {
    let of_group = |group| {
        let of_group = both.iter().filter(|p| p.of.group == group);
        let sizes = of_group.filter_map(|p| p.relative().map(f64::abs));
        let mut sizes: Vec<f64> = sizes.collect();
        sizes.sort_by(f64::total_cmp);
        (!sizes.is_empty()).then(|| Agreement::row(group, &sizes))
    };
    let rows: Vec<Row> = Group::ALL.into_iter().filter_map(of_group).collect();
    table(&rows)
}

fn percent(x: f64) -> String {
    format!("{} %", rounded(100.0 * x, 2))
}
