//! Rules about the code itself: which module may use which, where the outside world may be touched,
//! how files begin, how long they are, and words the program does not use.

use std::fs;
use std::path::{Path, PathBuf};

/// Modules from left to right; those of one group may use what lies to the left, and themselves.
const ORDER: &[&[&str]] = &[
    &["numerics", "quantity"],
    &["fuel"],
    &["eos"],
    &["combustion", "flow"],
    &["injector", "tank"],
    &["train"],
    &["convert", "mass", "leak"],
    &["audit"],
    &["tolerance"],
    &["report"],
    &["input"],
    &["cli"],
];

/// Uses inside a group that are meant: the right one may use the left one.
const WITHIN_GROUP: &[(&str, &str)] = &[("leak", "mass"), ("mass", "convert")];

fn sources(root: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    let mut folders = vec![root.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).expect("a folder of this package") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                files.push(path);
            }
        }
    }
    files.sort();
    files
}

fn src() -> Vec<(PathBuf, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let strip = |p: &PathBuf| p.strip_prefix(&root).expect("below src").to_owned();
    sources(&root)
        .iter()
        .map(|p| (strip(p), fs::read_to_string(p).expect("a source file")))
        .collect()
}

/// The module a file belongs to: the first part of its path, `src/eos/mod.rs` -> `eos`.
fn module(path: &Path) -> String {
    let first = path.components().next().expect("a path");
    let first = first.as_os_str().to_string_lossy();
    first.trim_end_matches(".rs").to_owned()
}

fn rank(module: &str) -> Option<usize> {
    ORDER.iter().position(|group| group.contains(&module))
}

/// Lines of code with their numbers, without comments.
fn code(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.lines()
        .enumerate()
        .filter(|(_, line)| !line.trim_start().starts_with("//"))
        .map(|(i, line)| (i + 1, line))
}

/// Names of modules that stand behind `crate::`, also in lists over several lines.
fn used_modules(text: &str) -> Vec<(usize, String)> {
    let whole: String = text
        .lines()
        .map(|l| {
            if l.trim_start().starts_with("//") {
                ""
            } else {
                l
            }
        })
        .flat_map(|l| [l, "\n"])
        .collect();
    let mut found = Vec::new();
    for (at, mark) in whole.match_indices("crate::") {
        let line = whole[..at].matches('\n').count() + 1;
        let behind = &whole[at + mark.len()..];
        let names = behind
            .strip_prefix('{')
            .map_or_else(|| vec![behind.to_owned()], first_level);
        found.extend(names.iter().map(|n| (line, name(n))));
    }
    found
}

/// The entries of a list in braces, what is nested in them left out.
fn first_level(list: &str) -> Vec<String> {
    let mut entries = vec![String::new()];
    let mut depth = 0;
    for c in list.chars() {
        match c {
            '{' => depth += 1,
            '}' if depth == 0 => break,
            '}' => depth -= 1,
            ',' if depth == 0 => entries.push(String::new()),
            c if depth == 0 => entries.last_mut().expect("begun with one").push(c),
            _ => {}
        }
    }
    entries
}

/// The identifier at the front of a path.
fn name(path: &str) -> String {
    path.trim()
        .chars()
        .take_while(|c| c.is_alphanumeric() || *c == '_')
        .collect()
}

#[test]
fn arrows_between_modules_point_one_way() {
    let mut wrong = Vec::new();
    for (path, text) in src() {
        let from = module(&path);
        if from == "lib" || from == "main" {
            continue;
        }
        let Some(from_rank) = rank(&from) else {
            wrong.push(format!(
                "{}: module `{from}` has no place in the order",
                path.display()
            ));
            continue;
        };
        for (line, to) in used_modules(&text) {
            let Some(to_rank) = rank(&to) else { continue };
            let allowed = to_rank < from_rank
                || to == from
                || WITHIN_GROUP.contains(&(from.as_str(), to.as_str()));
            if !allowed {
                wrong.push(format!("{}:{line}: `{from}` uses `{to}`", path.display()));
            }
        }
    }
    assert!(wrong.is_empty(), "wrong arrows:\n{}", wrong.join("\n"));
}

#[test]
fn the_core_touches_nothing_outside() {
    const OUTSIDE: &[&str] = &[
        "std::fs",
        "std::env",
        "std::process",
        "std::net",
        "std::io::std",
        "SystemTime",
        "Instant::now",
        "println!",
        "print!(",
        "eprintln!",
        "eprint!(",
        "dbg!(",
        "HashMap",
        "HashSet",
        "thread::sleep",
    ];
    let mut wrong = Vec::new();
    for (path, text) in src() {
        let module = module(&path);
        if module == "cli" || module == "main" {
            continue;
        }
        let reads_files = path == Path::new("input/file.rs");
        for (line, code) in code(&text) {
            for word in OUTSIDE {
                if code.contains(word) && !(reads_files && *word == "std::fs") {
                    wrong.push(format!("{}:{line}: {word}", path.display()));
                }
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "outside world in the core:\n{}",
        wrong.join("\n")
    );
}

#[test]
fn every_file_says_what_it_is_and_stays_short() {
    let mut wrong = Vec::new();
    for (path, text) in src() {
        if !text.starts_with("//! ") {
            wrong.push(format!("{}: the first line is no `//!`", path.display()));
        }
        let lines = text.lines().count();
        if lines > 500 {
            wrong.push(format!("{}: {lines} lines", path.display()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn text_that_people_read_makes_no_promise() {
    // The program says what it checked and what it found. It never calls anything by these words.
    let promises = [
        ["sa", "fe"].concat(),
        ["sa", "fely"].concat(),
        ["appro", "ved"].concat(),
    ];
    let mut wrong = Vec::new();
    for (path, text) in src() {
        for (line, code) in text.lines().enumerate() {
            let words = code.to_lowercase();
            let words = words.split(|c: char| !(c.is_alphanumeric() || c == '_' || c == '-'));
            for word in words {
                if promises.iter().any(|p| p == word) {
                    wrong.push(format!("{}:{}: `{word}`", path.display(), line + 1));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn lists_behind_crate_are_read_whole() {
    let text =
        "use crate::{\n  eos::{self, Backend},\n  fuel::Library};\nlet x = crate::tank::fill();\n";
    let names: Vec<String> = used_modules(text).into_iter().map(|(_, n)| n).collect();
    assert_eq!(names, ["eos", "fuel", "tank"]);
}
