//! Pages for users: the README is short, what they link is there, and every model names its source and its test.

use fuelwright::fuel::Library;
use regex::Regex;
use std::fs;
use std::path::{Path, PathBuf};

/// Bytes.
const README_AT_MOST: usize = 9_000;
/// Where the tests that `docs/models.md` names stand.
const TESTS: [&str; 3] = ["tests/figures/reference", "tests", ""];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The README and the pages of `docs`.
pub(super) fn pages() -> Vec<(PathBuf, String)> {
    let docs = fs::read_dir(root().join("docs")).expect("a folder");
    let mut paths: Vec<PathBuf> = docs.map(|entry| entry.expect("an entry").path()).collect();
    paths.push(root().join("README.md"));
    paths.sort();
    let read = |path: PathBuf| {
        let text = fs::read_to_string(&path).expect("a page");
        (path, text)
    };
    paths.into_iter().map(read).collect()
}

fn page(name: &str) -> String {
    fs::read_to_string(root().join(name)).expect("a page")
}

#[test]
fn the_readme_is_short() {
    let bytes = page("README.md").len();
    assert!(bytes <= README_AT_MOST, "{bytes} bytes");
}

#[test]
fn every_file_that_a_page_links_is_there() {
    let link = Regex::new(r"\]\(([^)#]+)[^)]*\)").expect("a pattern");
    let mut seen = 0;
    for (path, text) in pages() {
        let folder = path.parent().expect("a folder");
        for found in link.captures_iter(&text) {
            let to = &found[1];
            assert!(folder.join(to).exists(), "{}: {to}", path.display());
            seen += 1;
        }
    }
    assert!(seen > 10, "only {seen} links found: the search is broken");
}

fn between_backticks(cell: &str) -> impl Iterator<Item = &str> {
    cell.split('`').skip(1).step_by(2)
}

#[test]
fn every_model_names_sources_and_tests_that_are_there() {
    let library = Library::embedded();
    let text = page("docs/models.md");
    let heads = ["| gives |", "| --- |"];
    let rows = text
        .lines()
        .filter(|l| l.starts_with('|') && heads.iter().all(|head| !l.starts_with(head)));
    let mut seen = 0;
    for row in rows {
        let cells: Vec<&str> = row.trim_matches('|').split('|').map(str::trim).collect();
        let [_, _, _, source, check] = cells[..] else {
            panic!("five columns: {row}");
        };
        assert!(!source.is_empty() && !check.is_empty(), "{row}");
        for key in between_backticks(source) {
            assert!(library.source(key).is_some(), "{key}: {row}");
        }
        for file in between_backticks(check) {
            let mut places = TESTS.iter().map(|folder| root().join(folder).join(file));
            assert!(places.any(|path| path.is_file()), "{file}: {row}");
        }
        seen += 1;
    }
    assert!(seen > 50, "only {seen} models found: the search is broken");
}
