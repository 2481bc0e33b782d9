//! The table of usual values: every row is tripped by a value ten times beyond it, hides nothing, and is tripped by no
//! good rig.

use fuelwright::audit::registry::RULES;
use fuelwright::audit::usual::{USUAL, Usual};
use fuelwright::audit::{self, Finding, Signal, solution};
use fuelwright::fuel::Library;
use fuelwright::input;
use fuelwright::inside::sections;
use fuelwright::inside::{Bounds, Field, Takes};
use fuelwright::quantity::Kind;
use fuelwright::quantity::show::Units;
use fuelwright::train::rig::Rig;
use rayon::prelude::*;
use std::collections::BTreeSet;
use toml::{Table, Value};

/// Rigs that the audit finds nothing unusual in.
const GOOD: &[&str] = &[
    "examples/coupon-soak-rig",
    "examples/greenhouse-frost-guard",
    "examples/kiln-pilot",
    "examples/neglected-frost-guard",
    "examples/seed-dryer",
    "examples/tile-dryer",
    "tests/audit_rules/kerosene-bench",
    "tests/faults/rigs/indoor-blend-two-cylinders",
    "tests/faults/rigs/kiln-on-main",
    "tests/faults/rigs/outdoor-propane",
    "tests/faults/rigs/pressure-fed-kerosene",
    "tests/faults/rigs/pumped-kerosene",
    "tests/faults/rigs/two-stage-propane",
];

fn rig(name: &str) -> Table {
    let path = format!("{}/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).expect("readable");
    text.parse().expect("TOML")
}

/// Declaration of the key of a row.
fn field(row: &Usual) -> &'static Field {
    let of_table = |heading: &str| {
        if let Some(kinds) = heading.strip_prefix("kind: ") {
            return row.table == "train" || kinds.split(", ").any(|k| k == row.table);
        }
        let name = heading.trim_matches(['[', ']']);
        name == row.table || name == "train" && is_part(row)
    };
    sections()
        .iter()
        .filter(|s| of_table(&s.heading))
        .flat_map(|s| s.fields)
        .find(|f| f.key == row.key)
        .unwrap_or_else(|| panic!("no key `{}` in `{}`", row.key, row.table))
}

/// Whether a row is of a part.
fn is_part(row: &Usual) -> bool {
    let tables = sections();
    !tables
        .iter()
        .any(|s| s.heading.trim_matches(['[', ']']) == row.table && row.table != "train")
}

/// A value as TOML.
fn written(field: &Field, si: f64) -> Value {
    match &field.takes {
        #[allow(clippy::cast_possible_truncation)] // whole by the caller
        Takes::Count => Value::Integer(si.ceil() as i64),
        Takes::Ratio | Takes::RatioRange | Takes::Number => Value::Float(si),
        Takes::Quantity(what, _) if what.starts_with("a pressure, gauge") => {
            Value::String(format!("{si} Pa(g)"))
        }
        _ => Value::String(format!("{si} {}", field.unit)),
    }
}

/// Keys that have no meaning beside a key, and one that it needs.
type Beside = (&'static str, &'static [&'static str], Option<&'static str>);

const BESIDE: &[Beside] = &[
    ("ambient_temperature", &["coldest", "hottest"], None),
    (
        "exit_temperature",
        &["equivalence_ratio", "heat_release", "fuel_flow"],
        None,
    ),
    ("frost_conductivity", &[], Some("frost_thickness")),
    ("friction_factor", &["roughness"], None),
    ("heat_by_length", &["heat_outside", "insulated"], None),
];

/// Puts a value into a table of the file.
fn put(table: &mut Table, key: &str, value: Value) {
    for (_, without, needs) in BESIDE.iter().filter(|b| b.0 == key) {
        without.iter().for_each(|k| _ = table.remove(*k));
        if let Some(needed) = needs {
            table.insert((*needed).to_owned(), Value::String("3 mm".to_owned()));
        }
    }
    table.insert(key.to_owned(), value);
}

/// Whether a kind of part takes a key.
fn takes(kind: &str, key: &str) -> bool {
    sections().iter().any(|s| {
        let kinds = s.heading.strip_prefix("kind: ");
        let of_kind = kinds.is_some_and(|all| all.split(", ").any(|k| k == kind));
        (of_kind || s.heading == "[[train]]") && s.fields.iter().any(|f| f.key == key)
    })
}

/// Sets the key of a row in the first place of a rig that has it, or else in the first that may have it; the path.
fn set(rig: &mut Table, row: &Usual, value: Value) -> Option<String> {
    if is_part(row) {
        let parts = rig.get_mut("train")?.as_array_mut()?;
        if row.key == "discharge_coefficient" {
            // no good rig has a plate
            let plate: Table = "name = \"plate\"\nkind = \"orifice-plate\"\npipe_bore = \"8 mm\"\nbore = \"5 mm\"\n"
                .parse()
                .expect("TOML");
            parts.insert(0, Value::Table(plate));
        }
        let of_row = |p: &Value| {
            let kind = p["kind"].as_str().expect("a kind");
            let own = USUAL.iter().any(|r| r.table == kind && r.key == row.key);
            takes(kind, row.key) && (row.table == kind || row.table == "train" && !own)
        };
        let has = |p: &Value| of_row(p) && p.get(row.key).is_some();
        let at = parts.iter().position(has);
        let at = at.or_else(|| parts.iter().position(of_row))?;
        let part = parts[at].as_table_mut()?;
        put(part, row.key, value);
        return Some(format!("train.{}.{}", part["name"].as_str()?, row.key));
    }
    match rig.get_mut(row.table)? {
        Value::Table(table) => {
            put(table, row.key, value);
            Some(format!("{}.{}", row.table, row.key))
        }
        Value::Array(rows) => {
            let at = rows.iter().position(|r| r.get(row.key).is_some());
            let at = at.unwrap_or(0);
            let table = rows[at].as_table_mut()?;
            put(table, row.key, value);
            let name = table.get("name").and_then(Value::as_str);
            Some(name.map_or_else(
                || format!("{}[{at}].{}", row.table, row.key),
                |name| format!("{}.{name}.{}", row.table, row.key),
            ))
        }
        _ => None,
    }
}

/// Values beyond a row: ten times, or as far as the reader takes the key.
fn beyond(row: &Usual) -> Vec<f64> {
    let field = field(row);
    let (low, high) = match field.bounds {
        Bounds::Between(low, high) => (low, high),
        Bounds::Share | Bounds::PositiveShare => (0.0, 1.0),
        _ => (f64::NEG_INFINITY, f64::INFINITY),
    };
    let below = if row.low > 0.0 {
        row.low / 10.0
    } else {
        row.low * 10.0
    };
    let below = if field.takes == Takes::Count {
        below.floor()
    } else {
        below
    };
    [below, row.high * 10.0]
        .into_iter()
        .map(|si| si.clamp(low, high))
        .filter(|si| row.is_outside(*si))
        .collect()
}

/// The first of the good rigs that is read with a value, and the path of its key.
fn rig_with(row: &Usual, si: f64, library: &Library) -> Option<(Rig, String)> {
    GOOD.iter().find_map(|name| {
        let mut rig = rig(name);
        let path = set(&mut rig, row, written(field(row), si))?;
        let text = toml::to_string(&rig).expect("TOML");
        let loaded = input::parse("rig.toml", &text, library).ok()?;
        Some((loaded.rig, path))
    })
}

#[test]
fn a_value_ten_times_beyond_a_row_is_found_and_hides_nothing() {
    let library = Library::embedded();
    let groups: BTreeSet<_> = RULES.iter().map(|r| r.group).collect();
    let others: Vec<_> = groups
        .into_iter()
        .filter(|g| *g != audit::Group::Values)
        .collect();
    let wrong: Vec<String> = USUAL
        .par_iter()
        .flat_map_iter(|row| {
            let mut wrong = Vec::new();
            let rigs: Vec<_> = beyond(row)
                .into_iter()
                .filter_map(|si| Some((si, rig_with(row, si, &library)?)))
                .collect();
            let mut say = |what: &str| wrong.push(format!("{}.{}: {what}", row.table, row.key));
            if rigs.is_empty() {
                say("no rig takes a value beyond it");
            }
            for (i, (si, (rig, path))) in rigs.iter().enumerate() {
                let solved = solution::solve(rig, &library, Units::Si).expect("a model");
                let values = audit::audit_of(&solved, &[audit::Group::Values]);
                let is_it = |f: &&Finding| f.id == "VAL001" && f.places.contains(path);
                let Some(found) = values.findings.iter().find(is_it) else {
                    say(&format!("{si} at {path} is not found"));
                    continue;
                };
                let signal = if row.hazard {
                    Signal::Caution
                } else {
                    Signal::Notice
                };
                if found.signal != signal {
                    say("the wrong signal word");
                }
                // the whole audit is long: of the first of both sides only
                if i == 0 {
                    let all = audit::audit(&solved);
                    let rest = audit::audit_of(&solved, &others);
                    let of_others = |f: &&Finding| !f.id.starts_with("VAL");
                    let kept: Vec<&Finding> = all.findings.iter().filter(of_others).collect();
                    if !kept.into_iter().eq(&rest.findings) || all.not_checked != rest.not_checked {
                        say("other findings are not as they were");
                    }
                }
            }
            wrong
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn no_good_rig_has_an_unusual_value() {
    let library = Library::embedded();
    for name in GOOD {
        let text = toml::to_string(&rig(name)).expect("TOML");
        let loaded = input::parse("rig.toml", &text, &library).expect("a good rig");
        assert!(!loaded.rig.given.is_empty());
        let solved = solution::solve(&loaded.rig, &library, Units::Si).expect("a model");
        let found = audit::audit_of(&solved, &[audit::Group::Values]);
        assert_eq!(
            (found.findings, found.not_checked),
            (vec![], vec![]),
            "{name}"
        );
    }
}

#[test]
fn the_table_has_a_key_once_and_of_its_own_kind() {
    let mut seen = BTreeSet::new();
    for row in USUAL {
        assert!(seen.insert((row.table, row.key)), "twice: {row:?}");
        assert!(row.low < row.high && row.why.len() > 10, "{row:?}");
        let field = field(row);
        let level = matches!(&field.takes, Takes::Quantity(what, _) if what.contains("gauge"));
        assert_eq!(level, row.kind == Some(Kind::GaugePressure), "{row:?}");
        if !level {
            let unit = if field.unit == "Kv" {
                "m3/h"
            } else {
                field.unit
            };
            assert_eq!(row.kind.map_or("", Kind::si_unit), unit, "{row:?}");
        }
    }
    assert!(USUAL.len() >= 100);
}

#[test]
fn a_gauge_is_read_against_the_air_of_the_site() {
    let library = Library::embedded();
    let rig_of = |pressure: &str| {
        let mut rig = rig("examples/greenhouse-frost-guard");
        let regulator = rig["train"].as_array_mut().expect("parts");
        let part = regulator
            .iter_mut()
            .find(|p| p["name"].as_str() == Some("regulator"));
        let part = part.and_then(Value::as_table_mut).expect("a regulator");
        part.insert(
            "set_pressure".to_owned(),
            Value::String(pressure.to_owned()),
        );
        let text = toml::to_string(&rig).expect("TOML");
        input::parse("rig.toml", &text, &library)
            .expect("a rig")
            .rig
    };
    // the site has 1004 mbar
    for written in ["37 mbar(g)", "1041 mbar(a)"] {
        let given = rig_of(written).given("train.regulator.set_pressure");
        assert!(
            (given.expect("given") - 3700.0).abs() < 1e-6,
            "{written}: {given:?}"
        );
    }
}
