//! Two rigs side by side, for people and machines.

use super::sweep::{SIGNALS, outcome_json};
use super::{Column, Report, Table, Value, findings_apart};
use crate::audit::Signal;
use crate::audit::outcome::{FIGURES, Figure, Outcome};
use crate::quantity::Kind;
use crate::quantity::show::{Units, signed};
use serde_json::{Value as Json, json};

/// Two rigs to lay side by side.
#[derive(Debug, Clone, PartialEq)]
pub struct Sides {
    /// What the columns are called.
    pub names: [String; 2],
    /// Keys whose values differ, with both as written; `None` where a rig lacks the key.
    pub inputs: Vec<(String, [Option<String>; 2])>,
    /// Key figures.
    pub outcomes: [Outcome; 2],
}

/// Adds what differs between two rigs.
pub fn compare(report: &mut Report, sides: &Sides, units: Units) {
    let [a, b] = &sides.names;
    let two = |heading: &str| vec![Column::new(heading), Column::new(a), Column::new(b)];
    let mut inputs = Table::new(two("key"));
    for (key, written) in &sides.inputs {
        let mut row = vec![Value::Text(key.clone())];
        row.extend(
            written
                .iter()
                .map(|w| w.clone().map_or(Value::Absent, Value::Text)),
        );
        inputs.row(row);
    }
    if inputs.rows.is_empty() {
        report.remark("Both files say the same.");
    }
    report.table("Inputs that differ", inputs);
    report.table("Duties", side_duties(sides, units));
    report.table("Holes and mass", side_facts(sides, units));
    let alone = findings_apart::apart(sides.outcomes.each_ref().map(|o| o.findings.as_slice()));
    findings_apart::tables(report, [a, b], &alone, units);
    let both = sides.outcomes[0].findings.len() - alone[0].len();
    report.remark(format!(
        "Findings of both: {both}; of {a} alone: {}; of {b} alone: {}.",
        alone[0].len(),
        alone[1].len()
    ));
    let alarms = |o: &Outcome| o.count(Signal::Danger) + o.count(Signal::Warning) > 0;
    report.alarms = sides.outcomes.iter().any(alarms);
    report.key("names", json!(sides.names));
    let input =
        |(key, [a, b]): &(String, [Option<String>; 2])| json!({ "key": key, "a": a, "b": b });
    report.key(
        "inputs",
        Json::Array(sides.inputs.iter().map(input).collect()),
    );
    for (key, outcome) in ["a", "b"].into_iter().zip(&sides.outcomes) {
        report.key(key, Json::Object(outcome_json(outcome)));
    }
    findings_apart::keys(report, ["findings_only_a", "findings_only_b"], &alone);
}

fn shown(figure: Figure, x: f64, units: Units) -> String {
    match figure.kind {
        Some(kind) => crate::quantity::show::show(kind, x, units),
        None => crate::quantity::show::significant(x, 3),
    }
}

/// A change in the unit of the figure where that says more than a share.
fn change(figure: Figure, a: f64, b: f64) -> String {
    if figure.kind == Some(Kind::Temperature) {
        return format!("{} K", signed(b - a, 1));
    }
    if figure.kind == Some(Kind::Ratio) {
        return format!("{} points", signed(100.0 * (b - a), 1));
    }
    let share = b / a - 1.0;
    if share.is_finite() {
        format!("{} %", signed(100.0 * share, 1))
    } else {
        "from nothing".to_owned()
    }
}

/// Figures that differ, duty by duty.
fn side_duties(sides: &Sides, units: Units) -> Table {
    let [a, b] = &sides.names;
    let mut table = Table::new(vec![
        Column::new("duty"),
        Column::new("figure"),
        Column::new(a),
        Column::new(b),
        Column::new("change"),
    ]);
    let mut names: Vec<&str> = Vec::new();
    for duty in sides.outcomes.iter().flat_map(|o| &o.duties) {
        if !names.contains(&duty.name.as_str()) {
            names.push(&duty.name);
        }
    }
    for name in names {
        let duties = sides.outcomes.each_ref().map(|o| o.duty(name));
        let mut first = true;
        for (i, figure) in FIGURES.iter().enumerate() {
            let values = duties.map(|d| d.and_then(|d| d.figures[i]));
            let texts = values.map(|x| x.map(|x| shown(*figure, x, units)));
            if texts[0] == texts[1] {
                continue;
            }
            let text = match values {
                [Some(a), Some(b)] => change(*figure, a, b),
                _ => String::new(),
            };
            let mut row = vec![
                Value::Text(if first {
                    name.to_owned()
                } else {
                    String::new()
                }),
                Value::Text(figure.name.to_owned()),
            ];
            row.extend(texts.map(|t| t.map_or(Value::Absent, Value::Text)));
            row.push(Value::Text(text));
            table.row(row);
            first = false;
        }
    }
    table
}

fn side_facts(sides: &Sides, units: Units) -> Table {
    use crate::quantity::show::show;
    let [a, b] = &sides.names;
    let mut table = Table::new(vec![Column::new(""), Column::new(a), Column::new(b)]);
    let mut row = |name: &str, of: &dyn Fn(&Outcome) -> String| {
        let [a, b] = sides.outcomes.each_ref().map(of);
        if a != b {
            table.row([name.to_owned(), a, b].map(Value::Text).to_vec());
        }
    };
    let holes = |o: &Outcome| {
        o.holes.map_or_else(
            || "-".to_owned(),
            |(n, d_m)| format!("{n} of {}", show(Kind::Length, d_m, units)),
        )
    };
    row("holes", &holes);
    row("mass with fuel", &|o| show(Kind::Mass, o.mass_kg, units));
    for signal in SIGNALS {
        row(signal.word(), &|o| o.count(signal).to_string());
    }
    table
}
