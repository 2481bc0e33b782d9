//! A report as one page: HTML with its style and figures in it, no script, nothing from elsewhere.

#![allow(
    clippy::format_push_string,
    reason = "markup reads as it will stand; a page is written once"
)]

mod blocks;
mod findings;
mod text;

use super::audit::VERDICT;
use super::plot::{self, escaped};
use super::words::told;
use super::{Report, Section, Topic};
use crate::quantity::show::Units;
use blocks::Blocks;
use std::collections::BTreeSet;
use text::linked;

/// Style of the page.
const STYLE: &str = include_str!("page.css");

/// The page.
pub fn render(report: &Report, units: Units) -> String {
    let mut page = Page {
        out: String::new(),
        report,
        blocks: Blocks::new(report, units),
        contents: Vec::new(),
        ids: BTreeSet::new(),
    };
    page.chapters();
    let (name, version) = (env!("CARGO_PKG_NAME"), env!("CARGO_PKG_VERSION"));
    let title = escaped(&report.title);
    let style = format!("{STYLE}{}", plot::STYLE);
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n\
         <meta name=\"generator\" content=\"{name} {version}\"/>\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n\
         <meta name=\"color-scheme\" content=\"light dark\"/>\n<title>{title}</title>\n<style>\n{style}</style>\n</head>\n\
         <body>\n<a class=\"skip\" href=\"#main\">To the content</a>\n{header}{contents}<main id=\"main\">\n{body}</main>\n\
         <footer><p>{closing}</p></footer>\n</body>\n</html>\n",
        header = header(report, &title, version),
        contents = contents(&page.contents),
        body = page.out,
        closing = escaped(super::cautions::CLOSING),
    )
}

/// Title, and for the page of a rig the lines that people fill in by hand.
fn header(report: &Report, title: &str, version: &str) -> String {
    let by_hand = if report.topic == Topic::Report {
        let line = |name: &str| format!("<div><dt>{name}</dt><dd></dd></div>\n");
        let lines: String = ["Date", "Run by", "Reviewed by"].map(line).concat();
        format!("<dl class=\"by-hand\">\n{lines}</dl>\n")
    } else {
        String::new()
    };
    format!(
        "<header>\n<div><h1>{title}</h1>\n<p class=\"maker\">fuelwright {version}</p></div>\n{by_hand}</header>\n"
    )
}

fn contents(list: &[(String, String)]) -> String {
    if list.len() < 3 {
        return String::new();
    }
    let item = |(id, heading): &(String, String)| {
        format!("<li><a href=\"#{id}\">{}</a></li>\n", escaped(heading))
    };
    let items: String = list.iter().map(item).collect();
    format!("<nav aria-label=\"Contents\">\n<ul>\n{items}</ul>\n</nav>\n")
}

struct Page<'a> {
    out: String,
    report: &'a Report,
    blocks: Blocks<'a>,
    contents: Vec<(String, String)>,
    ids: BTreeSet<String>,
}

impl Page<'_> {
    fn chapters(&mut self) {
        let sections = &self.report.sections;
        let has_verdict = sections.iter().any(|s| s.heading == VERDICT);
        let mut rest = sections.as_slice();
        while let Some(first) = rest.first() {
            let same = |s: &&Section| s.chapter.is_some() && s.chapter == first.chapter;
            let n = rest.iter().take_while(same).count().max(1);
            let (these, others) = rest.split_at(n);
            match &first.chapter {
                Some(chapter) => {
                    self.open_chapter(chapter);
                    for section in these {
                        // a chapter's only section need not say its name again
                        let named = section.heading != *chapter;
                        self.section(section, named.then_some(3), 4);
                    }
                    self.out.push_str("</section>\n");
                }
                None => self.section(first, Some(2), 3),
            }
            rest = others;
        }
        if !has_verdict {
            self.findings(2);
        }
        let report = self.report;
        self.list("Notes", &told(&report.notes, self.blocks.units));
        self.list("Assumptions", &told(&report.assumptions, self.blocks.units));
        self.sources();
        let cautions: Vec<String> = report.cautions().iter().map(|c| (*c).to_owned()).collect();
        self.list("Cautions", &cautions);
    }

    fn open_chapter(&mut self, heading: &str) {
        let id = self.id(heading);
        self.out.push_str(&format!(
            "<section class=\"chapter\" aria-labelledby=\"{id}\">\n<h2 id=\"{id}\">{}</h2>\n",
            escaped(heading)
        ));
        self.contents.push((id, heading.to_owned()));
    }

    /// A section under a heading of a level; `None`: without one.
    fn section(&mut self, section: &Section, level: Option<usize>, findings: usize) {
        let body = self.blocks.all(&section.heading, &section.blocks);
        if let Some(level) = level {
            let id = self.id(&section.heading);
            let heading = escaped(&section.heading);
            self.out.push_str(&format!(
                "<section class=\"part\" aria-labelledby=\"{id}\">\n<h{level} id=\"{id}\">{heading}</h{level}>\n<div class=\"body\">\n"
            ));
            if level == 2 {
                self.contents.push((id, section.heading.clone()));
            }
        } else {
            self.out
                .push_str("<section class=\"part\">\n<div class=\"body\">\n");
        }
        self.out.push_str(&body);
        self.out.push_str("</div>\n</section>\n");
        if section.heading == VERDICT {
            self.findings(findings - 1);
        }
    }

    fn findings(&mut self, level: usize) {
        let Some(found) = &self.report.findings else {
            return;
        };
        let id = self.id("Findings");
        let lines = self.blocks.file_lines();
        let body = findings::all(found, level + 1, lines, self.report);
        self.out.push_str(&format!(
            "<section class=\"part\" aria-labelledby=\"{id}\">\n<h{level} id=\"{id}\">Findings</h{level}>\n<div class=\"body\">\n{body}</div>\n</section>\n"
        ));
        if level == 2 {
            self.contents.push((id, "Findings".to_owned()));
        }
    }

    fn list(&mut self, heading: &str, items: &[String]) {
        if items.is_empty() {
            return;
        }
        self.open_chapter(heading);
        self.out.push_str("<ul class=\"prose\">\n");
        for item in items {
            let item = linked(item, &self.report.sources);
            self.out.push_str(&format!("<li>{item}</li>\n"));
        }
        self.out.push_str("</ul>\n</section>\n");
    }

    fn sources(&mut self) {
        if self.report.sources.is_empty() {
            return;
        }
        self.open_chapter("Sources");
        self.out.push_str("<dl class=\"sources\">\n");
        for (key, citation) in &self.report.sources {
            self.out.push_str(&format!(
                "<div id=\"source-{key}\"><dt>[{key}]</dt><dd>{citation}</dd></div>\n",
                key = escaped(key),
                citation = escaped(citation)
            ));
        }
        self.out.push_str("</dl>\n</section>\n");
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
