//! A report as one page: HTML with its style and figures in it, no script, nothing from elsewhere.

mod blocks;
mod findings;
mod text;

use super::audit::VERDICT;
use super::words::told;
use super::{Report, Section, Topic, plot};
use crate::quantity::printable::printable;
use crate::quantity::show::Units;
use blocks::Blocks;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use std::collections::BTreeSet;
use text::{heading, linked};

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
        let same = |a: &Section, b: &Section| a.chapter.is_some() && a.chapter == b.chapter;
        let cautions: Vec<String> = report.cautions().iter().map(|c| (*c).to_owned()).collect();
        html! {
            @for these in report.sections.chunk_by(same) {
                @match &these[0].chapter {
                    Some(name) => (self.chapter(name, |page| html! {
                        @for section in these {
                            // a chapter's only section need not say its name again
                            @let named = section.heading != *name;
                            (page.section(section, named.then_some(3), 4))
                        }
                    })),
                    None => (self.section(&these[0], Some(2), 3)),
                }
            }
            @if !has_verdict { (self.findings(2)) }
            (self.list("Notes", &told(&report.notes, self.blocks.units)))
            (self.list("Assumptions", &told(&report.assumptions, self.blocks.units)))
            (self.sources())
            (self.list("Cautions", &cautions))
        }
    }

    fn chapter(&mut self, name: &str, body: impl FnOnce(&mut Self) -> Markup) -> Markup {
        let id = self.id(name);
        self.contents.push((id.clone(), name.to_owned()));
        html! {
            section class="chapter" aria-labelledby=(id) {
                (heading(2, Some(&id), &html! { (name) })) "\n"
                (body(self))
            }
            "\n"
        }
    }

    /// A part under a heading of a level; `None`: without one.
    fn part(&mut self, name: &str, level: Option<usize>, body: &Markup) -> Markup {
        let id = level.map(|_| self.id(name));
        if let (Some(2), Some(id)) = (level, &id) {
            self.contents.push((id.clone(), name.to_owned()));
        }
        html! {
            section class="part" aria-labelledby=[&id] {
                @if let Some(level) = level {
                    (heading(level, id.as_deref(), &html! { (name) })) "\n"
                }
                div class="body" { (body) }
            }
            "\n"
        }
    }

    fn section(&mut self, section: &Section, level: Option<usize>, findings: usize) -> Markup {
        let body = self.blocks.all(&section.heading, &section.blocks);
        html! {
            (self.part(&section.heading, level, &body))
            @if section.heading == VERDICT { (self.findings(findings - 1)) }
        }
    }

    fn findings(&mut self, level: usize) -> Markup {
        let Some(found) = &self.report.findings else {
            return Markup::default();
        };
        let lines = self.blocks.file_lines();
        let body = findings::all(found, level + 1, lines, self.report);
        self.part("Findings", Some(level), &body)
    }

    fn list(&mut self, name: &str, items: &[String]) -> Markup {
        let sources = &self.report.sources;
        if items.is_empty() {
            return Markup::default();
        }
        self.chapter(name, |_| {
            html! {
                ul class="prose" {
                    @for item in items { li { (linked(item, sources)) } "\n" }
                }
            }
        })
    }

    fn sources(&mut self) -> Markup {
        let sources = &self.report.sources;
        if sources.is_empty() {
            return Markup::default();
        }
        self.chapter("Sources", |_| {
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
