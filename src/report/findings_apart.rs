//! Findings that one of two outcomes has and the other has not, for people and machines.

use super::Report;
use super::record::{Row, record, table};
use crate::audit::Finding;
use crate::quantity::show::Units;

record! {
    /// A finding that one of two has alone.
    Alone(f: &Finding, units: Units) {
        /// Id of its rule.
        id: Text = f.id;
        /// Name of its rule.
        name: Text = f.name;
        /// Signal word.
        signal: Text = f.signal.word();
        (finding): Text = format!("{} {} {}", f.signal.word(), f.id, f.name), "finding";
        at: Text = &f.at, "at";
        (measured): Text = f.measured.show(units), "measured";
        (limit): Text = f.limit.show(units), "limit" [optional];
    }
}

/// Findings of either that the other has not, by rule and place.
pub(super) fn apart(findings: [&[Finding]; 2], units: Units) -> [Vec<Row>; 2] {
    [(0, 1), (1, 0)].map(|(own, other)| {
        let same = |f: &&Finding| {
            let others = findings[other];
            others.iter().any(|g| g.id == f.id && g.at == f.at)
        };
        let alone = findings[own].iter().filter(|f| !same(f));
        alone.map(|f| Alone::row(f, units)).collect()
    })
}

/// A table for each of the two.
pub(super) fn tables(report: &mut Report, names: [&str; 2], apart: &[Vec<Row>; 2]) {
    for (name, rows) in names.iter().zip(apart) {
        report.table(&format!("Findings of {name} alone"), table(rows));
    }
}
