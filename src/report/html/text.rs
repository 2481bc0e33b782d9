//! Text of a page: escaped, with links to the sources it names.

use crate::report::plot::escaped;
use std::collections::BTreeMap;

/// A word of more letters may be broken.
const WORD: usize = 20;

/// A text as markup; what stands between backquotes is code, and a key in brackets becomes a link where the page explains it.
pub(super) fn linked(text: &str, sources: &BTreeMap<String, String>) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, code, behind)) = first_code(rest) {
        out.push_str(&with_sources(before, sources));
        out.push_str(&format!("<code>{}</code>", breakable(code)));
        rest = behind;
    }
    out.push_str(&with_sources(rest, sources));
    out
}

/// What stands before, between and behind the first pair of backquotes.
fn first_code(text: &str) -> Option<(&str, &str, &str)> {
    let (before, rest) = text.split_once('`')?;
    let (code, behind) = rest.split_once('`')?;
    Some((before, code, behind))
}

fn with_sources(text: &str, sources: &BTreeMap<String, String>) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('[') {
        out.push_str(&breakable(before));
        let Some((inside, behind)) = after.split_once(']') else {
            out.push('[');
            rest = after;
            continue;
        };
        let keys: Vec<&str> = inside.split(',').map(str::trim).collect();
        if keys.iter().all(|k| sources.contains_key(*k)) {
            let links: Vec<String> = keys.iter().map(|k| source_link(k)).collect();
            out.push_str(&format!("[{}]", links.join(", ")));
        } else {
            out.push_str(&format!("[{}]", breakable(inside)));
        }
        rest = behind;
    }
    out.push_str(&breakable(rest));
    out
}

/// A text as markup whose long words may be broken behind a comma, a point and the like, where a phone has no
/// room for them: `methane:92.5,ethane:5`.
fn breakable(text: &str) -> String {
    let mut out = String::new();
    for part in text.split_inclusive([' ', '\n']) {
        if part.chars().count() <= WORD {
            out.push_str(&escaped(part));
            continue;
        }
        let mut letters = part.chars().peekable();
        let mut before = ' ';
        while let Some(c) = letters.next() {
            out.push_str(&escaped(c.encode_utf8(&mut [0; 4])));
            let next = letters.peek().copied().unwrap_or(' ');
            let in_number = before.is_ascii_digit() && next.is_ascii_digit();
            if matches!(c, ',' | ';' | '.' | '/' | '_' | '-' | '=')
                && !next.is_whitespace()
                && !in_number
            {
                out.push_str("<wbr/>");
            }
            before = c;
        }
    }
    out
}

/// A link to a source of the page.
pub(super) fn source_link(key: &str) -> String {
    let key = escaped(key);
    format!("<a href=\"#source-{key}\">{key}</a>")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_word_may_be_broken_behind_a_comma_and_no_number_is() {
        let none = BTreeMap::new();
        assert_eq!(
            linked("methane:92.5,ethane:5,propane:1.3 <x>", &none),
            "methane:92.5,<wbr/>ethane:5,<wbr/>propane:1.3 &lt;x&gt;"
        );
        assert_eq!(linked("a,b c-d", &none), "a,b c-d");
    }

    #[test]
    fn backquotes_become_code_and_one_alone_stays() {
        let none = BTreeMap::new();
        assert_eq!(
            linked("no `[switch]` & no `x`; 5` wide", &none),
            "no <code>[switch]</code> &amp; no <code>x</code>; 5` wide"
        );
    }
}
