//! The schema of a rig file against the reader: each takes what the other takes, as far as one value goes.

use fuelwright::fuel::Library;
use fuelwright::input;
use fuelwright::inside::{as_json, schema};
use fuelwright::inside::{names, sections};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::path::PathBuf;
use toml::de::{DeTable, DeValue};

/// What is wrong with a value: a validator of the part of draft 7 that the schema uses. An unknown key word is
/// a failure of the test, so that nothing passes unlooked at.
#[derive(Default)]
struct Validator {
    patterns: BTreeMap<String, regex::Regex>,
}

impl Validator {
    fn mistakes(&mut self, schema: &Value, value: &Value, at: &str, out: &mut Vec<String>) {
        let rules = schema.as_object().expect("a schema is an object");
        for (word, rule) in rules {
            match word.as_str() {
                "$schema" | "title" | "description" | "$comment" | "examples" => {}
                "then" => assert!(rules.contains_key("if")),
                "items" => {
                    for (i, item) in value.as_array().into_iter().flatten().enumerate() {
                        let of = match rule {
                            Value::Array(list) => list.get(i).expect("maxItems says how many"),
                            one => one,
                        };
                        self.mistakes(of, item, &format!("{at}[{i}]"), out);
                    }
                }
                "properties" => {
                    for (key, of) in rule.as_object().expect("an object") {
                        if let Some(inner) = value.get(key) {
                            self.mistakes(of, inner, &format!("{at}.{key}"), out);
                        }
                    }
                }
                "additionalProperties" => {
                    let known = rules.get("properties").and_then(Value::as_object);
                    for (key, inner) in value.as_object().into_iter().flatten() {
                        if known.is_some_and(|k| k.contains_key(key)) {
                            continue;
                        }
                        match rule {
                            Value::Bool(false) => out.push(format!("{at}: `{key}` is not known")),
                            of => self.mistakes(of, inner, &format!("{at}.{key}"), out),
                        }
                    }
                }
                "anyOf" => {
                    let choices = rule.as_array().expect("a list");
                    if !choices.iter().any(|of| self.fits(of, value)) {
                        out.push(format!("{at}: {value} fits none of the choices"));
                    }
                }
                "allOf" => {
                    for of in rule.as_array().expect("a list") {
                        self.mistakes(of, value, at, out);
                    }
                }
                "if" => {
                    if self.fits(rule, value) {
                        self.mistakes(&rules["then"], value, at, out);
                    }
                }
                word => {
                    if let Some(why) = self.alone(word, rule, value) {
                        out.push(format!("{at}: {why}"));
                    }
                }
            }
        }
    }

    fn fits(&mut self, schema: &Value, value: &Value) -> bool {
        let mut found = Vec::new();
        self.mistakes(schema, value, "", &mut found);
        found.is_empty()
    }

    /// Rules that look at one value and not into it.
    fn alone(&mut self, word: &str, rule: &Value, value: &Value) -> Option<String> {
        let bound = rule.as_f64().unwrap_or(f64::NAN);
        let items = value.as_array().map(|a| a.len() as f64);
        let fits = match word {
            "type" => match rule {
                Value::Array(types) => types.iter().any(|of| is_of(of, value)),
                one => is_of(one, value),
            },
            "enum" => rule.as_array().expect("a list").contains(value),
            "pattern" => value
                .as_str()
                .is_none_or(|v| self.pattern(rule.as_str().expect("a text")).is_match(v)),
            "format" => {
                assert_eq!(rule, "date");
                let date = self.pattern(r"^\d{4}-\d{2}-\d{2}$");
                value.as_str().is_none_or(|v| date.is_match(v))
            }
            "maxLength" => value
                .as_str()
                .is_none_or(|v| v.chars().count() as f64 <= bound),
            "minimum" => value.as_f64().is_none_or(|x| x >= bound),
            "maximum" => value.as_f64().is_none_or(|x| x <= bound),
            "exclusiveMinimum" => value.as_f64().is_none_or(|x| x > bound),
            "minItems" => items.is_none_or(|n| n >= bound),
            "maxItems" => items.is_none_or(|n| n <= bound),
            "propertyNames" => {
                let names = rule["enum"].as_array().expect("names");
                let mut keys = value.as_object().into_iter().flatten();
                let foreign = keys.find(|(key, _)| !names.contains(&json!(key)));
                return foreign.map(|(key, _)| format!("`{key}` does not belong here"));
            }
            "required" => {
                let mut keys = rule.as_array().expect("a list").iter();
                let missing = keys.find(|k| value.get(k.as_str().expect("a name")).is_none());
                return missing
                    .filter(|_| value.is_object())
                    .map(|key| format!("{key} is missing"));
            }
            other => panic!("the validator does not know `{other}`"),
        };
        (!fits).then(|| format!("{value} against {word} {rule}"))
    }

    fn pattern(&mut self, text: &str) -> &regex::Regex {
        self.patterns
            .entry(text.to_owned())
            .or_insert_with(|| regex::Regex::new(text).unwrap_or_else(|e| panic!("{text}: {e}")))
    }
}

fn is_of(name: &Value, value: &Value) -> bool {
    match name.as_str().expect("a type") {
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "boolean" => value.is_boolean(),
        "number" => value.is_number(),
        "integer" => value.is_i64() || value.is_u64(),
        "null" => value.is_null(),
        other => panic!("unknown type {other}"),
    }
}

fn mistakes(value: &Value) -> Vec<String> {
    let mut out = Vec::new();
    let mut validator = Validator::default();
    validator.mistakes(&schema(), value, "rig", &mut out);
    out
}

fn json_of(text: &str) -> Option<Value> {
    let table = DeTable::parse(text).ok()?;
    Some(as_json(&DeValue::Table(table.into_inner())))
}

fn files(folder: &str) -> Vec<PathBuf> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut all: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("a folder")
        .map(|e| e.expect("an entry").path())
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .collect();
    all.sort();
    all
}

#[test]
fn every_example_and_the_starter_fit_the_schema() {
    for path in files("examples") {
        let text = std::fs::read_to_string(&path).expect("readable");
        let found = mistakes(&json_of(&text).expect("TOML"));
        assert!(found.is_empty(), "{}: {found:#?}", path.display());
    }
    let starter = fuelwright::inside::starter("a rig");
    let found = mistakes(&json_of(&starter).expect("TOML"));
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn a_rig_written_by_the_program_fits_the_schema() {
    let library = Library::embedded();
    for path in files("examples") {
        let text = std::fs::read_to_string(&path).expect("readable");
        let loaded = input::parse("rig.toml", &text, &library).unwrap_or_else(|e| panic!("{e}"));
        let found = mistakes(&json_of(&loaded.raw.write()).expect("TOML"));
        assert!(found.is_empty(), "{}: {found:#?}", path.display());
    }
}

/// Codes of mistakes that one value, key or table shows by itself.
const OF_STRUCTURE: [&str; 7] = ["E201", "E202", "E203", "E204", "E205", "E207", "E208"];

#[test]
fn every_wrong_rig_that_breaks_structure_is_refused() {
    let library = Library::embedded();
    let mut seen = std::collections::BTreeSet::new();
    for path in files("examples/wrong") {
        let text = std::fs::read_to_string(&path).expect("readable");
        let Some(json) = json_of(&text) else { continue };
        let wrong = input::parse("rig.toml", &text, &library).expect_err("it is wrong");
        let codes: Vec<&str> = wrong.list.iter().map(|d| d.code).collect();
        // a key that is missing only because of others is no matter of one value
        let broken = wrong.list.iter().any(|d| {
            OF_STRUCTURE.contains(&d.code) && !(d.code == "E204" && d.message.contains(": "))
        });
        let found = mistakes(&json);
        assert!(
            found.is_empty() != broken || codes.contains(&"E206"),
            "{}: {codes:?} {found:#?}",
            path.display()
        );
        if broken {
            seen.extend(codes);
        }
    }
    for code in OF_STRUCTURE {
        assert!(seen.contains(code), "no wrong rig shows {code}");
    }
}

/// The table itself, where a list of them or `"none"` may stand in its place.
fn one(table: &Value) -> &Value {
    let table = table["anyOf"].get(0).unwrap_or(table);
    table.get("items").unwrap_or(table)
}

#[test]
fn schema_and_reader_have_the_same_tables_and_keys() {
    let schema = schema();
    let tables = schema["properties"].as_object().expect("tables");
    let mut wanted = names();
    let mut found: Vec<&str> = tables.keys().map(String::as_str).collect();
    wanted.sort_unstable();
    found.sort_unstable();
    assert_eq!(found, wanted);
    let keys_of = |table: &Value| -> Vec<String> {
        let table = one(table);
        let keys = table["properties"].as_object().expect("keys");
        keys.keys().cloned().collect()
    };
    let mut seen = 0;
    for section in sections() {
        let Some(kinds) = section.heading.strip_prefix("kind: ") else {
            let name = section.heading.trim_matches(['[', ']']);
            if name != "train" {
                let wanted: Vec<&str> = section.fields.iter().map(|f| f.key).collect();
                assert_eq!(keys_of(&tables[name]), wanted, "{name}");
            }
            seen += section.fields.len();
            continue;
        };
        for kind in kinds.split(", ") {
            for field in section.fields {
                let part = json!({ "name": "a", "kind": kind, field.key: 0 });
                let found = train(&part);
                assert!(
                    found
                        .iter()
                        .all(|m| !m.contains("not known") && !m.contains("belong")),
                    "{kind}.{}: {found:?}",
                    field.key
                );
            }
            let foreign = json!({ "name": "a", "kind": kind, "rigour": 0 });
            assert!(!train(&foreign).is_empty());
        }
        seen += section.fields.len();
    }
    assert!(seen > 200, "{seen}");
}

/// Mistakes in one part of the train.
fn train(part: &Value) -> Vec<String> {
    let mut out = Vec::new();
    let mut validator = Validator::default();
    let schema = schema();
    validator.mistakes(one(&schema["properties"]["train"]), part, "part", &mut out);
    out
}

#[test]
fn a_key_of_another_kind_of_part_is_refused() {
    assert!(!train(&json!({ "name": "a", "kind": "tube", "droop": "20 mbar" })).is_empty());
    assert!(train(&json!({ "name": "a", "kind": "regulator", "droop": "20 mbar" })).is_empty());
    // `points` means two things
    let curve = json!([["0 L/min", "8 bar"], ["0.5 L/min", "5 bar"]]);
    assert!(train(&json!({ "name": "a", "kind": "pump", "points": curve })).is_empty());
    assert!(!train(&json!({ "name": "a", "kind": "needle-valve", "points": curve })).is_empty());
}

#[test]
fn the_example_of_every_key_fits_the_schema() {
    let schema = schema();
    let mut validator = Validator::default();
    for section in sections() {
        for field in section.fields {
            let line = format!("x = {}", field.example);
            let value = json_of(&line).expect("TOML")["x"].clone();
            let kind = section.heading.strip_prefix("kind: ");
            let found: Vec<String> = if let Some(kinds) = kind {
                kinds
                    .split(", ")
                    .flat_map(|k| train(&json!({ "name": "a", "kind": k, field.key: value })))
                    .collect()
            } else {
                let name = section.heading.trim_matches(['[', ']']);
                let table = &schema["properties"][name];
                let table = one(table);
                let mut out = Vec::new();
                let own = &table["properties"][field.key];
                validator.mistakes(own, &value, field.key, &mut out);
                out
            };
            assert!(
                found.is_empty(),
                "{} {}: {found:?}",
                section.heading,
                field.key
            );
        }
    }
}

/// A pattern beside the reader that it stands for.
struct Pair {
    what: &'static str,
    pattern: regex::Regex,
    reads: fn(&str) -> bool,
}

fn pair<T: fuelwright::quantity::parse::FromText>(
    what: &'static str,
    writing: Option<fuelwright::quantity::pattern::Writing>,
) -> Pair {
    let writing = writing.expect("a unit of the table");
    Pair {
        what,
        pattern: regex::Regex::new(&writing.pattern()).expect("a pattern"),
        reads: |text| T::from_text(text).is_ok(),
    }
}

#[test]
fn patterns_hold_for_the_texts_that_the_reader_takes() {
    use fuelwright::quantity::pattern::Writing;
    use fuelwright::quantity::units::UNITS;
    use fuelwright::quantity::{
        AbsolutePressure, GaugePressure, HeatTransfer, Length, MassRate, PressureDifference,
        PressureLevel, SpecificHeatCapacity, TemperatureInterval, ThermodynamicTemperature, Time,
    };
    let pairs = [
        pair::<Length>("length", Writing::of("m")),
        pair::<MassRate>("flow", Writing::of("kg/s")),
        pair::<Time>("time", Writing::of("s")),
        pair::<SpecificHeatCapacity>("specific heat", Writing::of("J/(kg K)")),
        pair::<HeatTransfer>("heat transfer", Writing::of("W/(m2 K)")),
        pair::<ThermodynamicTemperature>("temperature", Writing::of("K")),
        pair::<TemperatureInterval>("interval", Writing::of("K")),
        pair::<GaugePressure>("gauge pressure", Writing::of("Pa(g)")),
        pair::<AbsolutePressure>("absolute pressure", Writing::of("Pa(a)")),
        pair::<PressureLevel>("pressure level", Some(Writing::EITHER)),
        pair::<PressureDifference>("pressure difference", Writing::of("Pa")),
    ];
    let mut taken = 0;
    let mut check = |text: &str, pairs: &[Pair]| {
        for pair in pairs {
            let (fits, read) = (pair.pattern.is_match(text), (pair.reads)(text));
            assert_eq!(fits, read, "{}: `{text}`", pair.what);
            taken += usize::from(read);
        }
    };
    let pressures = &pairs[7..];
    for unit in UNITS {
        for number in ["1", "1/16 ", "1 1/2", "+2e-3 ", "", "1,5 ", "x "] {
            check(&format!("{number}{}", unit.symbol), &pairs);
        }
        for symbol in std::iter::once(&unit.symbol).chain(unit.aliases) {
            let spellings = [
                (*symbol).to_owned(),
                symbol.to_lowercase(),
                symbol.to_uppercase(),
                symbol.replace("deg", "°").replace('2', "²"),
            ];
            for spelling in spellings {
                check(&format!("1.5 {spelling}"), &pairs);
                for mark in ["a", "(g)", " (abs)", "gauge", "(gauge"] {
                    check(&format!("1.5 {spelling}{mark}"), pressures);
                }
            }
        }
    }
    assert!(taken > 500, "{taken}");
}

/// Commands that answer in text, or put other answers together.
const WITHOUT: [&str; 4] = ["generate", "start", "second-opinion", "report"];

#[test]
fn every_answer_fits_the_schema_of_answers() {
    let schema = super::cli::output("generate|schema|--output", "json");
    let schema: Value = serde_json::from_str(&schema).expect("JSON");
    let definitions = schema["definitions"].as_object().expect("one a command");
    let mut fitted = std::collections::BTreeSet::from(["second-opinion"]);
    for line in super::cli::LINES {
        let command = line.split('|').next().expect("a word");
        if WITHOUT.contains(&command) {
            continue;
        }
        let answer = serde_json::from_str(super::cli::made(line, "json")).expect("JSON");
        // a command that answers of flags and of rigs has a definition of each
        let mut tried = Vec::new();
        for (name, of) in definitions {
            if name.split(", ").next() == Some(command) {
                let mut found = Vec::new();
                Validator::default().mistakes(of, &answer, name, &mut found);
                tried.push((name, found));
            }
        }
        let fits = tried.iter().find(|(_, found)| found.is_empty());
        let (name, _) = fits.unwrap_or_else(|| panic!("{line}: {tried:#?}"));
        fitted.insert(name.as_str());
    }
    let all = definitions.keys().map(String::as_str).collect();
    assert_eq!(fitted, all, "no line gives what a definition is of");
}

#[test]
fn the_page_of_keys_is_the_one_in_the_docs_folder() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/json.md");
    let page = super::cli::output("generate|keys", "text");
    if std::env::var_os("FUELWRIGHT_WRITE_TABLE").is_some() {
        std::fs::write(path, &page).expect("can be written");
    }
    let stored = std::fs::read_to_string(path).expect("there is one");
    assert!(
        stored == page,
        "docs/json.md is old; run: FUELWRIGHT_WRITE_TABLE=1 cargo test --test program schema"
    );
}
