//! Findings of a page, heaviest first, each with its signal word.

use super::text::linked;
use crate::report::plot::escaped;
use crate::report::words::finding_at;
use crate::report::{Finding, Report, Signal};

/// All findings under headings of a level. `lines`: how many lines of the rig file the page lists.
pub(super) fn all(found: &[Finding], level: usize, lines: usize, report: &Report) -> String {
    if found.is_empty() {
        return "<p>none</p>\n".to_owned();
    }
    let mut out = String::from("<ol class=\"findings\">\n");
    for f in found {
        let class = match f.signal {
            Signal::Danger => "danger",
            Signal::Warning => "warning",
            Signal::Caution => "caution",
            Signal::Notice => "notice",
        };
        let (word, id, name) = (f.signal.word(), escaped(&f.id), escaped(&f.name));
        out.push_str(&format!(
            "<li class=\"finding {class}\">\n<h{level}><span class=\"signal\">{word}</span> {name} <span class=\"rule\">{id}</span></h{level}>\n<dl>\n"
        ));
        let at = escaped(&finding_at(f));
        let at = match f.line.filter(|line| (1..=lines).contains(line)) {
            Some(line) => format!("<a href=\"#L{line}\">{at}</a>"),
            None => at,
        };
        let text = |text: &str| linked(text, &report.sources);
        for (key, value) in [
            ("at", at),
            ("measured", text(&f.measured)),
            ("limit", text(&f.limit)),
            ("source", text(&f.source)),
            ("advice", text(&f.advice)),
        ] {
            if !value.is_empty() {
                out.push_str(&format!(
                    "<div class=\"{key}\"><dt>{key}</dt><dd>{value}</dd></div>\n"
                ));
            }
        }
        out.push_str("</dl>\n</li>\n");
    }
    out.push_str("</ol>\n");
    out
}
