//! Every citation key that a fuel file or a doc comment names stands in `fuels/sources.toml`.
use fuelwright::fuel::Library;
use std::fs;
use std::path::{Path, PathBuf};

fn files(folder: &str, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join(folder)];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).expect("a folder of this package") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == ending) {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

/// The keys in backquotes that follow directly: `` `a`, `b` and `c` ``.
fn keys_after(mut rest: &str) -> Vec<&str> {
    let mut keys = Vec::new();
    loop {
        rest = rest.trim_start_matches([' ', ',', ';']);
        rest = rest.strip_prefix("and ").unwrap_or(rest).trim_start();
        let Some((key, after)) = rest.strip_prefix('`').and_then(|r| r.split_once('`')) else {
            return keys;
        };
        keys.push(key);
        rest = after;
    }
}

#[test]
fn every_source_key_in_a_fuel_file_is_explained() {
    let library = Library::embedded();
    let mut seen = 0;
    for path in files("fuels", "toml") {
        let text = fs::read_to_string(&path).expect("a fuel file");
        for line in text.lines().filter(|l| !l.trim_start().starts_with('#')) {
            for part in line.split("source = \"").skip(1) {
                let key = part.split('"').next().expect("a split has a first part");
                assert!(library.source(key).is_some(), "{}: {key}", path.display());
                seen += 1;
            }
        }
    }
    assert!(seen > 250, "only {seen} keys found: the search is broken");
}

#[test]
fn every_source_key_in_the_documentation_is_explained() {
    let library = Library::embedded();
    let mut unknown = Vec::new();
    let mut seen = 0;
    for path in files("src", "rs") {
        let text = fs::read_to_string(&path).expect("a source file");
        for (i, line) in text.lines().enumerate() {
            let Some((_, after)) = line.split_once("**Source:**") else {
                continue;
            };
            for key in keys_after(after) {
                seen += 1;
                if library.source(key).is_none() {
                    unknown.push(format!("{}:{}: {key}", path.display(), i + 1));
                }
            }
        }
    }
    assert!(
        unknown.is_empty(),
        "not in fuels/sources.toml:\n{}",
        unknown.join("\n")
    );
    assert!(seen > 10, "only {seen} keys found: the search is broken");
}
