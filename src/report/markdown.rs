//! A report in Markdown: headings, tables, lists; no figures, but every table behind them.

use super::audit::VERDICT;
use super::words::{Cells, fact_band, fact_value, filled, finding_at, is_numeric, told};
use super::{Block, FINDINGS, Fact, Finding, Lines, Report, Section, Table};
use crate::quantity::printable::{on_a_line, printable};
use crate::quantity::show::Units;

/// The report.
pub fn render(report: &Report, units: Units) -> String {
    let mut page = Page {
        out: format!("# {}\n", inline(&report.title)),
        units,
    };
    let mut chapter: &Option<String> = &None;
    let mut cautioned = false;
    for section in &report.sections {
        if section.chapter != *chapter {
            chapter = &section.chapter;
            page.heading(2, chapter.as_deref().unwrap_or("More"));
        }
        page.section(section);
        match section.heading.as_str() {
            VERDICT if report.has_appendix() => page.in_short(report.findings.as_deref()),
            VERDICT | FINDINGS => page.findings(report.findings.as_deref(), level(section) + 1),
            _ => {}
        }
        if section.blocks.contains(&Block::Cautions) {
            page.items(&report.cautions());
            cautioned = true;
        }
    }
    if report.sections.iter().all(|s| s.heading != VERDICT) {
        page.findings(report.findings.as_deref(), 3);
    }
    page.list("Notes", &told(&report.notes, units));
    page.list("Assumptions", &told(&report.assumptions, units));
    let source = |(key, citation): (&String, &String)| format!("[{key}] {citation}");
    let sources: Vec<String> = report.sources.iter().map(source).collect();
    page.list("Sources", &sources);
    if !cautioned {
        page.list("Cautions", &report.cautions());
    }
    page.out
}

fn level(section: &Section) -> usize {
    if section.chapter.is_some() { 3 } else { 2 }
}

/// Text on one line that must not turn into markup.
fn inline(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in on_a_line(text).chars() {
        if matches!(
            c,
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '|' | '#'
        ) {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

struct Page {
    out: String,
    units: Units,
}

impl Page {
    fn line(&mut self, text: &str) {
        self.out.push_str(text);
        self.out.push('\n');
    }

    fn heading(&mut self, level: usize, text: &str) {
        self.line("");
        self.line(&format!("{} {}", "#".repeat(level), inline(text)));
        self.line("");
    }

    fn section(&mut self, section: &Section) {
        let nothing = |b: &Block| matches!(b, Block::Plot(p) if p.table.is_none());
        if section.blocks.iter().all(nothing) {
            return;
        }
        // a chapter's only section need not say its name again
        if section.chapter.as_ref() != Some(&section.heading) {
            self.heading(level(section), &section.heading);
        }
        for (i, block) in section.blocks.iter().filter(|b| !nothing(b)).enumerate() {
            if i > 0 {
                self.line("");
            }
            match block {
                Block::Facts(facts) => self.facts(facts),
                Block::Table(table) => self.table(table),
                Block::Text(text) => self.line(&inline(text)),
                Block::Plot(plot) => {
                    if let Some(table) = &plot.table {
                        self.line(&format!("{}:", inline(&plot.title)));
                        self.line("");
                        self.table(table);
                    }
                }
                Block::Checklist(items) => {
                    for item in items {
                        let entry = item
                            .entry
                            .as_ref()
                            .map_or(String::new(), |e| format!(" {}", inline(&e.as_text())));
                        let (text, because) = (inline(&item.text), inline(&item.because));
                        self.line(&format!("- [ ] {text}{entry} ({because})"));
                    }
                }
                Block::Listing(text) => self.listing(text),
                Block::Lines(groups) => self.lines(groups),
                Block::Cautions => {}
            }
        }
    }

    fn lines(&mut self, groups: &[Lines]) {
        let text: Vec<String> = groups.iter().map(Lines::as_text).collect();
        self.listing(&text.join("\n"));
    }

    fn facts(&mut self, facts: &[Fact]) {
        for fact in facts {
            let colon = if fact.name.ends_with('?') { "" } else { ":" };
            let mut text = format!(
                "- {}{colon} **{}**",
                inline(&fact.name),
                inline(&fact_value(fact, self.units))
            );
            if let Some(band) = fact_band(fact, self.units) {
                text = format!("{text} ({})", inline(&band));
            }
            if let Some(key) = &fact.source {
                text = format!("{text} {}", inline(&format!("[{key}]")));
            }
            if let Some(note) = &fact.note {
                text = format!("{text}; {}", inline(note));
            }
            self.line(&text);
        }
    }

    fn table(&mut self, table: &Table) {
        let of = |c: usize| (c, Cells::of(table, c, self.units));
        let columns: Vec<(usize, Cells)> = filled(table).into_iter().map(of).collect();
        let row = |cells: Vec<String>| format!("| {} |", cells.join(" | "));
        let headings = columns.iter().map(|(c, shown)| {
            let heading = inline(&table.columns[*c].heading);
            match shown.unit() {
                Some(unit) => format!("{heading}, {}", inline(&unit)),
                None => heading,
            }
        });
        let headings = row(headings.collect());
        self.line(&headings);
        let rule = columns
            .iter()
            .map(|(c, _)| if is_numeric(table, *c) { "---:" } else { "---" });
        let rule = row(rule.map(str::to_owned).collect());
        self.line(&rule);
        for cells in &table.rows {
            let cells = columns
                .iter()
                .map(|(c, shown)| inline(&shown.text(&cells[*c])));
            let cells = row(cells.collect());
            self.line(&cells);
        }
    }

    /// A fence longer than any in the text.
    fn listing(&mut self, text: &str) {
        let mut fence = "```".to_owned();
        while text.contains(&fence) {
            fence.push('`');
        }
        self.line(&format!("{fence}toml"));
        self.line(printable(text).trim_end());
        self.line(&fence);
    }

    fn findings(&mut self, found: Option<&[Finding]>, level: usize) {
        let Some(found) = found else { return };
        self.heading(level.min(3), "Findings");
        if found.is_empty() {
            self.line("none");
        }
        for f in found {
            self.line(&format!(
                "- **{} {}** ({}): {}",
                f.signal.word(),
                inline(&f.title),
                inline(&f.id),
                inline(&f.sentence)
            ));
            for (key, text) in f.beneath(finding_at(f)) {
                self.line(&format!("  - {key}: {}", inline(&text)));
            }
        }
    }

    fn in_short(&mut self, found: Option<&[Finding]>) {
        let Some(found) = found else { return };
        self.heading(3, "Findings");
        if found.is_empty() {
            self.line("none");
        }
        for (i, f) in found.iter().enumerate() {
            let remedy = f.data.remedy.as_deref().unwrap_or_default();
            let said = [&f.sentence, f.first_advice(), remedy, &f.id];
            let said = said
                .into_iter()
                .filter(|s| !s.is_empty())
                .collect::<Vec<_>>()
                .join(" ");
            self.line(&format!(
                "{}. **{}** {}",
                i + 1,
                f.signal.word(),
                inline(&said)
            ));
        }
    }

    fn list(&mut self, heading: &str, items: &[impl AsRef<str>]) {
        if !items.is_empty() {
            self.heading(2, heading);
            self.items(items);
        }
    }

    fn items(&mut self, items: &[impl AsRef<str>]) {
        for item in items {
            self.line(&format!("- {}", inline(item.as_ref())));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::{Column, Topic, Value};

    #[test]
    fn text_does_not_turn_into_markup() {
        let mut report = Report::new(Topic::Report, "A *rig*");
        let mut table = Table::new(vec![Column::new("a|b"), Column::new("c")]);
        table.row(vec!["x_y".into(), Value::Number(1.5)]);
        report.table("Table", table);
        report.block("File", Block::Listing("``` = 1\n".to_owned()));
        let text = render(&report, Units::Si);
        assert!(text.starts_with("# A \\*rig\\*\n"), "{text}");
        assert!(
            text.contains("| a\\|b | c |\n| --- | ---: |\n| x\\_y | 1.50 |"),
            "{text}"
        );
        assert!(text.contains("````toml\n``` = 1\n````"), "{text}");
        assert!(text.contains("## Cautions"), "{text}");
    }
}
