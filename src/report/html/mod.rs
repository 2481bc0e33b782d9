//! A report as one page: HTML with its style and figures in it, no script, nothing from elsewhere.

mod blocks;
mod findings;
mod text;

use super::audit::VERDICT;
use super::words::told;
use super::{Block, FINDINGS, Report, Section, Topic, plot};
use crate::quantity::printable::printable;
use crate::quantity::show::Units;
use blocks::Blocks;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use std::collections::BTreeSet;
use text::{heading, linked, listed};

/// Style of the page.
const STYLE: &str = include_str!("page.css");

/// The page. Markup is escaped piece by piece, and what no screen should obey is made visible in the whole.
pub fn render(report: &Report, units: Units) -> String {
    let mut page = Page {
        report,
        blocks: Blocks::new(report, units),
        contents: Vec::new(),
        ids: BTreeSet::new(),
    };
    let body = page.body();
    let version = env!("CARGO_PKG_VERSION");
    let page = html! {
        (DOCTYPE) "\n"
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="generator" content={ (env!("CARGO_PKG_NAME")) " " (version) };
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (report.title) }
                style { (PreEscaped(STYLE)) (PreEscaped(plot::STYLE)) }
            }
            "\n"
            body {
                a class="skip" href="#main" { "To the content" }
                (header(report, version)) "\n"
                (contents(&page.contents)) "\n"
                main id="main" { (body) }
                footer { p { (super::cautions::CLOSING) } }
            }
        }
        "\n"
    };
    printable(&page.into_string()).into_owned()
}

/// Title, and for the page of a rig the lines that people fill in by hand.
fn header(report: &Report, version: &str) -> Markup {
    html! {
        header {
            div {
                h1 { (report.title) }
                p class="maker" { "fuelwright " (version) }
            }
            @if report.topic == Topic::Report {
                dl class="by-hand" {
                    @for name in ["Date", "Run by", "Reviewed by"] {
                        div { dt { (name) } dd {} }
                    }
                }
            }
        }
    }
}

fn contents(list: &[(String, String)]) -> Markup {
    html! {
        @if list.len() >= 3 {
            nav aria-label="Contents" {
                ul {
                    @for (id, heading) in list {
                        li { a href={ "#" (id) } { (heading) } } "\n"
                    }
                }
            }
        }
    }
}

struct Page<'a> {
    report: &'a Report,
    blocks: Blocks<'a>,
    contents: Vec<(String, String)>,
    ids: BTreeSet<String>,
}

impl Page<'_> {
    fn body(&mut self) -> Markup {
        let report = self.report;
        let has_verdict = report.sections.iter().any(|s| s.heading == VERDICT);
        let mut blocks = report.sections.iter().flat_map(|s| &s.blocks);
        let placed = blocks.any(|b| matches!(b, Block::Cautions));
        html! {
            (self.chapters(false))
            @if !has_verdict { (self.findings(Some(2))) }
            @if !placed { (self.list("Cautions", &report.cautions(), 2)) }
            @if report.has_appendix() { (self.appendix()) } @else { (self.behind(2)) }
        }
    }

    /// All chapters of the appendix, or all before it.
    fn chapters(&mut self, in_appendix: bool) -> Markup {
        let report = self.report;
        let same = |a: &Section, b: &Section| {
            a.chapter.is_some() && a.chapter == b.chapter && a.in_appendix == b.in_appendix
        };
        let level = if in_appendix { 3 } else { 2 };
        let these = report.sections.chunk_by(same);
        html! {
            @for these in these.filter(|s| s[0].in_appendix == in_appendix) {
                @match &these[0].chapter {
                    Some(name) if report.has_appendix() && !in_appendix => (self.sheet(name, these)),
                    Some(name) => (self.chapter(name, level, |page| html! {
                        @for section in these {
                            (page.section(section, name, level + 1))
                            @if section.heading == FINDINGS { (page.findings(None)) }
                        }
                    })),
                    None => (self.section(&these[0], "", level)),
                }
            }
        }
    }

    /// A chapter that is carried along: figures stand beside what follows them.
    fn sheet(&mut self, name: &str, sections: &[Section]) -> Markup {
        let (first, mut rest) = sections.split_first().expect("no chapter is empty");
        let is_figure = |b: &&Block| matches!(b, Block::Plot(_));
        let (figures, words): (Vec<&Block>, Vec<&Block>) = first.blocks.iter().partition(is_figure);
        let id = self.id(name);
        self.contents.push((id.clone(), name.to_owned()));
        let words = self.blocks.all(&first.heading, &words);
        let figures = (!figures.is_empty()).then(|| self.blocks.all(&first.heading, &figures));
        let beside = match (first.heading == VERDICT, &figures, rest) {
            (true, ..) => self.findings_in_short(),
            (false, Some(_), [next, others @ ..]) => {
                rest = others;
                self.section(next, name, 3)
            }
            _ => Markup::default(),
        };
        html! {
            section class="chapter sheet" aria-labelledby=(id) {
                (heading(2, Some(&id), &html! { (name) })) "\n"
                (words)
                @if let Some(figures) = figures {
                    div class="beside" { (figures) (beside) } "\n"
                } @else {
                    (beside)
                }
                @for section in rest { (self.section(section, name, 3)) }
            }
            "\n"
        }
    }

    /// All that folds on a screen and stays off paper, unless it is asked for.
    fn appendix(&mut self) -> Markup {
        let prints = self.report.appendix_prints;
        let id = self.id("Appendix");
        html! {
            section class=(if prints { "appendix" } else { "appendix folds" }) aria-labelledby=(id) {
                (heading(2, Some(&id), &html! { "Appendix" })) "\n"
                @if !prints {
                    p { "What the sheets rest on. Open what you want to read; " code { "report --appendix" } " prints all of it." }
                }
                (self.chapters(true))
                (self.behind(3))
            }
            "\n"
        }
    }

    /// What stands behind all chapters.
    fn behind(&mut self, level: usize) -> Markup {
        let report = self.report;
        let units = self.blocks.units;
        html! {
            (self.list("Notes", &told(&report.notes, units), level))
            (self.list("Assumptions", &told(&report.assumptions, units), level))
            (self.sources(level))
        }
    }

    /// A chapter; in the appendix one that folds.
    fn chapter(
        &mut self,
        name: &str,
        level: usize,
        body: impl FnOnce(&mut Self) -> Markup,
    ) -> Markup {
        let id = self.id(name);
        self.contents.push((id.clone(), name.to_owned()));
        let heading = heading(level, Some(&id), &html! { (name) });
        let body = body(self);
        if level == 2 {
            return html! {
                section class="chapter" aria-labelledby=(id) { (heading) "\n" (body) } "\n"
            };
        }
        let open = self.report.appendix_prints;
        html! {
            details class="chapter" open[open] { summary { (heading) } "\n" (body) } "\n"
        }
    }

    /// A part under a heading of a level; `None`: without one.
    fn part(&mut self, name: &str, level: Option<usize>, body: &Markup) -> Markup {
        let id = level.map(|_| self.id(name));
        let title = linked(name, &self.report.sources);
        if let (Some(2), Some(id)) = (level, &id) {
            self.contents.push((id.clone(), name.to_owned()));
        }
        html! {
            section class="part" aria-labelledby=[&id] {
                @if let Some(level) = level {
                    (heading(level, id.as_deref(), &title)) "\n"
                }
                div class="body" { (body) }
            }
            "\n"
        }
    }

    /// A section under its heading; a chapter's section of the same name has none.
    fn section(&mut self, section: &Section, chapter: &str, level: usize) -> Markup {
        let blocks: Vec<&Block> = section.blocks.iter().collect();
        let body = self.blocks.all(&section.heading, &blocks);
        let level = (section.heading != chapter).then_some(level);
        let verdict = section.heading == VERDICT && !self.report.has_appendix();
        html! {
            (self.part(&section.heading, level, &body))
            @if verdict { (self.findings(Some(level.unwrap_or(3)))) }
        }
    }

    /// Findings at length, under a heading of a level.
    fn findings(&mut self, level: Option<usize>) -> Markup {
        let Some(found) = &self.report.findings else {
            return Markup::default();
        };
        let lines = self.blocks.file_lines();
        let body = findings::all(found, level.map_or(4, |l| l + 1), lines, self.report);
        self.part("Findings", level, &body)
    }

    /// Findings in a sentence each, numbered as in the line diagram.
    fn findings_in_short(&mut self) -> Markup {
        let Some(found) = &self.report.findings else {
            return Markup::default();
        };
        let body = findings::short(found, self.report);
        self.part("Findings", Some(3), &body)
    }

    fn list(&mut self, name: &str, items: &[impl AsRef<str>], level: usize) -> Markup {
        let sources = &self.report.sources;
        if items.is_empty() {
            return Markup::default();
        }
        self.chapter(name, level, |_| listed(items, sources))
    }

    fn sources(&mut self, level: usize) -> Markup {
        let sources = &self.report.sources;
        if sources.is_empty() {
            return Markup::default();
        }
        self.chapter("Sources", level, |_| {
            html! {
                dl class="sources" {
                    @for (key, citation) in sources {
                        div id={ "source-" (key) } { dt { "[" (key) "]" } dd { (citation) } } "\n"
                    }
                }
            }
        })
    }

    /// An id from a heading, used once.
    fn id(&mut self, heading: &str) -> String {
        let words: Vec<String> = heading
            .split(|c: char| !c.is_ascii_alphanumeric())
            .filter(|w| !w.is_empty())
            .map(str::to_ascii_lowercase)
            .collect();
        let stem = format!("s-{}", words.join("-"));
        let mut id = stem.clone();
        let mut n = 2;
        while !self.ids.insert(id.clone()) {
            id = format!("{stem}-{n}");
            n += 1;
        }
        id
    }
}

#[cfg(test)]
pub(crate) mod tests;
