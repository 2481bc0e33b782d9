//! The short text: the answer, what is wrong, what it rests on in one sentence, and all cautions.

use super::sentence;
use super::{INDENT, Page, answer, told, wrap};
use crate::audit::finding::capital;
use crate::quantity::show::Units;
use crate::report::audit::NOT_CHECKED;
use crate::report::{Block, Finding, MODEL, Report, Section, Topic, Value};

/// Most lines of the answer, title and all.
const MOST_LINES: usize = 40;
/// Lines that are kept for each section that follows.
const LEAST_OF_SECTION: usize = 6;
/// Lines of a finding, at most, on a page of [`USUAL_WIDTH`].
const MOST_OF_FINDING: usize = 3;
/// Numbers of rules after the first.
const MOST_IDS: usize = 3;
const USUAL_WIDTH: usize = 80;
const UNDER_FINDING: &str = "    ";

/// The short text on a page of `width` characters, with the styles of a terminal.
pub fn short(report: &Report, units: Units, width: usize) -> String {
    let mut page = Page::new(units, width);
    page.full = false;
    page.bold(&report.title);
    let answer = answer::of(report);
    page.answer(&answer.first);
    let opened = lines(&page.out);
    // those of a checklist stand in its first lines, those with their remedies in its tables
    let findings = report.findings.as_deref();
    let elsewhere = matches!(report.topic, Topic::Checklist | Topic::Remedies);
    if let Some(findings) = findings.filter(|_| !elsewhere) {
        page.sentences("Findings", findings);
    }
    let nothing_after = answer.after.is_empty();
    for section in answer.after {
        match section.heading.as_str() {
            NOT_CHECKED => page.not_checked(section),
            _ => page.section(section),
        }
    }
    let mut notes = page.fresh();
    let all = told(&report.notes, units);
    notes.list("Notes", all.iter().map(String::as_str));
    // where no rule is asked, notes are what is wrong; else they stand where they find room
    let room = report.findings.is_none() || opened + lines(&notes.out) <= MOST_LINES;
    let told = nothing_after && room;
    if told {
        page.out.push_str(&notes.out);
    }
    page.rests_on(report, told, answer.more);
    page.list("Cautions", report.cautions().into_iter());
    page.out
}

/// What changed from one audit to the next: a headline, and findings under headings, those that there are.
pub fn changes(
    headline: &str,
    groups: &[(&str, Vec<Finding>)],
    (units, width): (Units, usize),
) -> String {
    let mut page = Page::new(units, width);
    page.bold(headline);
    for (heading, findings) in groups {
        if !findings.is_empty() {
            page.sentences(heading, findings);
        }
    }
    page.out
}

fn lines(text: &str) -> usize {
    text.lines().count()
}

impl Page {
    /// An empty page like this one.
    fn fresh(&self) -> Self {
        Self {
            out: String::new(),
            ..*self
        }
    }

    /// Sections as far as they find room: what is longer loses its last rows.
    fn answer(&mut self, sections: &[&Section]) {
        let drawn: Vec<String> = sections.iter().map(|s| self.drawn(s)).collect();
        let whole = |i: usize| rows(sections[i]) == 0;
        let fixed: usize = (0..sections.len())
            .filter(|i| whole(*i))
            .map(|i| lines(&drawn[i]))
            .sum();
        let mut left = MOST_LINES.saturating_sub(lines(&self.out) + fixed);
        for (i, text) in drawn.iter().enumerate() {
            let later = (i + 1..sections.len()).filter(|i| !whole(*i));
            let kept: usize = later.map(|i| lines(&drawn[i]).min(LEAST_OF_SECTION)).sum();
            let share = left.saturating_sub(kept);
            if whole(i) {
                self.out.push_str(text);
                continue;
            }
            let text = if lines(text) <= share {
                text.clone()
            } else {
                self.cut(sections[i], share)
            };
            left = left.saturating_sub(lines(&text));
            self.out.push_str(&text);
        }
    }

    fn drawn(&self, section: &Section) -> String {
        let mut page = self.fresh();
        page.section(section);
        page.out
    }

    /// A section with its first rows, as many as find room.
    fn cut(&self, section: &Section, most: usize) -> String {
        let all = rows(section);
        let with_rows = (1..all.min(most)).rev().find_map(|kept| {
            let more = format!("{INDENT}({} more of {all}: --full)\n", all - kept);
            let text = self.drawn(&first_rows(section, kept)) + &more;
            (lines(&text) <= most).then_some(text)
        });
        with_rows.unwrap_or_else(|| {
            let mut page = self.fresh();
            page.heading(&section.heading);
            page.line(&format!("{INDENT}({all}: --full)"));
            page.out
        })
    }

    /// Findings in a sentence each, the heaviest first.
    pub(super) fn sentences(&mut self, heading: &str, findings: &[Finding]) {
        self.heading(heading);
        if findings.is_empty() {
            self.paragraph(INDENT, "none");
        }
        let room = self.width - UNDER_FINDING.len();
        let most = (MOST_OF_FINDING * (USUAL_WIDTH - UNDER_FINDING.len())).div_ceil(room);
        let mut in_order: Vec<&Finding> = findings.iter().collect();
        in_order.sort_by_key(|f| f.signal);
        for f in in_order {
            let with_word = |text: &str| wrap(&format!("{} {text}", f.signal.word()), room);
            let text = sentence::within(f, most, |text| with_word(text).len());
            let shown = with_word(&text);
            for (i, line) in shown.iter().enumerate() {
                match i {
                    0 => self.signal_line(line),
                    _ => self.line(&format!("{UNDER_FINDING}{line}")),
                }
            }
            if let Some(remedy) = &f.data.remedy {
                self.hanging(&format!("{UNDER_FINDING}remedy "), remedy);
            }
        }
    }

    /// What was not checked, the reason first, with the numbers of the rules.
    fn not_checked(&mut self, section: &Section) {
        let is_id = |word: &&str| !word.contains(|c: char| c.is_lowercase());
        let mut reasons = Vec::new();
        for block in &section.blocks {
            let Block::Table(table) = block else { continue };
            for row in &table.rows {
                if let [Value::Text(rules), Value::Text(because)] = row.as_slice() {
                    let ids: Vec<&str> = rules.split(' ').filter(is_id).collect();
                    let ids = match ids.as_slice() {
                        [first, rest @ ..] if rest.len() > MOST_IDS => {
                            format!("{first} and {} more", rest.len())
                        }
                        few => few.join(" "),
                    };
                    reasons.push(format!("{} ({ids})", capital(because)));
                }
            }
        }
        self.list(&section.heading, reasons.iter().map(String::as_str));
    }

    /// What the answer rests on, in a sentence.
    fn rests_on(&mut self, report: &Report, notes_told: bool, more: bool) {
        let notes = if notes_told { 0 } else { report.notes.len() };
        let counts = [
            (report.assumptions.len(), "assumption"),
            (report.sources.len(), "source"),
            (notes, "note"),
        ];
        let counts: Vec<String> = counts
            .into_iter()
            .filter(|(n, _)| *n > 0)
            .map(|(n, what)| format!("{n} {what}{}", if n == 1 { "" } else { "s" }))
            .collect();
        let counts = Some(counts.join(", ")).filter(|c| !c.is_empty());
        let models = match (model(report).join("; "), report.burnt.join(" and ")) {
            (none, _) if none.is_empty() => None,
            (models, fuels) if fuels.is_empty() => Some(models),
            (models, fuels) => Some(format!("{fuels} by {models}")),
        };
        let parts: Vec<String> = models.into_iter().chain(counts).collect();
        let text = match parts.as_slice() {
            [] if more => "The tables behind it: --full".to_owned(),
            [] => return,
            parts => format!("{}: --full", capital(&parts.join("; "))),
        };
        self.line("");
        self.paragraph("", &text);
    }
}

/// The models that it was worked out with, without their sources.
fn model(report: &Report) -> Vec<String> {
    let sections = report.sections.iter().filter(|s| s.heading == MODEL);
    let facts = sections
        .flat_map(|s| &s.blocks)
        .filter_map(|block| match block {
            Block::Facts(facts) => Some(facts),
            _ => None,
        });
    let mut models: Vec<String> = Vec::new();
    for fact in facts.flatten() {
        if let Value::Text(text) = &fact.value {
            // a mixture and the equations it is made of, a liquid and its correlations
            let text = text.split(" [").next().unwrap_or_default();
            let text = text.split(':').next().unwrap_or_default();
            if !models.iter().any(|m| m == text) {
                models.push(text.to_owned());
            }
        }
    }
    models
}

/// Rows of a section that may be left out.
fn rows(section: &Section) -> usize {
    let of = |block: &Block| match block {
        Block::Facts(facts) => facts.len(),
        Block::Table(table) => table.rows.len(),
        Block::Plot(plot) => plot.table.as_ref().map_or(0, |table| table.rows.len()),
        _ => 0,
    };
    section.blocks.iter().map(of).sum()
}

/// A section with its first rows alone.
fn first_rows(section: &Section, mut most: usize) -> Section {
    let mut short = section.clone();
    let mut kept = |rows: usize| {
        let kept = rows.min(most);
        most -= kept;
        kept
    };
    for block in &mut short.blocks {
        match block {
            Block::Facts(facts) => facts.truncate(kept(facts.len())),
            Block::Table(table) => table.rows.truncate(kept(table.rows.len())),
            Block::Plot(plot) => {
                if let Some(table) = &mut plot.table {
                    table.rows.truncate(kept(table.rows.len()));
                }
            }
            _ => {}
        }
    }
    short.blocks.retain(|block| match block {
        Block::Facts(facts) => !facts.is_empty(),
        Block::Table(table) => !table.rows.is_empty(),
        Block::Plot(plot) => plot.table.as_ref().is_some_and(|t| !t.rows.is_empty()),
        _ => true,
    });
    short
}
