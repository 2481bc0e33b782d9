//! One rig by two property codes, for people and machines.

use super::{Column, Fact, Report, Table, Value, findings_apart, json};
use crate::audit::Finding;
use crate::audit::measures::{Group, Measure};
use crate::quantity::Kind;
use crate::quantity::show::{Units, show_digits, significant, trimmed};
use serde_json::{Value as Json, json};

/// Rows of the table of the largest differences.
const LARGEST: usize = 12;
/// Digits that show what two good codes differ by.
const DIGITS: usize = 7;

/// What one code makes of the rig.
#[derive(Debug, Clone, PartialEq)]
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
struct Pair<'a> {
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
    fn difference(&self) -> Value {
        let ([Some(a), Some(b)], Some(relative)) = (self.values, self.relative()) else {
            return Value::Absent;
        };
        Value::Text(match self.of.kind {
            Some(Kind::Temperature | Kind::TemperatureDifference) => {
                format!("{} K", signed(b - a))
            }
            _ => format!("{} %", signed(100.0 * relative)),
        })
    }

    fn shown(&self, i: usize, units: Units) -> Value {
        self.values[i].map_or(Value::Absent, |si| {
            Value::Text(match self.of.kind {
                Some(kind) => show_digits(kind, si, units, DIGITS),
                None => trimmed(&significant(si, DIGITS)),
            })
        })
    }
}

fn signed(x: f64) -> String {
    let text = trimmed(&significant(x, 2));
    if x > 0.0 { format!("+{text}") } else { text }
}

/// Adds what two codes say of a rig: the program's own first, the second opinion after it.
pub fn second_opinion(report: &mut Report, names: [&str; 2], sides: &[Side; 2], units: Units) {
    let pairs = paired(sides);
    let both: Vec<&Pair<'_>> = pairs.iter().filter(|p| p.relative().is_some()).collect();
    let largest = ranked(&both);
    report.facts("Second opinion", facts(&pairs, &both, &largest));
    report.table("By group", by_group(&both));
    let row = |pair: &Pair<'_>| {
        vec![
            Value::Text(pair.of.at.clone()),
            Value::Text(pair.of.name.to_owned()),
            pair.shown(0, units),
            pair.shown(1, units),
            pair.difference(),
        ]
    };
    let columns = |first: &str| {
        vec![
            Column::new(first),
            Column::new("figure"),
            Column::new(names[0]),
            Column::new(names[1]),
            Column::new("difference"),
        ]
    };
    for (group, heading, first) in [
        (Group::Supply, "Fuel in the supply", "where"),
        (Group::Duties, "Duties", "duty"),
        (Group::Tank, "Tank", "where"),
    ] {
        let mut table = Table::new(columns(first));
        for pair in both.iter().filter(|p| p.of.group == group) {
            table.row(row(pair));
        }
        report.table(heading, table);
    }
    let mut table = Table::new(columns("where"));
    for pair in largest
        .iter()
        .take(LARGEST)
        .filter(|p| p.relative() != Some(0.0))
    {
        table.row(row(pair));
    }
    report.table("Largest differences", table);
    let mut table = Table::new(columns("where"));
    for pair in pairs.iter().filter(|p| p.relative().is_none()) {
        table.row(row(pair));
    }
    report.table("Known to one of them", table);
    let alone = findings_apart::apart(sides.each_ref().map(|s| s.findings.as_slice()));
    findings_apart::tables(report, names, &alone, units);
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
    keys(
        report,
        &pairs,
        largest.first().and_then(Pair::relative),
        &alone,
    );
}

/// Figures of both by group, place and name, in the order of the first.
fn paired(sides: &[Side; 2]) -> Vec<Pair<'_>> {
    let same = |a: &Measure, b: &Measure| a.group == b.group && a.at == b.at && a.key == b.key;
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
        if let Value::Text(text) = most.difference() {
            facts.push(
                Fact::text("Largest difference", text).note(format!("{}, {place}", most.of.name)),
            );
        }
    }
    let alone = pairs.len() - both.len();
    if alone > 0 {
        facts.push(Fact::text("Known to one of them", alone.to_string()));
    }
    facts
}

fn by_group(both: &[&Pair<'_>]) -> Table {
    let mut table = Table::new(vec![
        Column::new("group"),
        Column::new("figures"),
        Column::new("half are within"),
        Column::new("all are within"),
    ]);
    let percent = |x: f64| Value::Text(format!("{} %", trimmed(&significant(100.0 * x, 2))));
    for group in Group::ALL {
        let mut sizes: Vec<f64> = both
            .iter()
            .filter(|p| p.of.group == group)
            .filter_map(|p| p.relative().map(f64::abs))
            .collect();
        sizes.sort_by(f64::total_cmp);
        if let Some(most) = sizes.last() {
            table.row(vec![
                group.name().into(),
                Value::Count(sizes.len()),
                percent(sizes[(sizes.len() - 1) / 2]),
                percent(*most),
            ]);
        }
    }
    table
}

fn keys(report: &mut Report, pairs: &[Pair<'_>], largest: Option<f64>, alone: &[Vec<&Finding>; 2]) {
    let number = |x: Option<f64>| x.map_or(Json::Null, json::number);
    let figure = |p: &Pair<'_>| {
        json!({
            "group": p.of.group.name(), "at": p.of.at, "name": p.of.name, "key": p.of.key,
            "embedded": number(p.values[0]), "coolprop": number(p.values[1]),
            "relative_difference": number(p.relative()),
        })
    };
    report.key("figures", Json::Array(pairs.iter().map(figure).collect()));
    report.number("largest_relative_difference", largest.map(f64::abs));
    let alone_keys = ["findings_only_embedded", "findings_only_coolprop"];
    findings_apart::keys(report, alone_keys, alone);
}
