//! Values as text: what every writer of a report says in the same words.

use super::{Fact, Finding, Table, Value};
use crate::quantity::Kind;
use crate::quantity::show::{DIGITS, Shown, Units, show_digits, significant, trimmed};

/// A value as text; in a column that shows the unit in its heading, the number alone.
pub(crate) fn value_text(
    value: &Value,
    column: Option<&Shown>,
    units: Units,
    digits: usize,
) -> String {
    match value {
        Value::Quantity { si, .. } if column.is_some() => {
            significant(column.map_or(*si, |shown| shown.convert(*si)), digits)
        }
        Value::Quantity { kind, si } => show_digits(*kind, *si, units, digits),
        Value::Number(x) if column.is_some() => significant(*x, digits),
        Value::Number(x) => trimmed(&significant(*x, digits)),
        Value::Count(n) => n.to_string(),
        Value::Text(text) => text.clone(),
        Value::Flag(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        Value::Absent => "-".to_owned(),
    }
}

/// The value of a fact.
pub(crate) fn fact_value(fact: &Fact, units: Units) -> String {
    value_text(&fact.value, None, units, DIGITS)
}

/// The band of a fact, in the unit of its value: `1.1 to 1.3`.
pub(crate) fn fact_band(fact: &Fact, units: Units) -> Option<String> {
    let (low, high) = fact.band.filter(|(low, high)| high > low)?;
    let end = |x: f64| match fact.value {
        Value::Quantity { kind, si } => Shown::suited(kind, si, units).convert(x),
        _ => x,
    };
    let end = |x: f64| trimmed(&significant(end(x), DIGITS));
    Some(format!("{} to {}", end(low), end(high)))
}

/// The unit of a column: the one that suits its largest value; `None` for plain numbers and texts.
pub(crate) fn column_unit(table: &Table, column: usize, units: Units) -> Option<Shown> {
    let kind: Kind = table.columns[column].kind?;
    let largest = table
        .rows
        .iter()
        .filter_map(|row| match row.get(column) {
            Some(Value::Quantity { si, .. }) => Some(si.abs()),
            _ => None,
        })
        .fold(0.0, f64::max);
    Some(Shown::suited(kind, largest, units))
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
