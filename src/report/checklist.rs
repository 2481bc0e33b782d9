//! The list for a test day, for people and machines.

use super::outcome::FindingCounts;
use super::record::record;
use super::{Block, Report};
use crate::audit::Audit;
use crate::audit::checklist::{Checklist, Line, When};

record! {
    /// Something to do or look at.
    ToTick(l: &Line) {
        /// What.
        text: Text = &l.text;
        /// Why: the rule that found something, the key of the rig it comes from, or practice.
        because: Text = &l.because;
    }

    /// A phase of the day.
    Phase(when: When, list: &Checklist) {
        /// Its key.
        phase: Text = when.key();
        /// Its heading.
        heading: Text = when.heading();
        lines: Rows(ToTick) = list.of(when).map(ToTick::row).collect::<Vec<_>>();
    }

    /// The list for a test day.
    TestDay(list: &Checklist) {
        /// The list, phase by phase.
        checklist: Rows(Phase) = When::ALL.map(|when| Phase::row(when, list)).to_vec();
    }

    /// What the audit found.
    Found(audit: &Audit) {
        /// Findings of the whole audit; `findings` holds those of DANGER and WARNING.
        finding_counts: Row(FindingCounts) = FindingCounts::row("", &audit.findings);
    }
}

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
    report.keys(&TestDay::row(list));
}

/// Adds how many findings the whole audit has.
pub fn found(report: &mut Report, audit: &Audit) {
    report.keys(&Found::row(audit));
}
