//! Values as text: what every writer of a report says in the same words.

use super::{Fact, Finding, Table, Value};
use crate::quantity::Kind;
use crate::quantity::sentence::Sentence;
use crate::quantity::show::{
    DIGITS, KNOWN, Shown, Units, banded, rounded, show_digits, significant, trimmed,
};

/// Sentences in the units of the reader.
pub(super) fn told(sentences: &[Sentence], units: Units) -> Vec<String> {
    sentences.iter().map(|s| s.show(units)).collect()
}

/// A value as text, with its unit.
fn value_text(value: &Value, units: Units, digits: usize) -> String {
    match value {
        Value::Quantity { kind, si } => show_digits(*kind, *si, units, digits),
        Value::Number(x) => rounded(*x, digits),
        Value::Count(n) => n.to_string(),
        Value::Text(text) => text.clone(),
        Value::Flag(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        Value::Absent => "-".to_owned(),
    }
}

/// The value of a fact.
pub(crate) fn fact_value(fact: &Fact, units: Units) -> String {
    match (banded_fact(fact, units), &fact.value) {
        (Some(([value, ..], shown)), Value::Quantity { .. }) => {
            format!("{value} {}", shown.map_or(String::new(), |s| s.symbol()))
        }
        (Some(([value, ..], _)), _) => value,
        (None, _) => value_text(&fact.value, units, DIGITS),
    }
}

/// The band of a fact, in the unit of its value: `1.1 to 1.3`.
pub(crate) fn fact_band(fact: &Fact, units: Units) -> Option<String> {
    let ([_, low, high], _) = banded_fact(fact, units)?;
    Some(format!("{low} to {high}"))
}

/// Value and ends of the band of a fact, in the unit that suits the value.
fn banded_fact(fact: &Fact, units: Units) -> Option<([String; 3], Option<Shown>)> {
    let (low, high) = fact.band.filter(|(low, high)| high > low)?;
    match fact.value {
        Value::Quantity { kind, si } => {
            let shown = Shown::suited(kind, si, units);
            let [si, low, high] = [si, low, high].map(|x| shown.convert(x));
            Some((banded(si, low, high), Some(shown)))
        }
        Value::Number(x) => Some((banded(x, low, high), None)),
        _ => None,
    }
}

/// How the cells of a column are written.
pub(crate) struct Cells {
    units: Units,
    digits: usize,
    /// One unit for all of them, in the heading.
    shown: Option<Shown>,
    /// All numbers are whole.
    whole: bool,
}

impl Cells {
    /// Those of a column: the unit is the one that suits its largest value.
    pub(crate) fn of(table: &Table, column: usize, units: Units) -> Self {
        let cells = || table.rows.iter().filter_map(|row| row.get(column));
        let largest = cells().filter_map(|cell| match cell {
            Value::Quantity { si, .. } => Some(si.abs()),
            _ => None,
        });
        let largest = largest.fold(0.0, f64::max);
        let kind: Option<Kind> = table.columns[column].kind;
        let quantities = cells().any(|cell| matches!(cell, Value::Quantity { .. }));
        let numbers = cells().filter_map(|cell| match cell {
            Value::Number(x) => Some(*x),
            _ => None,
        });
        Self {
            units,
            // a drill of so many millimetres has no end in inches
            digits: match (table.columns[column].digits, units) {
                (KNOWN, Units::Us) => DIGITS + 1,
                (digits, _) => digits,
            },
            shown: kind
                .filter(|_| quantities)
                .map(|kind| Shown::suited(kind, largest, units)),
            whole: numbers
                .map(f64::fract)
                .all(|rest| rest.abs() < f64::EPSILON),
        }
    }

    /// The unit for the heading.
    pub(crate) fn unit(&self) -> Option<String> {
        self.shown.as_ref().map(Shown::symbol)
    }

    /// What is shown as it is known has no zeros behind it.
    fn known(&self, number: String) -> String {
        if self.digits == KNOWN {
            trimmed(&number)
        } else {
            number
        }
    }

    /// A cell. The numbers of a column have the same number of digits.
    pub(crate) fn text(&self, value: &Value) -> String {
        match (value, &self.shown) {
            (Value::Quantity { kind, si }, Some(shown)) => {
                self.known(shown.number(*kind, *si, self.digits))
            }
            (Value::Number(x), _) if !self.whole => self.known(significant(*x, self.digits)),
            _ => value_text(value, self.units, self.digits),
        }
    }
}

/// Columns that say something: one of empty texts, or an optional one without any value, is left out.
pub(crate) fn filled(table: &Table) -> Vec<usize> {
    let says = |c: usize| {
        table.rows.iter().any(|row| match &row[c] {
            Value::Text(text) => !text.is_empty(),
            Value::Absent => !table.columns[c].optional,
            _ => true,
        })
    };
    (0..table.columns.len()).filter(|&c| says(c)).collect()
}

/// Whether a column holds numbers, which stand right.
pub(crate) fn is_numeric(table: &Table, column: usize) -> bool {
    table.rows.iter().any(|row| {
        matches!(
            row[column],
            Value::Quantity { .. } | Value::Number(_) | Value::Count(_)
        )
    })
}

/// Where a finding is, with the line of the rig file.
pub(crate) fn finding_at(finding: &Finding) -> String {
    match finding.line {
        Some(line) => format!("{}, line {line}", finding.at),
        None => finding.at.clone(),
    }
}
