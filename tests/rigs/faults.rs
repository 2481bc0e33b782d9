//! Faults written from the trade before the rules were read, each held against what the audit says.
//!
//! `faults/*.toml` has good rigs, single faults and pairs of them, with the mildest signal word that will do.
//! `faults/caught_by.toml` names the rules whose finding answers each: it was written afterwards, by reading what was
//! found. A fault is caught by a finding of such a rule that the good rig does not have, at that word or a graver one.
//! Cases that were changed later stand with their reason at the head of their file.

use fuelwright::audit::{self, Audit, Finding, Signal, Solution, solution};
use fuelwright::fuel::Library;
use fuelwright::input;
use fuelwright::quantity::parse::number_and_unit;
use fuelwright::quantity::show::Units;
use fuelwright::train::CheckKind;
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;
use toml::{Table, Value};

use crate::changes::{change, text};
use crate::times::times;

/// Files of single faults.
const FAULTS: [&str; 5] = [
    "gas.toml",
    "main-and-liquid.toml",
    "leak-tests.toml",
    "protection.toml",
    "places.toml",
];
/// Those of them that say what must not be found.
const CLEAN: [&str; 1] = ["protection.toml"];

/// Share of single faults that has to be caught, per cent.
const LEAST_PERCENT: usize = 99;

fn file(name: &str) -> String {
    let path = format!("{}/tests/faults/{name}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).expect("readable")
}

fn list(names: &[&str], key: &str) -> Vec<Table> {
    let tables = names.iter().flat_map(|name| {
        let all: Table = file(name).parse().expect("TOML");
        all[key].as_array().expect("a list").clone()
    });
    tables
        .map(|t| t.as_table().expect("a table").clone())
        .collect()
}

/// What the audit says of a rig; the mistakes where it is refused.
fn audited(rig: &Value, library: &Library) -> Result<Audit, String> {
    audited_text(&toml::to_string(rig).expect("TOML"), library)
}

/// The same of a rig as it is written.
pub(super) fn audited_text(written: &str, library: &Library) -> Result<Audit, String> {
    let loaded = input::parse("rig.toml", written, library).map_err(|e| e.to_string())?;
    let solved = solution::solve(&loaded.rig, library, Units::Si).map_err(|e| e.to_string())?;
    let found = audit::audit(&solved);
    checks_are_read(&solved, &found);
    Ok(found)
}

/// Rules of which one finds what a solved train is past its limit in; none where a rule asks for more than these sums
/// have: the place before the regulator, the largest duty, the throttle, the switch for high pressure.
fn read_by(kind: CheckKind) -> &'static [&'static str] {
    match kind {
        CheckKind::Velocity | CheckKind::Mach => &["TRN003"],
        CheckKind::PressureAboveRating | CheckKind::PressureAtRestAboveRating => &["TRN005"],
        CheckKind::ColderThanRating => &["TRN006"],
        CheckKind::HotterThanRating => &["TRN007"],
        CheckKind::TwoPhase => &["TRN009"],
        CheckKind::ExcessFlowTooSmall => &["TRN010"],
        CheckKind::BelowFreezing => &["TRN015", "REG005"],
        CheckKind::RegulatorStarved => &["REG001"],
        CheckKind::RegulatorOverloaded | CheckKind::RegulatorNearCapacity => &["REG002"],
        CheckKind::RegulatorInletHigh => &["REG003", "TRN005"],
        CheckKind::Flashing => &["LIQ001"],
        CheckKind::Cavitation => &["LIQ002"],
        CheckKind::VapourLock => &["LIQ003"],
        CheckKind::PumpPower => &["LIQ004"],
        CheckKind::Choked
        | CheckKind::Condensation
        | CheckKind::ExcessFlowTooLarge
        | CheckKind::PressureAfterRegulatorFailure
        | CheckKind::SourceStarved => &[],
    }
}

/// Whatever the sums of a train are past its limit in, a rule finds: no second telling of it is needed.
fn checks_are_read(solved: &Solution<'_>, found: &Audit) {
    let duties = solved.train().iter().flat_map(|plan| &plan.duties);
    for check in duties.flat_map(|d| &d.checks) {
        let (at, rules) = (format!("train.{}", check.at), read_by(check.kind));
        let tells = |f: &Finding| rules.contains(&f.id) && f.places.contains(&at);
        let told = rules.is_empty() || found.findings.iter().any(tells);
        assert!(told, "{check:?} is past its limit, and no rule says so");
    }
}

/// Findings of an audit that another has not, or has more mildly, or elsewhere.
fn new<'a>(after: &'a Audit, before: &Audit) -> Vec<&'a Finding> {
    let there = |f: &&Finding| {
        !f.places.iter().all(|at| {
            before
                .findings
                .iter()
                .any(|g| g.id == f.id && g.signal <= f.signal && g.places.contains(at))
        })
    };
    after.findings.iter().filter(there).collect()
}

struct Case {
    id: String,
    rig: String,
    changes: Vec<Table>,
    least: String,
    title: String,
}

/// What the audit says of the good rigs, and of each fault alone.
pub(super) fn audits() -> impl Iterator<Item = &'static Audit> {
    let good = BENCH.goods.values().map(|(_, audit)| audit);
    good.chain(ALONE.values().filter_map(|found| found.as_ref().ok()))
}

/// Single faults and breaks that change figures alone: id, text of the rig, the rules that answer, the keys changed.
pub(super) fn broken_by_figures() -> Vec<(String, String, Vec<String>, Vec<String>)> {
    let bench = &*BENCH;
    let keys = |changes: &[Table]| {
        let figure = |c: &Table| match c.get("to") {
            Some(Value::String(s)) => number_and_unit(s).is_some(),
            Some(to) => to.is_integer() || to.is_float(),
            None => false,
        };
        let paths = changes
            .iter()
            .map(|c| text(c, "path").to_owned())
            .collect::<Vec<_>>();
        (changes.iter().all(figure) && changes.iter().all(|c| !c.contains_key("before")))
            .then_some(paths)
    };
    let written = |rig: &Value| toml::to_string(rig).expect("TOML");
    let single = bench.cases.values().filter_map(|case| {
        let rules = bench.rules.get(&case.id)?.clone();
        Some((
            case.id.clone(),
            written(&bench.rig(&[case])),
            rules,
            keys(&case.changes)?,
        ))
    });
    let file: Table = std::fs::read_to_string(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/broken_rigs.toml"
    ))
    .expect("readable")
    .parse()
    .expect("TOML");
    let breaks = file["break"]
        .as_array()
        .expect("a list")
        .iter()
        .enumerate()
        .filter_map(|(i, b)| {
            let mut broken = b.as_table().expect("a table").clone();
            let value = broken.remove("value")?;
            broken.insert("to".to_owned(), value);
            let name = broken
                .get("rig")
                .and_then(Value::as_str)
                .unwrap_or("coupon-soak-rig");
            let places = ["examples", "tests/audit_rules"]
                .map(|f| format!("{}/{f}/{name}.toml", env!("CARGO_MANIFEST_DIR")));
            let rig = places
                .iter()
                .find_map(|p| std::fs::read_to_string(p).ok())
                .expect("a rig");
            let mut rig = Value::Table(rig.parse().expect("a rig"));
            let keys = keys(std::slice::from_ref(&broken))?;
            for without in broken
                .get("without")
                .and_then(Value::as_array)
                .into_iter()
                .flatten()
            {
                let gone: Table = [("path".to_owned(), without.clone())].into_iter().collect();
                change(&mut rig, &gone).expect("it is there");
            }
            change(&mut rig, &broken).expect("it can be broken");
            Some((
                format!("break {i}"),
                written(&rig),
                vec![text(&broken, "rule").to_owned()],
                keys,
            ))
        });
    single.chain(breaks).collect()
}

/// The good rigs and the faults, read once.
static BENCH: LazyLock<Bench> = LazyLock::new(Bench::new);

/// What the audit says of each fault alone.
static ALONE: LazyLock<BTreeMap<&str, Result<Audit, String>>> = LazyLock::new(|| {
    let bench = &*BENCH;
    let cases = bench.cases.par_iter();
    let found = |(id, fault): (&'static String, &'static Case)| {
        (id.as_str(), audited(&bench.rig(&[fault]), &bench.library))
    };
    cases.map(found).collect()
});

struct Bench {
    library: Library,
    goods: BTreeMap<String, (Value, Audit)>,
    rules: BTreeMap<String, Vec<String>>,
    cases: BTreeMap<String, Case>,
}

impl Bench {
    fn new() -> Self {
        let library = Library::embedded();
        let faults = list(&FAULTS, "fault");
        let cases: BTreeMap<String, Case> = faults
            .iter()
            .map(|f| {
                let changes = f["change"].as_array().expect("changes");
                let case = Case {
                    id: text(f, "id").to_owned(),
                    rig: text(f, "rig").to_owned(),
                    changes: changes
                        .iter()
                        .filter_map(|c| c.as_table().cloned())
                        .collect(),
                    least: text(f, "least").to_owned(),
                    title: text(f, "title").to_owned(),
                };
                (case.id.clone(), case)
            })
            .collect();
        let mut goods = BTreeMap::new();
        for name in cases.values().map(|c| c.rig.clone()) {
            goods.entry(name.clone()).or_insert_with(|| {
                let rig: Table = file(&format!("rigs/{name}.toml")).parse().expect("a rig");
                let rig = Value::Table(rig);
                let found = audited(&rig, &library).expect("a good rig is read");
                (rig, found)
            });
        }
        let answers = list(&["caught_by.toml"], "case");
        let rules = answers
            .iter()
            .map(|a| {
                let rules = a["rules"].as_array().expect("ids");
                let rules = rules.iter().filter_map(Value::as_str).map(str::to_owned);
                (text(a, "id").to_owned(), rules.collect())
            })
            .collect();
        Self {
            library,
            goods,
            rules,
            cases,
        }
    }

    fn rig(&self, faults: &[&Case]) -> Value {
        let mut rig = self.goods[&faults[0].rig].0.clone();
        for fault in faults {
            for c in &fault.changes {
                change(&mut rig, c).unwrap_or_else(|e| panic!("{}: {e}", fault.id));
            }
        }
        rig
    }

    /// Why a fault is not caught in what was found, with the kind of miss in front; `None` if it is.
    fn missed(&self, fault: &Case, found: &Result<Audit, String>) -> Option<String> {
        let before = &self.goods[&fault.rig].1;
        let Ok(after) = found else {
            return (fault.least != "REFUSED").then(|| "silent: the file is refused".to_owned());
        };
        let rules = self.rules.get(&fault.id).map_or(&[][..], Vec::as_slice);
        let new = new(after, before);
        let answers = |f: &&&Finding| rules.iter().any(|r| r == f.id);
        let least = match fault.least.as_str() {
            "DANGER" => Signal::Danger,
            "WARNING" | "REFUSED" => Signal::Warning,
            "CAUTION" => Signal::Caution,
            "NOTICE" => Signal::Notice,
            // an essential that is missing, or a finding of its rule
            _ if after.missing.len() > before.missing.len() => return None,
            _ => Signal::Notice,
        };
        if new.iter().filter(answers).any(|f| f.signal <= least) {
            return None;
        }
        let kind = if new.iter().any(|f| answers(&f)) {
            "too mild"
        } else if after
            .not_checked
            .iter()
            .any(|n| rules.iter().any(|r| r == n.id))
        {
            "not checked"
        } else {
            "silent"
        };
        let told: Vec<String> = new
            .iter()
            .map(|f| format!("{} {} {}", f.signal.word(), f.id, f.at))
            .collect();
        Some(format!("{kind}: by {rules:?}; new: {}", told.join(", ")))
    }
}

#[test]
fn single_faults_are_caught_at_their_severity() {
    let (bench, alone) = (&*BENCH, &*ALONE);
    let cases: Vec<&Case> = bench.cases.values().collect();
    let missed: Vec<String> = cases
        .iter()
        .filter_map(|fault| {
            let why = bench.missed(fault, &alone[fault.id.as_str()])?;
            Some(format!(
                "{why}\n    {} {}: {}",
                fault.id, fault.least, fault.title
            ))
        })
        .collect();
    let caught = cases.len() - missed.len();
    let of = |kind: &str| missed.iter().filter(|m| m.starts_with(kind)).count();
    let score = format!(
        "{caught} of {} caught, {} too mild, {} not checked, {} silent\n{}\n",
        cases.len(),
        of("too mild"),
        of("not checked"),
        of("silent"),
        missed.join("\n")
    );
    let file = concat!(env!("CARGO_TARGET_TMPDIR"), "/faults.txt");
    std::fs::write(file, &score).expect("the score is written");
    assert!(100 * caught >= LEAST_PERCENT * cases.len(), "{score}");
}

#[test]
fn what_is_good_is_not_found_fault_with() {
    let bench = &*BENCH;
    let by = list(&["caught_by.toml"], "clean");
    let clean = list(&CLEAN, "clean");
    assert_eq!(clean.len(), by.len(), "a rig that no rule is named for");
    let found: Vec<String> = clean
        .iter()
        .flat_map(|case| {
            let id = text(case, "id");
            let mut rig = bench.goods[text(case, "rig")].0.clone();
            for c in case["change"].as_array().expect("changes") {
                change(&mut rig, c.as_table().expect("a change")).expect(id);
            }
            let audit = audited(&rig, &bench.library).expect("it is read");
            let rules = by.iter().find(|b| text(b, "id") == id).expect(id);
            let rules = rules["not_by"].as_array().expect("rules").clone();
            let said = audit.findings.into_iter().filter(move |f| {
                let named = rules.iter().any(|r| r.as_str() == Some(f.id));
                named && f.signal < Signal::Notice
            });
            let told =
                said.map(|f| format!("{id}: {} {}: {}", f.id, f.at, f.measured.show(Units::Si)));
            told.collect::<Vec<_>>()
        })
        .collect();
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn no_fault_hides_another() {
    let (bench, alone) = (&*BENCH, &*ALONE);
    let pairs = list(&["gas-pairs.toml", "main-and-liquid-pairs.toml"], "pair");
    assert!(pairs.len() >= 80);
    let hidden: Vec<String> = pairs
        .par_iter()
        .flat_map(|pair| {
            let both = [text(pair, "first"), text(pair, "second")].map(|id| &bench.cases[id]);
            let found = audited(&bench.rig(&both), &bench.library);
            let lost = both.iter().filter_map(|fault| {
                // what is missed alone is not hidden by the other
                if bench.missed(fault, &alone[fault.id.as_str()]).is_some() {
                    return None;
                }
                let why = bench.missed(fault, &found)?;
                Some(format!(
                    "{}: {} {}; {why}",
                    text(pair, "id"),
                    fault.id,
                    fault.title
                ))
            });
            lost.collect::<Vec<_>>()
        })
        .collect();
    assert!(
        hidden.is_empty(),
        "{} hidden:\n{}",
        hidden.len(),
        hidden.join("\n")
    );
}

/// Every CAUTION that stays on a good rig, and why a fitter would say it too.
const CAUTIONS: &[(&str, &str, &str)] = &[
    (
        "indoor-blend-two-cylinders",
        "REG005",
        "one stage lets a damp blend down below freezing: its vent has to be kept clear",
    ),
    (
        "kiln-on-main",
        "INJ010",
        "holes that nobody has flow-tested may run this duty rich, and that makes carbon monoxide",
    ),
    (
        "pressure-fed-kerosene",
        "FLM003",
        "a wall that runs 36 K below its limit is measured before it is trusted",
    ),
    (
        "pressure-fed-kerosene",
        "LEK013",
        "gas pressure sprays a loose joint at the tank as far as the operator",
    ),
    (
        "pumped-kerosene",
        "FLM003",
        "a wall that runs 45 K below its limit is measured before it is trusted",
    ),
    (
        "pumped-kerosene",
        "LEK009",
        "nothing in the file stops the pump when its hose breaks",
    ),
    (
        "two-stage-propane",
        "INJ010",
        "holes that nobody has flow-tested may run these duties rich, and that makes carbon monoxide",
    ),
];

#[test]
fn every_caution_on_a_good_rig_has_its_reason() {
    let bench = &*BENCH;
    let mut told: Vec<(&str, &str)> = Vec::new();
    for (name, (_, found)) in &bench.goods {
        let cautions = found
            .findings
            .iter()
            .filter(|f| f.signal == Signal::Caution);
        told.extend(cautions.map(|f| (name.as_str(), f.id)));
    }
    told.dedup();
    let listed: Vec<(&str, &str)> = CAUTIONS.iter().map(|(rig, id, _)| (*rig, *id)).collect();
    assert_eq!(told, listed);
    assert!(CAUTIONS.iter().all(|(.., why)| why.len() > 30));
}

/// Advice that names a figure to change to: the rule, a fault that brings it, and the change asked for.
const FIGURES: &[(&str, &str, &str, &str)] = &[
    ("SIT009", "PUM-090", "site.extinguisher_charge", "6 kg"),
    ("TNK009", "OUT-038", "tank.water_bath", "40 degC"),
    ("TNK002", "OUT-035", "tank.fuel_mass", "33.1 kg"),
    // 12.7 bar(g) on the hottest day
    ("TNK004", "OUT-003", "tank.rating", "12.8 bar(g)"),
    ("TNK006", "OUT-004", "tank.relief_pressure", "30 bar(g)"),
    (
        "REG003",
        "OUT-006",
        "train.regulator.max_inlet",
        "12.8 bar(g)",
    ),
    (
        "REG001",
        "TWO-005",
        "train.second-regulator.set_pressure",
        "1.4 bar(g)",
    ),
    ("REG008", "OUT-012", "train.relief.set_pressure", "6 bar(g)"),
    (
        "REG010",
        "H2-044",
        "train.first-regulator.shut_off_pressure",
        "6 bar(g)",
    ),
    // a little over 1.3 times the 0.748 g/s of the largest duty
    (
        "TRN011",
        "MAI-051",
        "train.excess-flow.closing_flow",
        "3.51 kg/h",
    ),
];

/// Advice with a figure of what happens, and no figure to change to.
const TOLD: &[(&str, &str)] = &[
    (
        "VLV004",
        "the least Kv for one duty: the travel is judged apart",
    ),
    ("REG006", "what the parts have to stand, all of them"),
    ("SUP001", "the least before the holes: losses come on top"),
    ("SUP002", "how warm the tank has to be on the coldest day"),
];

#[test]
fn a_figure_in_advice_clears_its_finding() {
    let (bench, alone) = (&*BENCH, &*ALONE);
    // which advice names a figure, of all that is found on any broken rig
    let findings = alone.values().flatten().flat_map(|audit| &audit.findings);
    let figure = |f: &&Finding| f.advice.chars().any(|c| c.is_ascii_digit());
    let named: BTreeSet<&str> = findings.filter(figure).map(|f| f.id).collect();
    let told = TOLD.iter().map(|t| t.0);
    assert_eq!(named, FIGURES.iter().map(|f| f.0).chain(told).collect());
    for (id, case, path, value) in FIGURES {
        let mut rig = bench.rig(&[&bench.cases[*case]]);
        let before = alone[case].as_ref().expect("it is read");
        assert!(
            before.findings.iter().any(|f| f.id == *id),
            "{case} does not bring {id}"
        );
        let mut advised = Table::new();
        advised.insert("path".to_owned(), Value::String((*path).to_owned()));
        advised.insert("to".to_owned(), Value::String((*value).to_owned()));
        change(&mut rig, &advised).expect("the key is there");
        let after = audited(&rig, &bench.library).expect("it is read");
        let told: Vec<String> = new(&after, before)
            .iter()
            .map(|f| format!("{} {}", f.signal.word(), f.id))
            .collect();
        let cleared = after.findings.iter().all(|f| f.id != *id);
        assert!(cleared && told.is_empty(), "{path}: {told:?}");
    }
}

#[test]
fn good_rigs_have_no_warning() {
    let bench = &*BENCH;
    for (name, (_, found)) in &bench.goods {
        let grave = found.findings.iter().filter(|f| f.signal < Signal::Caution);
        let told: Vec<String> = grave
            .map(|f| {
                format!(
                    "{} {} at {}: {}",
                    f.signal.word(),
                    f.id,
                    f.at,
                    f.measured.show(Units::Si)
                )
            })
            .collect();
        assert!(told.is_empty(), "{name}: {}", told.join("\n"));
        assert!(!found.is_incomplete(), "{name}: {:?}", found.missing);
    }
}

/// Keys that may take a finding away when they are added, and why.
const SAFEGUARDS: &[(&str, &str)] = &[
    ("tank.water_bath", "a bath keeps the tank warm"),
    (
        "burner.heat_loss",
        "walls that take heat cool the gas that leaves",
    ),
    (
        "injector.temperature",
        "holes are worked out at the temperature given",
    ),
    (
        "injector.discharge_coefficient",
        "a measured coefficient stands for the model's",
    ),
    (
        "air.inlet_temperature",
        "the air is as warm as it is said to be",
    ),
    (
        "duties.air_temperature",
        "the air is as warm as it is said to be",
    ),
    (
        "records.reviewed",
        "a licensed practitioner has looked at it",
    ),
    (
        "tank.conductance",
        "the heat that reaches the tank is given",
    ),
    ("site.wind", "wind warms a chilled tank"),
    (
        "tank.frost_thickness",
        "frost that is counted keeps the outside of the tank warmer",
    ),
];

/// Cases tried.
const ADDED_KEYS: usize = 1000;

/// Optional keys of the file by table, with an example.
fn optional_keys() -> Vec<(String, String, Value)> {
    let schema = fuelwright::inside::schema();
    let mut keys = Vec::new();
    for (table, about) in schema["properties"].as_object().expect("tables") {
        let about = match about.get("anyOf") {
            Some(either) => &either[0],
            None => about,
        };
        let (about, one) = match about.get("items") {
            Some(items) => (items, false),
            None => (about, true),
        };
        // a plan for another fuel, a run plan, bands and names change what is asked, not what is judged
        let asked = [
            "rig",
            "switch",
            "steps",
            "schedule",
            "tolerance",
            "suppress",
            "branches",
            "limits",
            "format",
        ];
        if asked.contains(&table.as_str()) || !one && table != "duties" && table != "leak_test" {
            continue;
        }
        for (key, value) in about["properties"].as_object().expect("keys") {
            // where a test was made and how is another test
            if table == "leak_test" && ["from", "to", "method"].contains(&key.as_str()) {
                continue;
            }
            let example = &value["examples"][0];
            if let Ok(example) = Value::try_from(example) {
                keys.push((table.clone(), key.clone(), example));
            }
        }
    }
    keys
}

#[test]
fn no_added_key_takes_a_finding_away() {
    let (bench, alone) = (&*BENCH, &*ALONE);
    let keys = optional_keys();
    let cases: Vec<&Case> = bench
        .cases
        .values()
        .filter(|c| c.least != "REFUSED")
        .collect();
    let count = times(ADDED_KEYS);
    let mut seed: u64 = 0x5eed;
    let mut draw = |n: usize| {
        // Knuth's linear congruential generator: any will do
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(seed >> 33).expect("31 bits") % n
    };
    let tries: Vec<(usize, usize)> = (0..count)
        .map(|_| (draw(cases.len()), draw(keys.len())))
        .collect();
    let tried = std::sync::atomic::AtomicUsize::new(0);
    let lost: Vec<String> = tries
        .par_iter()
        .filter_map(|&(case, key)| {
            let (table, key, example) = &keys[key];
            let path = format!("{table}.{key}");
            if SAFEGUARDS.iter().any(|(k, _)| *k == path) {
                return None;
            }
            // what the fault took out is the mending of it
            let took_out = |c: &Table| text(c, "path") == path && !c.contains_key("to");
            if cases[case].changes.iter().any(took_out) {
                return None;
            }
            let mut more = bench.rig(&[cases[case]]);
            let place = match more.get_mut(table.as_str())? {
                Value::Array(rows) => rows.first_mut()?,
                one => one,
            };
            let place = place.as_table_mut()?;
            if place.contains_key(key) {
                return None;
            }
            place.insert(key.clone(), example.clone());
            let before = &alone[cases[case].id.as_str()];
            let (Ok(before), Ok(after)) = (before, audited(&more, &bench.library)) else {
                return None;
            };
            tried.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
            let gone = before.findings.iter().filter(|f| {
                let there = after.findings.iter().any(|g| g.id == f.id);
                !there && after.not_checked.iter().all(|n| n.id != f.id)
            });
            let gone: Vec<&str> = gone.map(|f| f.id).collect();
            (!gone.is_empty()).then(|| format!("{}: {path} takes away {gone:?}", cases[case].id))
        })
        .collect();
    assert!(
        tried.into_inner() > count / 20,
        "hardly any key could be added"
    );
    assert!(lost.is_empty(), "{}", lost.join("\n"));
}
