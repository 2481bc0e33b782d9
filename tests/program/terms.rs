//! The words of the trade: those that they replaced are not said any more.

use super::architecture::src;
use std::collections::BTreeMap;

/// What people read: texts and pages of rules in the code, README, docs, examples.
fn read_by_people() -> BTreeMap<String, String> {
    let root = env!("CARGO_MANIFEST_DIR");
    let mut all: BTreeMap<String, String> = src()
        .into_iter()
        .map(|(path, text)| (path.display().to_string(), text))
        .collect();
    for folder in ["docs", "examples", "."] {
        let folder = std::path::Path::new(root).join(folder);
        for entry in folder.read_dir().expect("a folder") {
            let path = entry.expect("an entry").path();
            let ending = path.extension().and_then(|e| e.to_str());
            let name = path.file_name().and_then(|n| n.to_str());
            if matches!(ending, Some("md" | "toml")) && name != Some("DEVELOPERS.md") {
                let text = std::fs::read_to_string(&path).expect("text");
                all.insert(path.display().to_string(), text);
            }
        }
    }
    all
}

/// The right column of the table under `## Terms`.
fn replaced() -> Vec<String> {
    let page = include_str!("../../DEVELOPERS.md");
    let section = page.split("## Terms").nth(1).expect("it is there");
    let section = section.split("\n## ").next().expect("one");
    let rows = section.lines().filter(|l| l.starts_with("| ")).skip(2);
    let words = rows.filter_map(|row| row.trim_matches('|').split('|').nth(1));
    let words = words.flat_map(|cell| cell.split(';'));
    words.map(|w| w.trim().to_lowercase()).collect()
}

#[test]
fn words_that_were_replaced_are_gone() {
    let replaced = replaced();
    assert!(replaced.len() > 20, "{replaced:?}");
    let mut found = Vec::new();
    for (path, text) in read_by_people() {
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        // a comment that goes on in the next line
        let text = text
            .replace(" /// ", " ")
            .replace(" //! ", " ")
            .to_lowercase();
        for word in &replaced {
            if let Some(at) = text.find(word.as_str()) {
                let from = text.floor_char_boundary(at.saturating_sub(40));
                let to = text.floor_char_boundary((at + 60).min(text.len()));
                found.push(format!("{path}: `{word}` in …{}…", &text[from..to]));
            }
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}
