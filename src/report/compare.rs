//! Two rigs side by side, for people and machines.

use super::findings_apart::{self, Alone};
use super::outcome::{DutyOutcome, KeyFigures, Outcome, figures};
use super::record::{Line, Row, record, table};
use super::{Report, Table};
use crate::audit::Signal;
use crate::quantity::Kind;
use crate::quantity::show::{Units, number, show, signed};

record! {
    /// A key whose values differ, with both as written.
    Input(key: &str, written: &[Option<String>; 2]) {
        key: Text = key, "key";
        /// In the first rig.
        a: Text = written[0].as_deref(), "a";
        /// In the second rig.
        b: Text = written[1].as_deref(), "b";
    }

    /// A figure of a duty that differs.
    Differs(duty: &str, figure: &Line, texts: [Option<String>; 2], change: String)
    with { [a, b] = texts; }
    {
        (duty): Text = duty, "duty";
        (figure): Text = figure.name(), "figure";
        (a): Text = a, "a";
        (b): Text = b, "b";
        (change): Text = change, "change";
    }

    /// What else differs.
    Whole(what: &str, texts: [String; 2])
    with { [a, b] = texts; }
    {
        (what): Text = what, "";
        (a): Text = a, "a";
        (b): Text = b, "b";
    }

    /// Two rigs side by side.
    Compared(sides: &Sides, inputs: Vec<Row>, alone: &[Vec<Row>; 2]) {
        /// Names of the rigs.
        names: Texts = &sides.names[..];
        inputs: Rows(Input) = inputs;
        /// What comes of the first rig.
        a: Row(KeyFigures) = KeyFigures::row(&sides.outcomes[0]);
        /// What comes of the second rig.
        b: Row(KeyFigures) = KeyFigures::row(&sides.outcomes[1]);
        /// Findings of the first rig alone.
        findings_only_a: Rows(Alone) = alone[0].clone();
        /// Findings of the second rig alone.
        findings_only_b: Rows(Alone) = alone[1].clone();
    }
}

/// Two rigs to lay side by side.
#[derive(Debug, Clone)]
pub struct Sides {
    /// What the columns are called.
    pub names: [String; 2],
    /// Keys whose values differ, with both as written; `None` where a rig lacks the key.
    pub inputs: Vec<(String, [Option<String>; 2])>,
    /// Number of keys that mean the same in both.
    pub alike: usize,
    /// Key figures.
    pub outcomes: [Outcome; 2],
}

/// Adds what differs between two rigs.
pub fn compare(report: &mut Report, sides: &Sides, units: Units) {
    let [a, b] = &sides.names;
    let inputs = sides.inputs.iter();
    let inputs: Vec<Row> = inputs.map(|(key, w)| Input::row(key, w)).collect();
    if inputs.is_empty() {
        report.remark("Both files say the same.");
    }
    report.table("Inputs that differ", named(table(&inputs), sides));
    report.table("Duties", named(table(&side_duties(sides, units)), sides));
    report.table(
        "Holes and mass",
        named(table(&side_facts(sides, units)), sides),
    );
    let findings = sides.outcomes.each_ref().map(|o| o.findings.as_slice());
    let alone = findings_apart::apart(findings, units);
    findings_apart::tables(report, [a, b], &alone);
    report.remark(format!(
        "The same in both: {}.",
        same(sides, alone[0].len())
    ));
    report.alarms = sides.outcomes.iter().any(Outcome::has_alarms);
    report.keys(&Compared::row(sides, inputs, &alone));
}

/// What is the same in both, said once.
fn same(sides: &Sides, findings_of_a_alone: usize) -> String {
    let [a, b] = &sides.outcomes;
    let mut parts = vec![counted(sides.alike, "key")];
    let shown = |d: &DutyOutcome| d.figures.facts();
    let alike = |d: &&DutyOutcome| b.duty(&d.name).is_some_and(|e| shown(e) == shown(d));
    let duties = a.duties.iter().filter(alike);
    let duties: Vec<&str> = duties.map(|d| d.name.as_str()).collect();
    if !duties.is_empty() {
        parts.push(format!("every figure of {}", duties.join(", ")));
    }
    parts.push(counted(a.findings.len() - findings_of_a_alone, "finding"));
    parts.join("; ")
}

fn counted(n: usize, what: &str) -> String {
    format!("{n} {what}{}", if n == 1 { "" } else { "s" })
}

/// Columns of the two rigs under their names.
fn named(mut table: Table, sides: &Sides) -> Table {
    for column in &mut table.columns {
        match column.heading.as_str() {
            "a" => column.heading.clone_from(&sides.names[0]),
            "b" => column.heading.clone_from(&sides.names[1]),
            _ => {}
        }
    }
    table
}

fn shown(figure: &Line, x: f64, units: Units) -> String {
    match figure.kind() {
        Some(kind) => show(kind, x, units),
        None => number(x),
    }
}

/// A change in the unit of the figure where that says more than a share.
fn change(figure: &Line, a: f64, b: f64) -> String {
    if figure.kind() == Some(Kind::Temperature) {
        return format!("{} K", signed(b - a));
    }
    if figure.kind() == Some(Kind::Ratio) {
        return format!("{} points", signed(100.0 * (b - a)));
    }
    let share = b / a - 1.0;
    if share.is_finite() {
        format!("{} %", signed(100.0 * share))
    } else {
        "from nothing".to_owned()
    }
}

/// Figures that differ, duty by duty.
fn side_duties(sides: &Sides, units: Units) -> Vec<Row> {
    let mut rows = Vec::new();
    let mut names: Vec<&str> = Vec::new();
    for duty in sides.outcomes.iter().flat_map(|o| &o.duties) {
        if !names.contains(&duty.name.as_str()) {
            names.push(&duty.name);
        }
    }
    for mut name in names {
        let duties = sides.outcomes.each_ref().map(|o| o.duty(name));
        for figure in figures() {
            let values = duties.map(|d| d?.figures.number(figure.key));
            let texts = values.map(|x| x.map(|x| shown(figure, x, units)));
            if texts[0] == texts[1] {
                continue;
            }
            let change = match values {
                [Some(a), Some(b)] => change(figure, a, b),
                _ => String::new(),
            };
            rows.push(Differs::row(name, figure, texts, change));
            name = "";
        }
    }
    rows
}

fn side_facts(sides: &Sides, units: Units) -> Vec<Row> {
    let mut rows = Vec::new();
    let mut row = |name: &str, of: &dyn Fn(&Outcome) -> String| {
        let texts = sides.outcomes.each_ref().map(of);
        if texts[0] != texts[1] {
            rows.push(Whole::row(name, texts));
        }
    };
    row("holes", &|o| {
        o.holes.map_or_else(
            || "-".to_owned(),
            |(n, d_m)| format!("{n} of {}", show(Kind::Length, d_m, units)),
        )
    });
    row("mass with fuel", &|o| show(Kind::Mass, o.mass_kg, units));
    for signal in Signal::ALL {
        row(signal.word(), &|o| o.count(signal).to_string());
    }
    rows
}
