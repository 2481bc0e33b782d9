//! How much of the code is written twice: runs of six lines or more that stand elsewhere to the letter. Imports, blank
//! lines and lone punctuation do not count, comments do; every copy but the first is counted.

use super::architecture::src;
use std::collections::{BTreeSet, HashMap};
use std::fmt::Write;
use std::path::Path;

const RUN: usize = 6;
/// Lines, in all of `src/`; the program has some 90,000.
const MOST: usize = 200;

/// What counts of a file, with the numbers of its lines.
fn counted(text: &str) -> Vec<(usize, &str)> {
    let mut importing = false;
    let mut lines = Vec::new();
    for (i, line) in text.lines().map(str::trim).enumerate() {
        let begins = ["use ", "pub use ", "pub(crate) use "];
        importing |= begins.iter().any(|b| line.starts_with(b));
        if !importing && line.contains(char::is_alphanumeric) {
            lines.push((i + 1, line));
        }
        importing &= !line.ends_with(';');
    }
    lines
}

/// How many lines are copies, and where each run of them stands.
fn copies<'a>(files: impl IntoIterator<Item = (&'a Path, &'a str)>) -> (usize, String) {
    let mut first = HashMap::new();
    let mut copies = BTreeSet::new();
    let mut told = String::new();
    for (path, text) in files {
        for run in counted(text).windows(RUN) {
            let words: Vec<&str> = run.iter().map(|l| l.1).collect();
            let there = *first.entry(words).or_insert((path, run[0].0));
            if there != (path, run[0].0) {
                let new = run.iter().filter(|l| copies.insert((path, l.0))).count();
                if new == RUN {
                    let (of, line) = there;
                    let (path, of, at) = (path.display(), of.display(), run[0].0);
                    writeln!(told, "{path}:{at} as {of}:{line}").expect("a string grows");
                }
            }
        }
    }
    (copies.len(), told)
}

#[test]
fn little_is_written_twice() {
    let files = src();
    let (lines, told) = copies(files.iter().map(|(p, text)| (p.as_path(), text.as_str())));
    assert!(lines <= MOST, "{lines} lines\n{told}");
}

#[test]
fn copies_are_seen() {
    let run = "use a;\na\nb\n\nc\n}\nd\ne\nf\n";
    let (one, two) = (Path::new("one"), Path::new("two"));
    assert_eq!(copies([(one, run)]).0, 0);
    assert_eq!(copies([(one, run), (two, run)]).0, 6);
    assert_eq!(copies([(one, run), (two, &run.replace('f', "g"))]).0, 0);
}
