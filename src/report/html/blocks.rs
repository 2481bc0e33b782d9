//! Facts, tables, paragraphs, figures and listings of a page.

use super::text::{linked, source_link};
use crate::quantity::show::Units;
use crate::report::plot::escaped;
use crate::report::words::{Cells, fact_band, fact_value, filled, is_numeric};
use crate::report::{Block, Fact, Lines, Plot, Report, Table, Value};

/// Tables of more columns may be wider than a phone: they scroll in a frame of their own.
const WIDE: usize = 3;

/// A name of a row of at most so many letters is not broken.
const NAME: usize = 28;

/// Writes blocks.
pub(super) struct Blocks<'a> {
    report: &'a Report,
    pub(super) units: Units,
    figures: usize,
}

impl<'a> Blocks<'a> {
    pub(super) fn new(report: &'a Report, units: Units) -> Self {
        Self {
            report,
            units,
            figures: 0,
        }
    }

    /// Lines of the file that the page lists; 0 without.
    pub(super) fn file_lines(&self) -> usize {
        let blocks = self.report.sections.iter().flat_map(|s| &s.blocks);
        let lines = blocks.filter_map(|b| match b {
            Block::Listing(text) => Some(text.lines().count()),
            _ => None,
        });
        lines.max().unwrap_or(0)
    }

    /// All blocks of a section; figures that follow one another stand side by side.
    pub(super) fn all(&mut self, heading: &str, blocks: &[Block]) -> String {
        let mut out = String::new();
        let mut open = false;
        for block in blocks {
            let figure = matches!(block, Block::Plot(_));
            if figure != open {
                out.push_str(if figure {
                    "<div class=\"figures\">\n"
                } else {
                    "</div>\n"
                });
                open = figure;
            }
            out.push_str(&match block {
                Block::Facts(facts) => self.facts(facts),
                Block::Table(table) => self.table(table, heading),
                Block::Text(text) => {
                    format!("<p>{}</p>\n", linked(text, &self.report.sources))
                }
                Block::Plot(plot) => self.figure(plot),
                Block::Checklist(items) => self.checklist(items),
                Block::Listing(text) => listing(text),
                Block::Lines(groups) => {
                    let text: Vec<String> = groups.iter().map(Lines::as_text).collect();
                    format!("<pre>{}</pre>\n", escaped(&text.join("\n")))
                }
            });
        }
        if open {
            out.push_str("</div>\n");
        }
        out
    }

    fn facts(&self, facts: &[Fact]) -> String {
        let mut out = String::from("<dl class=\"facts\">\n");
        for fact in facts {
            let value = match &fact.value {
                Value::Text(text) => linked(text, &self.report.sources),
                _ => escaped(&fact_value(fact, self.units)),
            };
            let mut more = String::new();
            if let Some(band) = fact_band(fact, self.units) {
                more.push_str(&format!(
                    " <span class=\"band\">({})</span>",
                    escaped(&band)
                ));
            }
            if let Some(key) = &fact.source {
                more.push_str(&format!(" [{}]", self.source(key)));
            }
            if let Some(note) = &fact.note {
                let note = linked(note, &self.report.sources);
                more.push_str(&format!(" <span class=\"note\">{note}</span>"));
            }
            let name = escaped(&fact.name);
            out.push_str(&format!(
                "<div><dt>{name}</dt><dd><b>{value}</b>{more}</dd></div>\n"
            ));
        }
        out.push_str("</dl>\n");
        out
    }

    fn source(&self, key: &str) -> String {
        if self.report.sources.contains_key(key) {
            source_link(key)
        } else {
            escaped(key)
        }
    }

    fn table(&self, table: &Table, name: &str) -> String {
        let of = |c: usize| {
            let class = if is_numeric(table, c) {
                " class=\"n\""
            } else {
                ""
            };
            (c, class, Cells::of(table, c, self.units))
        };
        let columns: Vec<(usize, &str, Cells)> = filled(table).into_iter().map(of).collect();
        let mut out = String::from("<table>\n<thead><tr>");
        for (c, class, shown) in &columns {
            let unit = shown.unit().map_or(String::new(), |u| {
                format!("<span class=\"unit\">, {}</span>", escaped(&u))
            });
            let heading = escaped(&table.columns[*c].heading);
            out.push_str(&format!("<th scope=\"col\"{class}>{heading}{unit}</th>"));
        }
        out.push_str("</tr></thead>\n<tbody>\n");
        for row in &table.rows {
            out.push_str("<tr>");
            for (c, class, shown) in &columns {
                let text = shown.text(&row[*c]);
                let short = text.chars().count() <= NAME;
                let text = linked(&text, &self.report.sources);
                let name = match *class {
                    "" if short => " class=\"k\"",
                    class => class,
                };
                out.push_str(&if *c == 0 {
                    format!("<th scope=\"row\"{name}>{text}</th>")
                } else {
                    format!("<td{class}>{text}</td>")
                });
            }
            out.push_str("</tr>\n");
        }
        out.push_str("</tbody>\n</table>\n");
        if columns.len() > WIDE {
            let name = escaped(name);
            format!(
                "<div class=\"scroll\" role=\"region\" tabindex=\"0\" aria-label=\"Table: {name}\">\n{out}</div>\n"
            )
        } else {
            out
        }
    }

    fn figure(&mut self, plot: &Plot) -> String {
        self.figures += 1;
        let id = format!("figure-{}", self.figures);
        let svg = plot.svg(self.units, &id);
        let caption = escaped(&plot.title);
        let table = plot.table.as_ref().map_or(String::new(), |table| {
            let table = self.table(table, &plot.title);
            format!("<details>\n<summary>The same as a table</summary>\n{table}</details>\n")
        });
        format!("<figure>\n<figcaption>{caption}</figcaption>\n{svg}\n{table}</figure>\n")
    }

    /// Boxes to tick by hand on the printed page.
    fn checklist(&self, items: &[String]) -> String {
        let mut out = String::from("<ul class=\"checklist\">\n");
        for item in items {
            let item = linked(item, &self.report.sources);
            out.push_str(&format!("<li>{item}</li>\n"));
        }
        out.push_str("</ul>\n");
        out
    }
}

/// A file with numbered lines that findings point to.
fn listing(text: &str) -> String {
    let mut out = String::from("<pre class=\"listing\">");
    for (i, line) in text.lines().enumerate() {
        let class = if line.trim_start().starts_with('#') {
            " class=\"remark\""
        } else {
            ""
        };
        let line = escaped(line);
        out.push_str(&format!("<span id=\"L{}\"{class}>{line}\n</span>", i + 1));
    }
    out.push_str("</pre>\n");
    out
}
