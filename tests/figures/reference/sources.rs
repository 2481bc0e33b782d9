//! Every citation key that a fuel file or a doc comment names stands in `fuels/sources.toml`.
use fuelwright::fuel::{Grade, Library};
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

#[test]
fn every_source_has_a_grade_and_is_used() {
    let out = fuelwright_json(&["sources", "--format", "json"]);
    let sources = out["source_list"].as_array().expect("a list");
    assert!(sources.len() > 190);
    for source in sources {
        let key = source["key"].as_str().expect("a key");
        assert!(source["grade"].is_string(), "{key} has no grade");
        let used = source["used_in"].as_array().expect("a list");
        assert!(!used.is_empty(), "{key} is used nowhere: take it out");
    }
    let used_in = |key: &str| {
        let source = sources.iter().find(|s| s["key"] == key).expect("a source");
        source["used_in"].to_string()
    };
    assert!(used_in("en746-2").contains("rule SHU004"));
    assert!(used_in("lemmon2009").contains("fuel propane"));
    assert!(used_in("iso3821").contains("parts"));
    assert!(used_in("lichtarowicz1965").contains("flow::discharge::long"));
}

/// A limit that nobody has looked up says so where it is used.
#[test]
fn a_finding_says_where_its_limit_was_not_looked_up() {
    let library = Library::embedded();
    let mut seen = 0;
    for path in files("src/audit", "rs") {
        let text = fs::read_to_string(&path).expect("a source file");
        for (variant, memory) in [("Published(\"", false), ("Unconfirmed(\"", true)] {
            for key in text.split(variant).skip(1) {
                let key = key.split('"').next().expect("a split has a first part");
                let source = library.source(key).expect("a source");
                let from_memory = source.grade == Some(Grade::Memory);
                assert_eq!(from_memory, memory, "{}: {key}", path.display());
                seen += 1;
            }
        }
    }
    assert!(seen > 20, "only {seen} keys found: the search is broken");
}

fn fuelwright_json(arguments: &[&str]) -> serde_json::Value {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let arguments = ["fuelwright"].iter().chain(arguments);
    fuelwright::run(arguments, 80, &mut out, &mut err);
    assert!(err.is_empty(), "{}", String::from_utf8_lossy(&err));
    serde_json::from_slice(&out).expect("JSON")
}
