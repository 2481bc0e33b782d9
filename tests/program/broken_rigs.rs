//! The good rig broken in one way after another: each break is caught by the rule expected.
//!
//! The ways stand in `broken_rigs.toml`: path of a key, its new value (none: it is removed), and the rule; `without`
//! names keys that have no meaning beside the new value, `before` puts a new member into a list, and `rig` names
//! another rig for what the good one does not have.

use fuelwright::audit::{self, Finding, Judges, registry::RULES, solution};
use fuelwright::fuel::Library;
use fuelwright::input;
use fuelwright::quantity::show::Units;
use std::collections::{BTreeMap, BTreeSet};
use toml::{Table, Value};

const GOOD: &str = "coupon-soak-rig";
/// Rigs of the rules' own folder.
const OWN: [&str; 1] = ["kerosene-bench"];
/// Fewest ways that have to be there.
const LEAST: usize = 40;
/// Rules that no single break brings, with the reason.
const NO_BREAK: [(&str, &str); 10] = [
    ("TRN009", "no good rig draws liquefied fuel as a liquid"),
    ("LIQ001", "no good rig draws liquefied fuel as a liquid"),
    (
        "TNK007",
        "a tank within its limit is so full only where it is warm too",
    ),
    (
        "REG005",
        "the good rigs on a cylinder have it on the coldest day, and it is never graver",
    ),
    (
        "TRN015",
        "the soak rig has it on a cold day, and it is never graver",
    ),
    (
        "INJ002",
        "the soak rig has it, the others are drilled already, and it is never graver",
    ),
    ("INJ013", "no good rig has had its holes tested"),
    (
        "SHU017",
        "two valves have to name one drive: `faults/protection.toml` has it",
    ),
    (
        "TNK008",
        "the good rigs on a tank have frost on its wall, and it is never graver",
    ),
    (
        "VLV002",
        "the good rigs with a throttle have a weak one, and it is never graver",
    ),
];

fn file(name: &str) -> String {
    let path = format!("{}/{name}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).expect("readable")
}

/// The member of a table, or the member of a list by its `name` or number.
fn member<'v>(value: &'v mut Value, step: &str) -> Option<&'v mut Value> {
    match value {
        Value::Table(table) => table.get_mut(step),
        Value::Array(list) => match step.parse::<usize>() {
            Ok(i) => list.get_mut(i),
            Err(_) => list
                .iter_mut()
                .find(|v| v.get("name").and_then(Value::as_str) == Some(step)),
        },
        _ => None,
    }
}

/// Sets or removes what a path names.
fn change(rig: &mut Value, path: &str, new: Option<Value>, before: Option<&str>) {
    let (parent, last) = path.rsplit_once('.').unwrap_or(("", path));
    let mut at = rig;
    for step in parent.split('.').filter(|s| !s.is_empty()) {
        at = member(at, step).unwrap_or_else(|| panic!("the rig has no `{step}` of `{path}`"));
    }
    match (at, new) {
        (Value::Table(table), Some(new)) => {
            assert_ne!(
                table.insert(last.to_owned(), new.clone()),
                Some(new),
                "{path} as before"
            );
        }
        (Value::Table(table), None) => {
            assert!(table.remove(last).is_some(), "the rig has no `{path}`");
        }
        (Value::Array(list), None) => {
            let before = list.len();
            list.retain(|v| v.get("name").and_then(Value::as_str) != Some(last));
            assert_eq!(list.len() + 1, before, "the rig has no `{path}`");
        }
        (Value::Array(list), Some(Value::Table(mut new))) => {
            let named = |v: &Value| v.get("name").and_then(Value::as_str) == before;
            let place = list.iter().position(named);
            new.insert("name".to_owned(), Value::String(last.to_owned()));
            let place = place.unwrap_or_else(|| panic!("nothing to put `{path}` before"));
            list.insert(place, Value::Table(new));
        }
        _ => panic!("`{path}` is not in a table"),
    }
}

fn findings(text: &str, what: &str, library: &Library) -> Vec<Finding> {
    let loaded = input::parse("rig.toml", text, library).unwrap_or_else(|e| panic!("{what}: {e}"));
    let solved = solution::solve(&loaded.rig, library, Units::Si).expect("it has a model");
    audit::audit(&solved).findings
}

#[test]
fn every_break_of_the_good_rig_is_caught_by_its_rule() {
    let library = Library::embedded();
    let mut goods: BTreeMap<String, (Table, Vec<Finding>)> = BTreeMap::new();
    let list: Table = file("tests/broken_rigs.toml").parse().expect("TOML");
    let breaks = list["break"].as_array().expect("a list");
    assert!(breaks.len() >= LEAST, "only {} ways", breaks.len());
    let mut missed = Vec::new();
    let mut seen = BTreeSet::new();
    for b in breaks {
        let path = b["path"].as_str().expect("a path");
        let rule = b["rule"].as_str().expect("a rule");
        let new = b.get("value").cloned();
        let name = b.get("rig").map_or(GOOD, |r| r.as_str().expect("a name"));
        let what = format!("{name}: {path} = {new:?} ({rule})");
        assert!(seen.insert(what.clone()), "twice: {what}");
        let (good, before) = goods.entry(name.to_owned()).or_insert_with(|| {
            let folder = if OWN.contains(&name) {
                "tests/audit_rules"
            } else {
                "examples"
            };
            let good: Table = file(&format!("{folder}/{name}.toml"))
                .parse()
                .expect("a rig");
            let found = findings(&toml::to_string(&good).expect("TOML"), name, &library);
            (good, found)
        });
        let mut rig = Value::Table(good.clone());
        change(&mut rig, path, new, b.get("before").and_then(Value::as_str));
        for key in b
            .get("without")
            .and_then(Value::as_array)
            .into_iter()
            .flatten()
        {
            change(&mut rig, key.as_str().expect("a path"), None, None);
        }
        let after = findings(&toml::to_string(&rig).expect("TOML"), &what, &library);
        // a finding of the rule that was not there, or is graver now
        let caught = after.iter().any(|f| {
            f.id == rule
                && !f.places.iter().all(|at| {
                    before
                        .iter()
                        .any(|g| g.id == f.id && g.places.contains(at) && g.signal <= f.signal)
                })
        });
        if !caught {
            let new: Vec<_> = after
                .iter()
                .filter(|f| !before.contains(f))
                .map(|f| format!("{} at {}", f.id, f.at))
                .collect();
            missed.push(format!("{what}; instead: {}", new.join(", ")));
        }
    }
    assert!(
        missed.is_empty(),
        "{} of {} not caught:\n{}",
        missed.len(),
        breaks.len(),
        missed.join("\n")
    );
}

#[test]
fn every_rule_has_a_break_or_a_reason_for_none() {
    let list: Table = file("tests/broken_rigs.toml").parse().expect("TOML");
    let breaks = list["break"].as_array().expect("a list");
    let broken: BTreeSet<&str> = breaks.iter().filter_map(|b| b["rule"].as_str()).collect();
    let excused: BTreeSet<&str> = NO_BREAK.iter().map(|(id, _)| *id).collect();
    for rule in RULES.iter().filter(|r| matches!(r.judges, Judges::Rig(_))) {
        let id = rule.id;
        assert_ne!(
            broken.contains(id),
            excused.contains(id),
            "{id}: a break, or a reason for none, and not both"
        );
    }
    let known: BTreeSet<&str> = RULES.iter().map(|r| r.id).collect();
    assert!(broken.is_subset(&known), "{broken:?}");
}
