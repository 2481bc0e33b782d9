//! Rules about the code itself: which module may use which, where the outside world may be touched,
//! how files begin, how long they are, and words the program does not use.

use std::collections::{BTreeMap, BTreeSet};
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
    &["remedy", "choose"],
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

pub(super) fn src() -> Vec<(PathBuf, String)> {
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

/// The entries of a list in braces, with what is nested in them.
fn first_level(list: &str) -> Vec<String> {
    let mut entries = vec![String::new()];
    let mut depth = 0;
    for c in list.chars() {
        match c {
            '}' if depth == 0 => break,
            ',' if depth == 0 => {
                entries.push(String::new());
                continue;
            }
            '{' => depth += 1,
            '}' => depth -= 1,
            _ => {}
        }
        entries.last_mut().expect("begun with one").push(c);
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
fn every_id_of_a_finding_in_the_code_is_that_of_a_rule() {
    let is_id = |word: &&str| {
        let (letters, digits) = word.split_at_checked(3).unwrap_or_default();
        digits.len() == 3
            && letters.bytes().all(|c| c.is_ascii_uppercase())
            && digits.bytes().all(|c| c.is_ascii_digit())
    };
    for (path, text) in src() {
        for (line, code) in code(&text) {
            for id in code.split('"').filter(is_id) {
                let known = fuelwright::audit::registry::find(id);
                assert!(known.is_some(), "{}:{line}: {id}", path.display());
            }
        }
    }
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
fn what_is_public_begins_with_an_example_and_the_rest_is_closed() {
    let first_page = |file: &str| {
        let text = std::fs::read_to_string(format!("{}/src/{file}", env!("CARGO_MANIFEST_DIR")))
            .expect("text");
        let lines: Vec<&str> = text.lines().take_while(|l| l.starts_with("//!")).collect();
        lines.join("\n")
    };
    for file in [
        "lib",
        "quantity/mod",
        "fuel/mod",
        "eos/mod",
        "flow/mod",
        "combustion/mod",
        "injector/mod",
        "tank/mod",
        "train/mod",
        "audit/mod",
    ] {
        let page = first_page(&format!("{file}.rs"));
        let running = page.contains("//! ```\n") && page.contains("assert");
        assert!(
            running,
            "{file}.rs has no running example on its first page"
        );
    }
    let root = include_str!("../../src/lib.rs");
    for closed in ["\nmod cli;", "\nmod report;"] {
        assert!(root.contains(closed), "{closed} is open");
    }
    let input = include_str!("../../src/input/mod.rs");
    assert!(
        !input.contains("\npub mod"),
        "the inside of `input` is open"
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

/// The files of `src` as modules: what each hands on under its own name, and whose names it uses.
struct House {
    /// Path of a module, `eos::embedded`; the crate itself is the empty path.
    modules: BTreeMap<String, String>,
    /// Names a module hands on with `pub use`, and the path behind each.
    handed_on: BTreeMap<(String, String), String>,
}

impl House {
    fn of_src() -> Self {
        let mut modules = BTreeMap::new();
        for (path, text) in src() {
            let path = path.with_extension("").to_string_lossy().replace('/', "::");
            let path = path.strip_suffix("::mod").unwrap_or(&path);
            let path = if path == "lib" { "" } else { path };
            let own = text.split("#[cfg(test)]\nmod tests {").next();
            let lines: Vec<&str> = code(own.expect("some text"))
                .map(|(_, line)| line)
                .collect();
            modules.insert(path.to_owned(), lines.join("\n"));
        }
        let mut house = Self {
            modules,
            handed_on: BTreeMap::new(),
        };
        for (module, text) in &house.modules {
            for (public, path) in imports(text) {
                if let (true, Some(full)) = (public, house.full(module, &path)) {
                    let name = full.rsplit("::").next().unwrap_or(&full).to_owned();
                    house.handed_on.insert((module.clone(), name), full);
                }
            }
        }
        house
    }

    /// A path as it is written in a module, from the crate on; `None`: it leads out of the crate.
    fn full(&self, module: &str, path: &str) -> Option<String> {
        let mut at: Vec<&str> = module.split("::").filter(|s| !s.is_empty()).collect();
        let mut steps = path.split("::").map(str::trim).peekable();
        match *steps.peek()? {
            "crate" => at.clear(),
            "super" | "self" => {}
            child if self.modules.contains_key(&join(module, child)) => {}
            _ => return None,
        }
        for step in steps {
            match step {
                "crate" | "self" => {}
                "super" => drop(at.pop()),
                step => at.push(step),
            }
        }
        Some(at.join("::"))
    }

    /// The module that declares what a full path names.
    fn home(&self, full: &str) -> String {
        let mut full = full.to_owned();
        for _ in 0..6 {
            let cut = (0..=full.matches("::").count() + 1).rev();
            let parts: Vec<&str> = full.split("::").collect();
            let module = cut
                .map(|n| parts[..n].join("::"))
                .find(|m| self.modules.contains_key(m))
                .unwrap_or_default();
            let rest = full[module.len()..].trim_start_matches("::");
            let next = rest.split("::").next().unwrap_or_default().to_owned();
            match self.handed_on.get(&(module.clone(), next)) {
                Some(behind) => full.clone_from(behind),
                None => return module,
            }
        }
        full
    }

    /// Modules that each uses, those aside that it stands in: a part may use what the whole declares.
    fn arrows(&self) -> BTreeMap<&str, BTreeSet<String>> {
        let of = |(module, text): (&String, &String)| {
            let used = imports(text).filter(|(public, _)| !public).map(|(_, p)| p);
            let inline = inline_paths(text);
            let homes = used.chain(inline).filter_map(|p| self.full(module, &p));
            let homes = homes.map(|full| self.home(&full));
            homes
                .filter(|home| {
                    !home.is_empty() && !format!("{module}::").starts_with(&format!("{home}::"))
                })
                .collect()
        };
        let all = self.modules.iter();
        all.map(|entry| (entry.0.as_str(), of(entry))).collect()
    }
}

fn join(module: &str, name: &str) -> String {
    if module.is_empty() {
        name.to_owned()
    } else {
        format!("{module}::{name}")
    }
}

/// What `use` names, one path each, and whether it is handed on.
fn imports(text: &str) -> impl Iterator<Item = (bool, String)> + '_ {
    text.match_indices("use ")
        .filter(|(at, _)| *at == 0 || text[..*at].ends_with(['\n', ' ']))
        .flat_map(move |(at, mark)| {
            let line = text[..at].rsplit('\n').next().unwrap_or_default();
            let public = line.trim_start().starts_with("pub");
            let end = text[at..].find(';').map_or(text.len(), |e| at + e);
            let paths = expanded(text[at + mark.len()..end].trim());
            paths.into_iter().map(move |p| (public, p))
        })
}

/// A path with a list in braces as one path an entry.
fn expanded(path: &str) -> Vec<String> {
    let Some((front, list)) = path.split_once('{') else {
        let path = path.split(" as ").next().unwrap_or(path);
        return vec![path.trim().to_owned()];
    };
    let entries = first_level(list);
    let paths = entries.iter().filter(|e| !e.trim().is_empty());
    paths
        .flat_map(|e| expanded(&format!("{front}{}", e.trim())))
        .collect()
}

/// Paths from the crate or the module above that stand in the code itself.
fn inline_paths(text: &str) -> impl Iterator<Item = String> + '_ {
    ["crate::", "super::"].into_iter().flat_map(move |mark| {
        text.match_indices(mark).map(move |(at, _)| {
            let end = |c: char| !(c.is_alphanumeric() || c == '_' || c == ':');
            let path = text[at..].split(end).next().unwrap_or_default();
            path.trim_end_matches(':').to_owned()
        })
    })
}

/// What an arrow leads to, directly or by others.
fn reached<'a>(arrows: &'a BTreeMap<&str, BTreeSet<String>>, from: &str) -> BTreeSet<&'a str> {
    let mut seen = BTreeSet::new();
    let mut open: Vec<&str> = arrows[from].iter().map(String::as_str).collect();
    while let Some(next) = open.pop() {
        if seen.insert(next) {
            open.extend(arrows[next].iter().map(String::as_str));
        }
    }
    seen
}

#[test]
fn no_circle_leads_from_file_to_file() {
    let house = House::of_src();
    let arrows = house.arrows();
    let circle = |m: &&&str| reached(&arrows, m).contains(**m);
    let round: Vec<&str> = arrows.keys().filter(circle).copied().collect();
    assert!(round.is_empty(), "in a circle: {}", round.join(", "));
}

#[test]
fn the_search_for_circles_sees_what_is_written() {
    let house = House::of_src();
    let arrows = house.arrows();
    let count: usize = arrows.values().map(BTreeSet::len).sum();
    assert!(count > 1000, "only {count} arrows seen");
    // by a name handed on, by a list, and written out in the code
    assert!(arrows["cli::tank"].contains("cli::context"));
    assert!(arrows["train::tree"].contains("train::network"));
    assert_eq!(
        expanded("a::{b, c::{d, e as f}}"),
        ["a::b", "a::c::d", "a::c::e"]
    );
}
