//! What is published and what it stands on: files and size of the package, licences of the crates, crates that come
//! twice, the oldest compiler, what no other system than Unix has.

use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Largest sum of the files of the package, bytes: four fifths of what it was with tests and pictures.
const MOST_BYTES: u64 = 6 * 1024 * 1024;
/// Folders and files that a user needs.
const PUBLISHED: &[&str] = &[
    "Cargo.lock",
    "Cargo.toml",
    "Cargo.toml.orig",
    ".cargo_vcs_info.json",
    "LICENSE",
    "README.md",
    "build.rs",
    "docs/",
    "examples/",
    "fuels/",
    "src/",
];
/// Licences that ask for no more than their text to be kept.
const LICENCES: &[&str] = &[
    "0BSD",
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CC0-1.0",
    "ISC",
    "MIT",
    "MIT-0",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
    "Apache-2.0 WITH LLVM-exception",
];
/// Crates of the program that come in two versions, and why.
const DOUBLED: &[(&str, &str)] = &[(
    "syn",
    "macros only: serde's are ahead of those of tabled, thiserror and clap; nothing of it is in the program",
)];

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn cargo(arguments: &[&str]) -> String {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let out = Command::new(cargo)
        .args(arguments)
        .current_dir(root())
        .output()
        .expect("cargo starts");
    assert!(
        out.status.success(),
        "{arguments:?}: {}",
        String::from_utf8_lossy(&out.stderr)
    );
    String::from_utf8(out.stdout).expect("text")
}

fn rustc(arguments: &[&str]) -> String {
    let rustc = std::env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
    let out = Command::new(rustc).args(arguments).output();
    String::from_utf8(out.expect("rustc starts").stdout).expect("text")
}

/// Crates of the program and of its development with their licences.
fn crates() -> Vec<(String, Option<String>)> {
    let version = rustc(&["-vV"]);
    let host = version.lines().find_map(|l| l.strip_prefix("host: "));
    let host = host.expect("the compiler tells its host");
    let asked = [
        "metadata",
        "--format-version",
        "1",
        "--locked",
        "--filter-platform",
        host,
    ];
    let told = cargo(&asked);
    let told: Value = serde_json::from_str(&told).expect("JSON");
    let packages = told["packages"].as_array().expect("a list");
    let of = |p: &Value, key: &str| p[key].as_str().map(str::to_owned);
    packages
        .iter()
        .map(|p| (of(p, "name").expect("a name"), of(p, "license")))
        .collect()
}

/// Whether a licence expression can be met by the licences of the list.
fn is_met(expression: &str) -> bool {
    let expression = expression
        .replace(['(', ')'], " ")
        .replace(" / ", " OR ")
        .replace('/', " OR ");
    expression
        .split(" AND ")
        .all(|part| part.split(" OR ").any(|l| LICENCES.contains(&l.trim())))
}

#[test]
fn every_crate_has_a_licence_that_asks_for_no_more_than_its_text() {
    let all = crates();
    assert!(all.len() > 100, "{}", all.len());
    let wrong: Vec<_> = all
        .iter()
        .filter(|(_, l)| !l.as_deref().is_some_and(is_met))
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(!is_met("GPL-3.0"));
    assert!(!is_met("MIT AND GPL-3.0-only"));
}

#[test]
fn no_crate_comes_twice_without_a_reason() {
    let told = cargo(&[
        "tree",
        "--duplicates",
        "--edges",
        "normal,build",
        "--depth",
        "0",
        "--prefix",
        "none",
        "--locked",
    ]);
    let doubled: BTreeSet<&str> = told
        .lines()
        .filter_map(|l| l.split(' ').next())
        .filter(|n| !n.is_empty())
        .collect();
    let meant: BTreeSet<&str> = DOUBLED.iter().map(|(n, _)| *n).collect();
    assert_eq!(doubled, meant);
}

#[test]
fn the_package_holds_what_a_user_needs_and_no_more() {
    let told = cargo(&[
        "package",
        "--list",
        "--offline",
        "--allow-dirty",
        "--locked",
    ]);
    let files: Vec<&str> = told.lines().collect();
    let strange: Vec<&&str> = files
        .iter()
        .filter(|f| {
            let f = f.replace('\\', "/");
            !PUBLISHED
                .iter()
                .any(|p| f == *p || p.ends_with('/') && f.starts_with(p))
        })
        .collect();
    assert!(strange.is_empty(), "{strange:#?}");
    for needed in [
        "fuels/propane.toml",
        "src/main.rs",
        "examples/kiln-pilot.toml",
        "LICENSE",
    ] {
        assert!(files.contains(&needed), "{needed}");
    }
    let bytes: u64 = files
        .iter()
        .filter_map(|f| Some(fs::metadata(root().join(f)).ok()?.len()))
        .sum();
    assert!(bytes < MOST_BYTES, "{bytes}");
    // what the code takes in at build time, outside `src`
    for path in sources(&root().join("src")) {
        let text = fs::read_to_string(&path).expect("a source");
        for taken in text.split("include_str!(\"").skip(1) {
            let name = taken.split('"').next().unwrap_or_default();
            let file = path.parent().expect("a folder").join(name);
            let file = file.canonicalize().unwrap_or(file);
            let own = file.strip_prefix(root()).expect("in the project");
            let own = own.to_str().expect("UTF-8").replace('\\', "/");
            assert!(
                files.iter().any(|f| f.replace('\\', "/") == own),
                "{own} of {}",
                path.display()
            );
        }
    }
}

/// `.ci/oldest` builds with the oldest compiler itself.
#[test]
fn the_compiler_is_no_older_than_the_oldest_named() {
    let told = rustc(&["--version"]);
    let version = told.split(' ').nth(1).expect("a version");
    let oldest = env!("CARGO_PKG_RUST_VERSION");
    let number =
        |v: &str| -> Vec<u32> { v.split(['.', '-']).filter_map(|n| n.parse().ok()).collect() };
    assert!(number(version) >= number(oldest), "{version} {oldest}");
}

/// Words that only a Unix system knows, and where they may stand.
const UNIX_ONLY: &[&str] = &[
    "os::unix",
    "os::linux",
    "libc::",
    "\"/proc",
    "\"/tmp",
    "nix::",
    "PermissionsExt",
];

#[test]
fn nothing_of_the_program_is_for_one_system_only() {
    for path in sources(&root().join("src")) {
        let text = fs::read_to_string(&path).expect("a source");
        let lines: Vec<&str> = text.lines().collect();
        for (i, line) in lines.iter().enumerate() {
            let unix = UNIX_ONLY.iter().any(|w| line.contains(w));
            let behind = lines[i.saturating_sub(6)..i]
                .iter()
                .any(|l| l.contains("cfg(unix)"));
            assert!(!unix || behind, "{}:{}: {line}", path.display(), i + 1);
        }
    }
}

fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder)
        .expect("a folder")
        .map(|e| e.expect("an entry").path())
    {
        if entry.is_dir() {
            found.extend(sources(&entry));
        } else if entry.extension().is_some_and(|e| e == "rs") {
            found.push(entry);
        }
    }
    found
}
