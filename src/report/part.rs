//! What a report of a rig is made of, and its parts, each with a JSON object of its own.

use super::audit::LineOf;
use super::record::{Row, record, table};
use super::{Finding, Report, json};
use crate::audit::{Audit, Solution};
use crate::fuel::Library;

record! {
    /// A finding of a part of the report.
    ToWatch(f: &Finding) {
        (signal): Text = f.signal.word(), "signal";
        (what): Text = &f.name, "what";
        (measured): Text = &f.measured, "measured";
        (limit): Text = &f.limit, "limit";
        (advice): Text = &f.advice, "advice";
        (source): Text = &f.source, "source" [optional];
    }
}

/// What a report is made of.
#[derive(Clone, Copy)]
pub struct Page<'a> {
    /// Citations.
    pub library: &'a Library,
    /// The rig, solved.
    pub solution: &'a Solution<'a>,
    /// What the rules found.
    pub audit: &'a Audit,
    /// Line of the rig file for a path of the rig.
    pub line_of: LineOf<'a>,
    /// Path of the rig file as given.
    pub path: &'a str,
    /// Text of the rig file.
    pub text: &'a str,
}

/// Puts what a writer adds to the JSON object under a key of its own, and its findings into a table: those
/// of the report are the audit's.
pub fn nested<T>(report: &mut Report, key: &str, write: impl FnOnce(&mut Report) -> T) -> T {
    let outer = std::mem::take(&mut report.json);
    let audited = report.findings.take();
    let result = write(report);
    let own = std::mem::replace(&mut report.findings, audited);
    if let Some(own) = own {
        report.key("findings", json::findings(&own));
        let rows: Vec<Row> = own.iter().map(ToWatch::row).collect();
        report.table("What to watch", table(&rows));
    }
    let inner = std::mem::replace(&mut report.json, outer);
    report.key(key, inner);
    result
}
