//! The table of every key of a rig file, made from the same declarations that read it.

use super::field::{Bounds, Field};
use super::raw::sections;
use std::fmt::Write;

/// Every key as Markdown: one table for each table of the file.
pub fn markdown() -> String {
    let mut out = String::new();
    for section in sections() {
        let _ = writeln!(out, "### `{}`\n\n{}\n", section.heading, section.meaning);
        out.push_str("| key | takes | must be | example | meaning |\n");
        out.push_str("| --- | --- | --- | --- | --- |\n");
        for field in section.fields {
            let _ = writeln!(
                out,
                "| `{}`{} | {} | {} | `{}` | {} |",
                field.key,
                if field.required { " **required**" } else { "" },
                cell(&taken(field)),
                range(field),
                cell(field.example),
                cell(field.meaning),
            );
        }
        out.push('\n');
    }
    out
}

/// What a key takes, and whether `"none"` is an answer.
pub fn taken(field: &Field) -> String {
    if field.takes_none {
        format!("{}, or `\"none\"`", field.takes)
    } else {
        field.takes.to_string()
    }
}

pub fn range(field: &Field) -> String {
    match field.bounds {
        Bounds::Any => String::new(),
        _ => field.range(),
    }
}

fn cell(text: &str) -> String {
    text.replace('|', "\\|")
}
