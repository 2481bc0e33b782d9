//! Where each source of `fuels/sources.toml` is used: one line a key, `key<TAB>place<TAB>place`, for the command
//! `sources`. A place is a fuel file, the parts catalogue, a rule of the audit by its id, a module, or the checks
//! of the program.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::{env, fs};

fn main() {
    for watched in [
        "build.rs",
        "src",
        "fuels",
        "tests/reference",
        "tests/figures/reference",
    ] {
        // a package comes without its tests
        if Path::new(watched).exists() {
            println!("cargo::rerun-if-changed={watched}");
        }
    }
    let listed = fs::read_to_string("fuels/sources.toml").expect("the list of sources");
    let mut uses: BTreeMap<&str, BTreeSet<String>> = listed
        .lines()
        .filter_map(|l| l.strip_prefix('[')?.strip_suffix(']'))
        .map(|key| (key, BTreeSet::new()))
        .collect();
    for path in files(&["src", "fuels", "tests/reference", "tests/figures/reference"]) {
        let text = fs::read_to_string(&path).unwrap_or_default();
        let quoted = text.split(['"', '`', '[', ']', '\'', ',', '\n']);
        // a basis in the catalogue: the key, then what was done with it
        for word in quoted.filter_map(|w| w.split([' ', ':']).next()) {
            if let Some(places) = uses.get_mut(word) {
                places.insert(place(&path, &text));
            }
        }
    }
    let mut lines = String::new();
    for (key, places) in &uses {
        let places: Vec<&str> = places.iter().map(String::as_str).collect();
        lines += &[*key, "\t", &places.join("\t"), "\n"].concat();
    }
    let out = PathBuf::from(env::var_os("OUT_DIR").expect("cargo names it"));
    fs::write(out.join("source_uses.tsv"), lines).expect("the build directory can be written");
}

fn files(folders: &[&str]) -> Vec<PathBuf> {
    let mut folders: Vec<PathBuf> = folders.iter().map(PathBuf::from).collect();
    let mut found = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).into_iter().flatten() {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else if !path.ends_with("sources.toml") {
                found.push(path);
            }
        }
    }
    found
}

fn place(path: &Path, text: &str) -> String {
    let stem = path.with_extension("");
    let stem = stem.to_string_lossy().replace('\\', "/");
    if let Some(fuel) = stem.strip_prefix("fuels/") {
        return format!("fuel {fuel}");
    }
    if stem.starts_with("tests/") {
        return "checks".to_owned();
    }
    if path.ends_with("catalogue.toml") {
        return "parts".to_owned();
    }
    let rule = text.split_once("\nrule! {").and_then(|(_, rule)| {
        let id = rule.split('"').nth(1)?;
        Some(format!("rule {id}"))
    });
    rule.unwrap_or_else(|| {
        let module = stem.trim_start_matches("src/").trim_end_matches("/mod");
        module.replace('/', "::")
    })
}
