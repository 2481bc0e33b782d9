//! A report as text for people: aligned facts, tables that fit the page, notes wrapped to its width.

use super::{Block, Fact, Finding, Report, Table, Value};
use crate::quantity::Kind;
use crate::quantity::show::{DIGITS, Shown, Units, significant, trimmed};
use tabled::builder::Builder;
use tabled::settings::object::Columns;
use tabled::settings::peaker::PriorityMax;
use tabled::settings::{Alignment, Padding, Style, Width};

/// Narrowest page that is written for.
pub const MIN_WIDTH: usize = 40;
const INDENT: &str = "  ";

/// The report on a page of `width` characters.
pub fn render(report: &Report, units: Units, width: usize) -> String {
    let width = width.max(MIN_WIDTH);
    let mut page = Page {
        out: String::new(),
        width,
        units,
    };
    page.paragraph("", &report.title);
    for section in &report.sections {
        page.heading(&section.heading);
        for block in &section.blocks {
            match block {
                Block::Facts(facts) => page.facts(facts),
                Block::Table(table) => page.table(table),
                Block::Text(text) => page.paragraph(INDENT, text),
            }
        }
    }
    if let Some(findings) = &report.findings {
        page.findings(findings);
    }
    page.list("Notes", report.notes.iter().map(String::as_str));
    page.list("Assumptions", report.assumptions.iter().map(String::as_str));
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
}

impl Page {
    fn line(&mut self, text: &str) {
        self.out.push_str(text.trim_end());
        self.out.push('\n');
    }

    fn heading(&mut self, text: &str) {
        self.line("");
        self.paragraph("", text);
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
        let indent = " ".repeat(lead.chars().count());
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
        let longest = facts
            .iter()
            .map(|f| f.name.chars().count())
            .max()
            .unwrap_or(0);
        let beside = longest + 4 + 20 <= self.width;
        for fact in facts {
            let value = fact_text(fact, self.units);
            if beside {
                self.hanging(&format!("{INDENT}{:longest$}  ", fact.name), &value);
            } else {
                self.paragraph(INDENT, &format!("{}:", fact.name));
                self.paragraph("      ", &value);
            }
        }
    }

    /// A table that fits: optional columns go first, from the right; then cells wrap.
    fn table(&mut self, table: &Table) {
        let room = self.width - INDENT.len();
        let mut kept: Vec<usize> = (0..table.columns.len()).collect();
        let mut left_out: Vec<&str> = Vec::new();
        let mut text = table_text(table, &kept, self.units, None);
        while widest(&text) > room {
            let Some(i) = kept.iter().rposition(|&c| table.columns[c].optional) else {
                text = table_text(table, &kept, self.units, Some(room));
                break;
            };
            left_out.insert(0, &table.columns[kept.remove(i)].heading);
            text = table_text(table, &kept, self.units, None);
        }
        for line in text.lines() {
            self.line(&format!("{INDENT}{line}"));
        }
        if !left_out.is_empty() {
            let note = format!("(left out on this page width: {})", left_out.join(", "));
            self.paragraph(INDENT, &note);
        }
    }

    fn findings(&mut self, findings: &[Finding]) {
        self.heading("Findings");
        if findings.is_empty() {
            self.paragraph(INDENT, "none");
        }
        for f in findings {
            self.hanging(INDENT, &format!("{} {} {}", f.signal.word(), f.id, f.name));
            let at = match f.line {
                Some(line) => format!("{}, line {line}", f.at),
                None => f.at.clone(),
            };
            let parts = [
                ("at", &at),
                ("measured", &f.measured),
                ("limit", &f.limit),
                ("source", &f.source),
                ("advice", &f.advice),
            ];
            for (name, text) in parts.into_iter().filter(|(_, text)| !text.is_empty()) {
                self.hanging(&format!("    {name:9} "), text);
            }
        }
    }
}

/// Value, band, source and remark of a fact in one line.
fn fact_text(fact: &Fact, units: Units) -> String {
    let mut text = value_text(&fact.value, None, units, DIGITS);
    if let Some((low, high)) = fact.band.filter(|(low, high)| high > low) {
        let end = |x: f64| match fact.value {
            Value::Quantity { kind, si } => Shown::suited(kind, si, units).convert(x),
            _ => x,
        };
        let end = |x: f64| trimmed(&significant(end(x), DIGITS));
        text = format!("{text} ({} to {})", end(low), end(high));
    }
    if let Some(source) = &fact.source {
        text = format!("{text} [{source}]");
    }
    match &fact.note {
        Some(note) => format!("{text}; {note}"),
        None => text,
    }
}

/// A value as text; in a column that shows the unit in its heading, the number alone.
fn value_text(value: &Value, column: Option<&Shown>, units: Units, digits: usize) -> String {
    match value {
        Value::Quantity { si, .. } if column.is_some() => {
            significant(column.map_or(*si, |shown| shown.convert(*si)), digits)
        }
        Value::Quantity { kind, si } => {
            crate::quantity::show::show_digits(*kind, *si, units, digits)
        }
        Value::Number(x) if column.is_some() => significant(*x, digits),
        Value::Number(x) => trimmed(&significant(*x, digits)),
        Value::Count(n) => n.to_string(),
        Value::Text(text) => text.clone(),
        Value::Flag(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        Value::Absent => "-".to_owned(),
    }
}

/// The unit of a column: the one that suits its largest value.
fn column_unit(table: &Table, column: usize, kind: Kind, units: Units) -> Shown {
    let largest = table
        .rows
        .iter()
        .filter_map(|row| match row.get(column) {
            Some(Value::Quantity { si, .. }) => Some(si.abs()),
            _ => None,
        })
        .fold(0.0, f64::max);
    Shown::suited(kind, largest, units)
}

fn table_text(table: &Table, kept: &[usize], units: Units, width: Option<usize>) -> String {
    let shown: Vec<Option<Shown>> = kept
        .iter()
        .map(|&c| {
            table.columns[c]
                .kind
                .map(|kind| column_unit(table, c, kind, units))
        })
        .collect();
    let mut builder = Builder::default();
    builder.push_record(kept.iter().zip(&shown).map(|(&c, shown)| {
        let heading = &table.columns[c].heading;
        shown
            .as_ref()
            .map_or(heading.clone(), |s| format!("{heading}, {}", s.symbol()))
    }));
    for row in &table.rows {
        builder.push_record(kept.iter().zip(&shown).map(|(&c, shown)| {
            value_text(&row[c], shown.as_ref(), units, table.columns[c].digits)
        }));
    }
    let mut drawn = builder.build();
    drawn
        .with(Style::psql().remove_vertical())
        .with(Padding::new(0, 2, 0, 0));
    for (i, &c) in kept.iter().enumerate() {
        let numeric = table.rows.iter().any(|row| {
            matches!(
                row[c],
                Value::Quantity { .. } | Value::Number(_) | Value::Count(_)
            )
        });
        if numeric {
            drawn.modify(Columns::one(i), Alignment::right());
        }
    }
    if let Some(width) = width {
        drawn.with(
            Width::wrap(width)
                .keep_words(true)
                .priority(PriorityMax::left()),
        );
    }
    drawn.to_string()
}

fn widest(text: &str) -> usize {
    text.lines()
        .map(|l| l.trim_end().chars().count())
        .max()
        .unwrap_or(0)
}

/// Lines of at most `width` characters, broken between words; a longer word is broken inside.
pub(crate) fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    let mut used = 0;
    for word in text.split_whitespace() {
        let mut word: Vec<char> = word.chars().collect();
        if used > 0 && used + 1 + word.len() > width {
            lines.push(std::mem::take(&mut line));
            used = 0;
        }
        while word.len() > width {
            let rest = word.split_off(width);
            lines.push(word.iter().collect());
            word = rest;
        }
        if used > 0 {
            line.push(' ');
            used += 1;
        }
        used += word.len();
        line.extend(word);
    }
    if used > 0 || lines.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::super::{Column, Topic};
    use super::*;

    fn sample() -> Report {
        let mut report = Report::new(Topic::Injector, "Six holes for propane from 1.5 bar(g)");
        report.facts(
            "Result",
            vec![
                Fact::of("Hole diameter", Kind::Length, 1.234e-3).within(0.05),
                Fact::plain("Discharge coefficient", 0.82).from_source("somebody1999"),
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
            Value::Quantity {
                kind: Kind::Length,
                si: 1.2e-3,
            },
            Value::Quantity {
                kind: Kind::MassRate,
                si: 8.01e-4,
            },
            Value::Quantity {
                kind: Kind::Ratio,
                si: -0.02,
            },
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
    fn a_word_longer_than_the_page_is_broken() {
        assert_eq!(wrap("abcdefgh ij", 5), ["abcde", "fgh", "ij"]);
        assert_eq!(wrap("", 5), [""]);
    }
}
