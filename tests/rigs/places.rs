//! Cold and hot days, what a place sees, where a rig stands, and rigs on liquid fuel: what the audit says of each.
//!
//! `places.toml` has the cases: a good rig, what is changed in it, a rule, and its signal word, or that it is silent.

use crate::changes::change;
use fuelwright::audit::{self, Audit, Signal, solution};
use fuelwright::fuel::Library;
use fuelwright::input;
use fuelwright::quantity::show::Units;
use rayon::prelude::*;
use toml::{Table, Value};

fn file(name: &str) -> String {
    let path = format!("{}/{name}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).expect("readable")
}

/// A rig with what a case sets; `"-"` takes a key or a part out.
fn changed(case: &Table) -> Value {
    let rig: Table = file(case["rig"].as_str().expect("a path"))
        .parse()
        .expect("a rig");
    let mut rig = Value::Table(rig);
    let set = case.get("set").and_then(Value::as_table);
    for (path, to) in set.into_iter().flatten() {
        let mut one = Table::new();
        one.insert("path".to_owned(), path.as_str().into());
        if to.as_str() != Some("-") {
            one.insert("to".to_owned(), to.clone());
        }
        change(&mut rig, &one).unwrap_or_else(|why| panic!("{why} in {case}"));
    }
    rig
}

fn audited(rig: &Value, library: &Library) -> Audit {
    let text = toml::to_string(rig).expect("TOML");
    let loaded = input::parse("rig.toml", &text, library).unwrap_or_else(|e| panic!("{e}\n{text}"));
    let solved = solution::solve(&loaded.rig, library, Units::Si).expect("it has a model");
    audit::audit(&solved)
}

/// The cases.
fn cases() -> Vec<Table> {
    let list: Table = file("tests/places.toml").parse().expect("TOML");
    let cases = list["case"].as_array().expect("a list");
    let cases = cases.iter().map(|c| c.as_table().expect("a table").clone());
    cases.collect()
}

/// What the audit says of each case.
pub(super) fn audits() -> Vec<Audit> {
    let library = Library::embedded();
    let cases = cases();
    let audit = |case: &Table| audited(&changed(case), &library);
    cases.par_iter().map(audit).collect()
}

/// Why a case is not as it is told; `None` if it is.
fn off(case: &Table, library: &Library) -> Option<String> {
    let text = |key: &str| case.get(key).and_then(Value::as_str);
    let (rule, wanted) = (
        text("rule").expect("an id"),
        text("signal").expect("a word"),
    );
    let audit = audited(&changed(case), library);
    let found: Vec<_> = audit.findings.iter().filter(|f| f.id == rule).collect();
    let words = text("says").unwrap_or_default();
    let mut unknown = audit.not_checked.iter().filter(|n| n.id == rule);
    let unknown = unknown.find(|n| n.because.contains(words));
    let said = match wanted {
        "silent" => found.is_empty().then(String::new),
        "not checked" => unknown
            .filter(|_| found.is_empty())
            .map(|n| n.because.clone()),
        word => {
            let of_word = found.iter().find(|f| f.signal.word() == word);
            of_word.map(|f| {
                format!(
                    "{}; {}; {}; {}; {:?}",
                    f.sentence(Units::Si),
                    f.measured.show(Units::Si),
                    f.limit.show(Units::Si),
                    f.advice,
                    f.source
                )
            })
        }
    };
    if said.as_ref().is_some_and(|said| said.contains(words)) {
        return None;
    }
    let told: Vec<String> = found
        .iter()
        .map(|f| format!("{} {}", f.signal.word(), f.measured.show(Units::Si)))
        .collect();
    let why = text("why").unwrap_or_default();
    Some(format!(
        "{rule} {wanted} {words:?}: {why}\n    said {said:?}, {told:?}, {unknown:?}"
    ))
}

#[test]
fn each_case_is_told_as_the_trade_tells_it() {
    let library = Library::embedded();
    let cases = cases();
    assert!(cases.len() >= 40, "only {}", cases.len());
    let off: Vec<String> = cases
        .par_iter()
        .filter_map(|case| off(case, &library))
        .collect();
    assert!(off.is_empty(), "{} off:\n{}", off.len(), off.join("\n"));
}

#[test]
fn rigs_on_liquid_fuel_are_clean_with_nothing_set_aside() {
    let library = Library::embedded();
    for name in ["tile-dryer", "seed-dryer"] {
        let rig = Value::Table(
            file(&format!("examples/{name}.toml"))
                .parse()
                .expect("a rig"),
        );
        let audit = audited(&rig, &library);
        let grave = audit.findings.iter().filter(|f| f.signal < Signal::Notice);
        let told: Vec<&str> = grave.map(|f| f.id).collect();
        assert!(told.is_empty(), "{name}: {told:?}");
        assert!(
            audit.suppressed.is_empty() && !audit.is_incomplete(),
            "{name}"
        );
    }
}
