//! Facts, tables, paragraphs, figures and listings of a page.

use super::text::{linked, listed, source_link};
use crate::quantity::show::Units;
use crate::report::words::{Cells, fact_band, fact_value, filled, is_numeric};
use crate::report::{Block, Entry, Fact, Lines, Plot, Report, Table, Tick, Value};
use maud::{Markup, PreEscaped, html};

/// Tables of more columns are wider than a phone, where each row becomes a record; on a narrow desk they scroll.
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
    pub(super) fn all(&mut self, heading: &str, blocks: &[&Block]) -> Markup {
        let figure = |block: &&Block| matches!(block, Block::Plot(_));
        html! {
            @for run in blocks.chunk_by(|a, b| figure(a) == figure(b)) {
                @let shown = html! {
                    @for block in run { (self.block(block, heading)) "\n" }
                };
                @if figure(&run[0]) {
                    div class="figures" { (shown) } "\n"
                } @else {
                    (shown)
                }
            }
        }
    }

    fn block(&mut self, block: &Block, heading: &str) -> Markup {
        match block {
            Block::Facts(facts) => self.facts(facts),
            Block::Table(table) => self.table(table, heading),
            Block::Text(text) => html! { p { (self.linked(text)) } },
            Block::Plot(plot) => self.figure(plot),
            Block::Checklist(items) => self.checklist(items),
            Block::Listing(text) => listing(text),
            Block::Lines(groups) => {
                let text: Vec<String> = groups.iter().map(Lines::as_text).collect();
                html! { pre { (text.join("\n")) } }
            }
            Block::Cautions => listed(&self.report.cautions(), &self.report.sources),
        }
    }

    fn linked(&self, text: &str) -> Markup {
        linked(text, &self.report.sources)
    }

    fn facts(&self, facts: &[Fact]) -> Markup {
        html! {
            dl class="facts" {
                @for fact in facts {
                    div { dt { (fact.name) } dd { (self.value(fact)) } } "\n"
                }
            }
        }
    }

    /// Value, band, source and remark of a fact.
    fn value(&self, fact: &Fact) -> Markup {
        html! {
            b {
                @if let Value::Text(text) = &fact.value {
                    (self.linked(text))
                } @else {
                    (fact_value(fact, self.units))
                }
            }
            @if let Some(band) = fact_band(fact, self.units) {
                " " span class="band" { "(" (band) ")" }
            }
            @if let Some(key) = &fact.source {
                @if self.report.sources.contains_key(key) {
                    " [" (source_link(key)) "]"
                } @else {
                    " [" (key) "]"
                }
            }
            @if let Some(note) = &fact.note {
                " " span class="note" { (self.linked(note)) }
            }
        }
    }

    fn table(&self, table: &Table, name: &str) -> Markup {
        let of = |c: usize| {
            let class = is_numeric(table, c).then_some("n");
            (c, class, Cells::of(table, c, self.units))
        };
        let columns: Vec<(usize, Option<&str>, Cells)> =
            filled(table).into_iter().map(of).collect();
        let shown = html! {
            table {
                thead {
                    tr {
                        @for (c, class, shown) in &columns {
                            th scope="col" class=[class] {
                                (table.columns[*c].heading)
                                @if let Some(unit) = shown.unit() { span class="unit" { ", " (unit) } }
                            }
                        }
                    }
                }
                "\n"
                tbody {
                    @for row in &table.rows {
                        tr {
                            @for (c, class, shown) in &columns {
                                @let text = shown.text(&row[*c]);
                                @let short = text.chars().count() <= NAME;
                                @if *c == 0 {
                                    th scope="row" class=[class.or(short.then_some("k"))] { (self.linked(&text)) }
                                } @else {
                                    td class=[class] data-label=(label(table, *c, shown)) { (self.linked(&text)) }
                                }
                            }
                        }
                        "\n"
                    }
                }
            }
        };
        if columns.len() <= WIDE {
            return shown;
        }
        html! {
            div class="scroll" role="region" tabindex="0" aria-label={ "Table: " (name) } { (shown) }
        }
    }

    fn figure(&mut self, plot: &Plot) -> Markup {
        self.figures += 1;
        let id = format!("figure-{}", self.figures);
        html! {
            figure {
                figcaption { (plot.title) }
                (PreEscaped(plot.svg(self.units, &id)))
                @if let Some(table) = &plot.table {
                    details {
                        summary { "The same as a table" }
                        (self.table(table, &plot.title))
                    }
                }
            }
        }
    }

    /// Boxes to tick by hand on the printed page.
    fn checklist(&self, items: &[Tick]) -> Markup {
        html! {
            ul class="checklist" {
                @for item in items {
                    li {
                        span { (self.linked(&item.text)) " " span class="note" { "(" (item.because) ")" } }
                        @if let Some(entry) = &item.entry { (to_write(entry)) }
                    } "\n"
                }
            }
        }
    }
}

/// Where a reading is written: the gauge, a line to write on with its unit, and what is expected.
fn to_write(entry: &Entry) -> Markup {
    html! {
        span class="entry" {
            b { (entry.at) }
            span class="blank" { (entry.unit) }
            @if !entry.expected.is_empty() { span class="note" { (entry.expected) } }
        }
    }
}

/// Heading of a column with its unit.
fn label(table: &Table, column: usize, shown: &Cells) -> String {
    let heading = &table.columns[column].heading;
    shown
        .unit()
        .map_or_else(|| heading.clone(), |unit| format!("{heading}, {unit}"))
}

/// A file with numbered lines that findings point to.
fn listing(text: &str) -> Markup {
    html! {
        pre class="listing" {
            @for (i, line) in text.lines().enumerate() {
                @let class = line.trim_start().starts_with('#').then_some("remark");
                span id={ "L" (i + 1) } class=[class] { (line) "\n" }
            }
        }
    }
}
