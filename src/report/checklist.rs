//! The list for a test day, for people and machines.

use super::{Block, Report};
use crate::audit::checklist::{Checklist, When};
use serde_json::{Value as Json, json};

/// Adds the list, phase by phase, with a place to tick before each line.
pub fn checklist(report: &mut Report, list: &Checklist) {
    for when in When::ALL {
        let items: Vec<String> = list
            .of(when)
            .map(|l| format!("{} ({})", l.text, l.because.replace(['[', ']'], "")))
            .collect();
        if !items.is_empty() {
            report.block(when.heading(), Block::Checklist(items));
        }
    }
    let phases = When::ALL.map(|when| {
        let lines: Vec<Json> = list
            .of(when)
            .map(|l| json!({ "text": l.text, "because": l.because }))
            .collect();
        json!({ "phase": when.key(), "heading": when.heading(), "lines": lines })
    });
    report.key("checklist", Json::Array(phases.to_vec()));
}
