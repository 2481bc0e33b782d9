//! The list for a test day, for people and machines.

use super::outcome::FindingCounts;
use super::record::record;
use super::{Block, Entry, Report, Tick};
use crate::audit::Audit;
use crate::audit::checklist::{Checklist, Line, Reading, When};
use crate::quantity::show::Units;

record! {
    /// A reading, and what is expected.
    ToRead(r: &Reading) {
        /// Where it is read: a gauge of the rig by its name, a scale, a stop-watch.
        at: Text = &r.at;
        /// Its unit: SI, pressures by gauge.
        unit: Text = r.kind.si_unit();
        /// Least that is expected.
        low: Number = r.low;
        /// Most that is expected.
        high: Number = r.high;
    }

    /// Something to do or look at.
    ToTick(l: &Line) {
        /// What.
        text: Text = &l.text;
        /// Why: the rule that found something, the key of the rig it comes from, or practice.
        because: Text = &l.because;
        /// What is read and written beside it.
        [reading]: Row(ToRead) = l.reading.as_ref().map(ToRead::row);
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
        /// Findings of the whole audit; `findings` holds those of DANGER, WARNING and CAUTION.
        finding_counts: Row(FindingCounts) = FindingCounts::row("", &audit.findings);
    }
}

/// Adds the list, phase by phase, with a place to tick before each line.
pub fn checklist(report: &mut Report, list: &Checklist, units: Units) {
    for when in When::ALL {
        let items: Vec<Tick> = list.of(when).map(|l| tick(l, units)).collect();
        if !items.is_empty() {
            report.block(when.heading(), Block::Checklist(items));
        }
    }
    report.keys(&TestDay::row(list));
}

fn tick(line: &Line, units: Units) -> Tick {
    Tick {
        text: line.text.clone(),
        because: line.because.replace(['[', ']'], ""),
        entry: line.reading.as_ref().map(|r| Entry {
            at: r.at.clone(),
            unit: r.unit(units),
            expected: r.expected(units),
        }),
    }
}

/// Adds how many findings the whole audit has.
pub fn found(report: &mut Report, audit: &Audit) {
    report.keys(&Found::row(audit));
}
