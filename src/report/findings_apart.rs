//! Findings that one of two outcomes has and the other has not, for people and machines.

use super::{Column, Report, Table, Value};
use crate::audit::Finding;
use crate::quantity::show::Units;
use serde_json::{Value as Json, json};

/// Findings of either that the other has not, by rule and place.
pub(super) fn apart(findings: [&[Finding]; 2]) -> [Vec<&Finding>; 2] {
    [(0, 1), (1, 0)].map(|(own, other)| {
        let same = |f: &&Finding| {
            let others = findings[other];
            others.iter().any(|g| g.id == f.id && g.at == f.at)
        };
        findings[own].iter().filter(|f| !same(f)).collect()
    })
}

/// A table for each of the two.
pub(super) fn tables(
    report: &mut Report,
    names: [&str; 2],
    apart: &[Vec<&Finding>; 2],
    units: Units,
) {
    for (name, list) in names.iter().zip(apart) {
        let mut table = Table::new(vec![
            Column::new("finding"),
            Column::new("at"),
            Column::new("measured"),
            Column::new("limit").optional(),
        ]);
        for f in list {
            table.row(vec![
                Value::Text(format!("{} {} {}", f.signal.word(), f.id, f.name)),
                Value::Text(f.at.clone()),
                Value::Text(f.measured.show(units)),
                Value::Text(f.limit.show(units)),
            ]);
        }
        report.table(&format!("Findings of {name} alone"), table);
    }
}

/// A key for each of the two.
pub(super) fn keys(report: &mut Report, keys: [&str; 2], apart: &[Vec<&Finding>; 2]) {
    let finding =
        |f: &&Finding| json!({ "id": f.id, "name": f.name, "signal": f.signal.word(), "at": f.at });
    for (key, list) in keys.into_iter().zip(apart) {
        report.key(key, Json::Array(list.iter().map(finding).collect()));
    }
}
