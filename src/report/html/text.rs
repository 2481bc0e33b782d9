//! Text of a page: with links to the sources it names.

use maud::{Markup, html};
use std::collections::BTreeMap;

/// A word of more letters may be broken.
const WORD: usize = 20;

/// A heading of a level below the title's.
pub(super) fn heading(level: usize, id: Option<&str>, text: &Markup) -> Markup {
    match level {
        2 => html! { h2 id=[id] { (text) } },
        3 => html! { h3 id=[id] { (text) } },
        _ => html! { h4 id=[id] { (text) } },
    }
}

/// Sentences under one another.
pub(super) fn listed(items: &[impl AsRef<str>], sources: &BTreeMap<String, String>) -> Markup {
    html! {
        ul class="prose" {
            @for item in items { li { (linked(item.as_ref(), sources)) } "\n" }
        }
    }
}

/// A text as markup; what stands between backquotes is code, and a key in brackets becomes a link where the page explains it.
pub(super) fn linked(text: &str, sources: &BTreeMap<String, String>) -> Markup {
    let mut out = Markup::default();
    let mut rest = text;
    while let Some((before, code, behind)) = first_code(rest) {
        out.0 += &html! { (with_sources(before, sources)) code { (breakable(code)) } }.0;
        rest = behind;
    }
    out.0 += &with_sources(rest, sources).0;
    out
}

/// What stands before, between and behind the first pair of backquotes.
fn first_code(text: &str) -> Option<(&str, &str, &str)> {
    let (before, rest) = text.split_once('`')?;
    let (code, behind) = rest.split_once('`')?;
    Some((before, code, behind))
}

fn with_sources(text: &str, sources: &BTreeMap<String, String>) -> Markup {
    let mut out = Markup::default();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('[') {
        out.0 += &html! { (breakable(before)) "[" }.0;
        let Some((inside, behind)) = after.split_once(']') else {
            rest = after;
            continue;
        };
        let keys: Vec<&str> = inside.split(',').map(str::trim).collect();
        let known = keys.iter().all(|k| sources.contains_key(*k));
        out.0 += &html! {
            @if known {
                @for (i, key) in keys.iter().enumerate() {
                    @if i > 0 { ", " }
                    (source_link(key))
                }
            } @else {
                (breakable(inside))
            }
            "]"
        }
        .0;
        rest = behind;
    }
    out.0 += &breakable(rest).0;
    out
}

/// A text as markup whose long words may be broken behind a comma, a point and the like, where a phone has no
/// room for them: `methane:92.5,ethane:5`.
fn breakable(text: &str) -> Markup {
    html! {
        @for word in text.split_inclusive([' ', '\n']) {
            @for (i, piece) in pieces(word).into_iter().enumerate() {
                @if i > 0 { wbr; }
                (piece)
            }
        }
    }
}

fn pieces(word: &str) -> Vec<&str> {
    let mut pieces = Vec::new();
    let mut start = 0;
    let mut before = ' ';
    let mut letters = word.char_indices().peekable();
    let long = word.chars().count() > WORD;
    while let Some((_, c)) = letters.next().filter(|_| long) {
        let (at, next) = letters.peek().copied().unwrap_or((word.len(), ' '));
        let in_number = before.is_ascii_digit() && next.is_ascii_digit();
        if matches!(c, ',' | ';' | '.' | '/' | '_' | '-' | '=')
            && !next.is_whitespace()
            && !in_number
        {
            pieces.push(&word[start..at]);
            start = at;
        }
        before = c;
    }
    pieces.push(&word[start..]);
    pieces
}

/// A link to a source of the page.
pub(super) fn source_link(key: &str) -> Markup {
    html! { a href={ "#source-" (key) } { (key) } }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_word_may_be_broken_behind_a_comma_and_no_number_is() {
        let none = BTreeMap::new();
        assert_eq!(
            linked("methane:92.5,ethane:5,propane:1.3 <x>", &none).0,
            "methane:92.5,<wbr>ethane:5,<wbr>propane:1.3 &lt;x&gt;"
        );
        assert_eq!(linked("a,b c-d", &none).0, "a,b c-d");
    }

    #[test]
    fn backquotes_become_code_and_one_alone_stays() {
        let none = BTreeMap::new();
        assert_eq!(
            linked("no `[switch]` & no `x`; 5` wide", &none).0,
            "no <code>[switch]</code> &amp; no <code>x</code>; 5` wide"
        );
    }
}
