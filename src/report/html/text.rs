//! Text of a page: escaped, with links to the sources it names.

use crate::report::plot::escaped;
use std::collections::BTreeMap;

/// A text as markup; a key in brackets becomes a link where the page explains it.
pub(super) fn linked(text: &str, sources: &BTreeMap<String, String>) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('[') {
        out.push_str(&escaped(before));
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
            out.push_str(&format!("[{}]", escaped(inside)));
        }
        rest = behind;
    }
    out.push_str(&escaped(rest));
    out
}

/// A link to a source of the page.
pub(super) fn source_link(key: &str) -> String {
    let key = escaped(key);
    format!("<a href=\"#source-{key}\">{key}</a>")
}
