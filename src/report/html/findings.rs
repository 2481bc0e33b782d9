//! Findings of a page, heaviest first, each with its signal word.

use super::text::{heading, linked};
use crate::report::words::finding_at;
use crate::report::{Finding, Report, Signal};
use maud::{Markup, html};

/// All findings under headings of a level. `lines`: how many lines of the rig file the page lists.
pub(super) fn all(found: &[Finding], level: usize, lines: usize, report: &Report) -> Markup {
    html! {
        @if found.is_empty() {
            p { "none" }
        } @else {
            ol class="findings" {
                @for finding in found { (one(finding, level, lines, report)) "\n" }
            }
        }
    }
}

/// Of more findings, none but those of DANGER take their advice onto paper.
const MANY: usize = 24;

/// Each in a sentence with its first advice, under its number.
pub(super) fn short(found: &[Finding], report: &Report) -> Markup {
    html! {
        @if found.is_empty() {
            p { "none" }
        } @else {
            ol class=(if found.len() > MANY { "short many" } else { "short" }) {
                @for f in found {
                    li class=(class(f.signal)) {
                        span class="signal" { (f.signal.word()) } " "
                        (linked(&f.sentence, &report.sources)) " "
                        span class="advice" { (linked(f.first_advice(), &report.sources)) " " }
                        @if let Some(remedy) = &f.data.remedy {
                            span class="remedy" { (remedy) " " }
                        }
                        span class="rule" { (f.id) }
                    }
                    "\n"
                }
            }
        }
    }
}

fn class(signal: Signal) -> &'static str {
    match signal {
        Signal::Danger => "finding danger",
        Signal::Warning => "finding warning",
        Signal::Caution => "finding caution",
        Signal::Notice => "finding notice",
    }
}

fn one(f: &Finding, level: usize, lines: usize, report: &Report) -> Markup {
    let name = html! {
        span class="signal" { (f.signal.word()) } " " (f.title) " " span class="rule" { (f.id) }
    };
    let line = f.line.filter(|line| (1..=lines).contains(line));
    let at = html! {
        @if let Some(line) = line {
            a href={ "#L" (line) } { (finding_at(f)) }
        } @else {
            (finding_at(f))
        }
    };
    let text = |text: &str| linked(text, &report.sources);
    let beneath = f.beneath(finding_at(f)).into_iter();
    let rows = beneath.map(|(key, value)| {
        (
            key,
            if key == "at" {
                at.clone()
            } else {
                text(&value)
            },
        )
    });
    html! {
        li class=(class(f.signal)) {
            (heading(level, None, &name)) "\n"
            p { (text(&f.sentence)) } "\n"
            dl {
                @for (key, value) in rows {
                    div class=(key) { dt { (key) } dd { (value) } } "\n"
                }
            }
        }
    }
}
