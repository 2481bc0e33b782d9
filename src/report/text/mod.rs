//! A report as text for people: aligned facts, tables that fit the page, notes wrapped to its width.

mod answer;
mod sentence;
mod short;
mod table;

pub use short::{changes, short};

use super::audit::VERDICT;
use super::words::{fact_band, fact_value, finding_at, told};
use super::{Block, Entry, FINDINGS, Fact, Finding, Lines, Report, Section, Signal, Table, Tick};
use crate::quantity::printable::{columns, on_a_line};
use crate::quantity::show::Units;
use anstyle::{Ansi256Color, AnsiColor, Style};
use unicode_width::UnicodeWidthChar;

/// Narrowest page that is written for.
pub const MIN_WIDTH: usize = 40;
const INDENT: &str = "  ";
/// Before a line to copy: what is asked of any rig fits behind it on the narrowest page.
const LINE_INDENT: &str = "   ";

const HEADING: Style = Style::new().bold();
/// Signal words in the colours that ANSI Z535 gives them, as terminals know them.
const SIGNALS: [(Signal, Style); 4] = [
    (Signal::Danger, AnsiColor::Red.on_default().bold()),
    (Signal::Warning, Ansi256Color(208).on_default().bold()),
    (Signal::Caution, AnsiColor::Yellow.on_default().bold()),
    (Signal::Notice, AnsiColor::Blue.on_default().bold()),
];

/// The report on a page of `width` characters.
pub fn render(report: &Report, units: Units, width: usize) -> String {
    plain(&styled(report, units, width))
}

/// A text without the styles of a terminal.
pub fn plain(styled: &str) -> String {
    anstream::adapter::strip_str(styled).to_string()
}

/// As [`render`], with the styles of a terminal: headings bold, signal words coloured.
pub fn styled(report: &Report, units: Units, width: usize) -> String {
    let mut page = Page::new(units, width);
    page.bold(&report.title);
    let mut chapter = None;
    for section in &report.sections {
        if !section.blocks.iter().any(is_shown) {
            continue;
        }
        if section.chapter != chapter {
            chapter.clone_from(&section.chapter);
            page.chapter(chapter.as_deref().unwrap_or_default());
        }
        page.section(section);
        match (&report.findings, section.heading.as_str()) {
            (Some(found), VERDICT) if report.has_appendix() => {
                page.sentences("Findings", found);
            }
            (Some(found), FINDINGS) => page.findings(found),
            _ => {}
        }
    }
    if let Some(findings) = report.findings.as_ref().filter(|_| !report.has_appendix()) {
        page.findings(findings);
    }
    page.list(
        "Notes",
        told(&report.notes, units).iter().map(String::as_str),
    );
    page.list(
        "Assumptions",
        told(&report.assumptions, units).iter().map(String::as_str),
    );
    let sources: Vec<String> = report
        .sources
        .iter()
        .map(|(key, citation)| format!("[{key}] {citation}"))
        .collect();
    page.list("Sources", sources.iter().map(String::as_str));
    page.list("Cautions", report.cautions().into_iter());
    page.out
}

struct Page {
    out: String,
    width: usize,
    units: Units,
    /// Whether it is the full text: sources of facts and columns that find no room are named.
    full: bool,
}

/// Whether a text shows it: figures and the file itself are for pages that can.
fn is_shown(block: &Block) -> bool {
    match block {
        Block::Plot(plot) => plot.table.is_some(),
        Block::Listing(_) | Block::Cautions => false,
        _ => true,
    }
}

impl Page {
    fn new(units: Units, width: usize) -> Self {
        Self {
            out: String::new(),
            width: width.max(MIN_WIDTH),
            units,
            full: true,
        }
    }

    /// A heading with what stands under it; nothing if no text can show it.
    fn section(&mut self, section: &Section) {
        if !section.blocks.iter().any(is_shown) {
            return;
        }
        self.heading(&section.heading);
        for block in &section.blocks {
            match block {
                Block::Facts(facts) => self.facts(facts),
                Block::Table(table) => self.table(table),
                Block::Text(text) => self.paragraph(INDENT, text),
                Block::Plot(plot) => {
                    if let Some(table) = &plot.table {
                        self.table(table);
                    }
                }
                Block::Checklist(items) => self.checklist(items),
                Block::Lines(groups) => self.lines(groups),
                Block::Listing(_) | Block::Cautions => {}
            }
        }
    }

    fn line(&mut self, text: &str) {
        self.out.push_str(text.trim_end());
        self.out.push('\n');
    }

    fn bold(&mut self, text: &str) {
        for line in wrap(text, self.width) {
            self.line(&format!("{HEADING}{line}{HEADING:#}"));
        }
    }

    /// A line of a table or of findings: a signal word that it begins with is coloured.
    fn signal_line(&mut self, text: &str) {
        let rest = |signal: Signal| text.strip_prefix(signal.word());
        let found = SIGNALS.iter().find_map(|(signal, style)| {
            let rest = rest(*signal).filter(|rest| rest.starts_with(' '))?;
            Some((signal.word(), style, rest))
        });
        self.line(&match found {
            Some((word, style, rest)) => format!("{INDENT}{style}{word}{style:#}{rest}"),
            None => format!("{INDENT}{text}"),
        });
    }

    fn heading(&mut self, text: &str) {
        self.line("");
        self.bold(text);
    }

    fn chapter(&mut self, text: &str) {
        self.line("");
        self.bold(text);
        self.line(&"=".repeat(columns(&on_a_line(text)).min(self.width)));
    }

    /// A place to write stands on the last line of a text, or below where it finds no room.
    fn checklist(&mut self, items: &[Tick]) {
        for item in items {
            let text = if self.full {
                format!("{} ({})", item.text, item.because)
            } else {
                item.text.clone()
            };
            self.hanging("  [ ] ", &text);
            if let Some(entry) = item.entry.as_ref().map(Entry::as_text) {
                self.beside(&entry);
            }
        }
    }

    /// Puts a text at the end of the last line, or below it.
    fn beside(&mut self, text: &str) {
        let last = self.out.lines().last().unwrap_or_default();
        if columns(last) + 2 + columns(text) <= self.width {
            self.out.truncate(self.out.trim_end().len());
            self.line(&format!("  {text}"));
        } else {
            self.hanging("      ", text);
        }
    }

    /// Lines to copy, each unbroken, under what they answer. A remark that finds no room is left out.
    fn lines(&mut self, groups: &[Lines]) {
        for group in groups {
            let room = self.width - INDENT.len();
            let shown = group.lines.len();
            let whole = match group.more {
                0 => group.above.clone(),
                more => format!("{} ({shown} of {})", group.above, shown + more),
            };
            if columns(&on_a_line(&whole)) <= room || group.more == 0 {
                self.paragraph(INDENT, &whole);
            } else {
                self.paragraph(INDENT, &format!("{} +{}", group.above, group.more));
            }
            for (line, remark) in &group.lines {
                let gaps = ["  # ", " # "].map(|gap| format!("{line}{gap}{remark}"));
                let room = self.width - LINE_INDENT.len();
                let fits = |t: &&String| !remark.is_empty() && columns(t) <= room;
                let text = gaps.iter().find(fits).unwrap_or(line);
                self.line(&format!("{LINE_INDENT}{text}"));
            }
        }
    }

    fn paragraph(&mut self, indent: &str, text: &str) {
        for line in wrap(text, self.width - indent.len()) {
            self.line(&format!("{indent}{line}"));
        }
    }

    /// A heading and bullets; nothing if there are no items.
    fn list<'a>(&mut self, heading: &str, items: impl Iterator<Item = &'a str>) {
        let mut items = items.peekable();
        if items.peek().is_none() {
            return;
        }
        self.heading(heading);
        for item in items {
            self.hanging("  - ", item);
        }
    }

    /// A paragraph whose first line begins with `lead` and whose others are indented as far.
    fn hanging(&mut self, lead: &str, text: &str) {
        let indent = " ".repeat(columns(lead));
        for (i, line) in wrap(text, self.width.saturating_sub(indent.len()).max(10))
            .iter()
            .enumerate()
        {
            let start = if i == 0 { lead } else { &indent };
            self.line(&format!("{start}{line}"));
        }
    }

    /// Names on the left, values beside them, or below where the page is narrow.
    fn facts(&mut self, facts: &[Fact]) {
        let names: Vec<_> = facts.iter().map(|f| on_a_line(&f.name)).collect();
        let longest = names.iter().map(|name| columns(name)).max().unwrap_or(0);
        let beside = longest + 4 + 20 <= self.width;
        for (fact, name) in facts.iter().zip(&names) {
            let value = self.fact_text(fact);
            if beside {
                self.hanging(&format!("{INDENT}{}  ", padded(name, longest)), &value);
            } else {
                let colon = if name.ends_with('?') { "" } else { ":" };
                self.paragraph(INDENT, &format!("{name}{colon}"));
                self.paragraph("      ", &value);
            }
        }
    }

    /// Value, band, source and remark of a fact in one line.
    fn fact_text(&self, fact: &Fact) -> String {
        let mut text = fact_value(fact, self.units);
        if let Some(band) = fact_band(fact, self.units) {
            text = format!("{text} ({band})");
        }
        if let Some(source) = fact.source.as_ref().filter(|_| self.full) {
            text = format!("{text} [{source}]");
        }
        match &fact.note {
            Some(note) => format!("{text}; {note}"),
            None => text,
        }
    }

    fn table(&mut self, table: &Table) {
        let laid = table::lay(table, self.units, self.width - INDENT.len());
        for line in &laid.lines {
            self.signal_line(line);
        }
        if self.full && !laid.left_out.is_empty() {
            let note = format!(
                "(left out on this page width: {})",
                laid.left_out.join(", ")
            );
            self.paragraph(INDENT, &note);
        }
    }

    fn findings(&mut self, findings: &[Finding]) {
        self.heading("Findings");
        if findings.is_empty() {
            self.paragraph(INDENT, "none");
        }
        for f in findings {
            let finding = format!("{} {} {}", f.signal.word(), f.title, f.id);
            for line in wrap(&finding, self.width - INDENT.len()) {
                self.signal_line(&line);
            }
            self.paragraph("    ", &f.sentence);
            for (name, text) in f.beneath(finding_at(f)) {
                self.hanging(&format!("    {name:7} "), &text);
            }
        }
    }
}

/// A text with blanks behind it up to a width.
fn padded(text: &str, width: usize) -> String {
    let blanks = " ".repeat(width.saturating_sub(columns(text)));
    format!("{text}{blanks}")
}

/// Printable lines of at most `width` columns, broken between words; a longer word is broken inside.
pub(crate) fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    let mut used = 0;
    for word in on_a_line(text).split_whitespace() {
        let length = columns(word);
        if used > 0 && used + 1 + length > width {
            lines.push(std::mem::take(&mut line));
            used = 0;
        }
        if used > 0 {
            line.push(' ');
            used += 1;
        }
        for c in word.chars() {
            let room = c.width().unwrap_or(0);
            if used > 0 && used + room > width {
                lines.push(std::mem::take(&mut line));
                used = 0;
            }
            line.push(c);
            used += room;
        }
    }
    if used > 0 || lines.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::super::{Column, Topic, Value};
    use super::*;
    use crate::quantity::Kind;

    fn sample() -> Report {
        let mut report = Report::new(Topic::Injector, "Six holes for propane from 1.5 bar(g)");
        report.facts(
            "Result",
            vec![
                Fact::of("Hole diameter", Kind::Length, 1.234e-3).within(0.05),
                Fact::new("Discharge coefficient", Value::Number(0.82)).sourced("somebody1999"),
                Fact::new("Choked", Value::Flag(true)),
            ],
        );
        let mut table = Table::new(vec![
            Column::new("drill"),
            Column::of("diameter", Kind::Length),
            Column::of("flow", Kind::MassRate),
            Column::of("error", Kind::Ratio).optional(),
            Column::new("remark, which takes a lot of room").optional(),
        ]);
        table.row(vec![
            "1.2 mm".into(),
            Value::of(Kind::Length, 1.2e-3),
            Value::of(Kind::MassRate, 8.01e-4),
            Value::of(Kind::Ratio, -0.02),
            "one size below the exact hole".into(),
        ]);
        report.table("Drills", table);
        report.assume("the edge of the hole is sharp");
        report
    }

    #[test]
    fn no_line_is_wider_than_the_page() {
        for width in 40..=100 {
            for units in [Units::Si, Units::Us] {
                let text = render(&sample(), units, width);
                for line in text.lines() {
                    assert!(line.chars().count() <= width, "{width}: {line}");
                }
            }
        }
    }

    #[test]
    fn a_narrow_page_says_what_it_left_out() {
        let text = render(&sample(), Units::Si, 50);
        assert!(text.contains("left out on this page width"), "{text}");
        assert!(!render(&sample(), Units::Si, 100).contains("left out"));
    }

    #[test]
    fn a_table_breaks_no_word_and_becomes_a_list_where_words_do_not_fit() {
        let mut table = Table::new(vec![
            Column::new("part"),
            Column::of("pressure behind", Kind::GaugePressure),
            Column::of("temperature behind", Kind::Temperature),
            Column::new("state"),
        ]);
        table.row(vec![
            "cylinder-valve".into(),
            Value::of(Kind::GaugePressure, 576_100.0),
            Value::of(Kind::Temperature, 285.15),
            "wide open".into(),
        ]);
        let mut report = Report::new(Topic::Train, "Train");
        report.table("Walk", table);
        for width in 40..100 {
            let text = render(&report, Units::Si, width);
            for word in ["cylinder-valve", "5.76", "12.0", "temperature", "pressure"] {
                assert!(text.contains(word), "{width}: {text}");
            }
        }
        let narrow = render(&report, Units::Si, 40);
        assert!(
            narrow.contains("pressure behind     5.76 bar(g)"),
            "{narrow}"
        );
    }

    #[test]
    fn a_row_that_becomes_a_list_says_what_its_first_number_is() {
        let mut table = Table::new(vec![
            Column::of("time", Kind::Time),
            Column::of("pressure that is left in it", Kind::GaugePressure),
            Column::new("everything-else-that-happened"),
        ]);
        table.row(vec![
            Value::of(Kind::Time, 1800.0),
            Value::of(Kind::GaugePressure, 2e5),
            "regulator-starves-here".into(),
        ]);
        let mut report = Report::new(Topic::Tank, "Tank");
        report.table("The run", table);
        let narrow = render(&report, Units::Si, 40);
        assert!(narrow.contains("\n  time 30.0 min\n"), "{narrow}");
    }

    #[test]
    fn headings_are_bold_and_signal_words_coloured_on_a_terminal() {
        let mut report = sample();
        report.findings = Some(vec![Finding {
            id: "TRN001".to_owned(),
            name: "no-way".to_owned(),
            title: "No way".to_owned(),
            sentence: "DANGEROUS".to_owned(),
            signal: Signal::Danger,
            measured: "DANGEROUS".to_owned(),
            limit: String::new(),
            source: String::new(),
            advice: String::new(),
            at: String::new(),
            line: None,
            data: crate::report::finding::FindingData::default(),
        }]);
        let styled = styled(&report, Units::Si, 80);
        assert!(styled.contains("\x1b[1mFindings\x1b[0m\n"), "{styled}");
        let danger = "  \x1b[1m\x1b[31mDANGER\x1b[0m No way TRN001\n";
        assert!(styled.contains(danger), "{styled}");
        assert!(styled.contains(" DANGEROUS\n"), "{styled}");
        assert!(!render(&report, Units::Si, 80).contains('\x1b'));
    }

    #[test]
    fn a_word_longer_than_the_page_is_broken() {
        assert_eq!(wrap("abcdefgh ij", 5), ["abcde", "fgh", "ij"]);
        assert_eq!(wrap("", 5), [""]);
    }
}
