//! Every rule: a rig that trips it, and one that just does not.

use fuelwright::audit::{self, Audit, Judges, Rule, Source, registry::RULES, solution};
use fuelwright::fuel::Library;
use fuelwright::input;
use fuelwright::quantity::show::Units;
use rayon::prelude::*;
use std::collections::BTreeSet;

mod flame;
mod injector;
mod leak;
mod liquid;
mod mass;
mod materials;
mod records;
mod regulator;
mod shutdown;
mod site;
mod supply;
mod tank;
mod train;
mod trapped;
mod values;
mod valve;

/// The examples that cases begin with.
const SOAK: &str = "coupon-soak-rig";
const FROST: &str = "greenhouse-frost-guard";
const KILN: &str = "kiln-pilot";
/// One of the rules' own: no example burns a liquid yet.
const KEROSENE: &str = "../tests/audit_rules/kerosene-bench";

/// Text in the rig and what stands in its place.
type Changes = &'static [(&'static str, &'static str)];

/// A rule with changes that trip it and changes that just do not.
struct Case {
    /// Example that is changed.
    rig: &'static str,
    rule: &'static str,
    trips: Changes,
    just_not: Changes,
}

/// Its leak tests: the one of the low side, and the soap on the supply's.
const LEAK_TEST: &str = "[[leak_test]]
from = \"regulator\"
date = 2026-03-28
pressure = \"3.5 bar(g)\"
hold_time = \"20 min\"
drop = \"3 mbar\"
gauge_resolution = \"1 mbar\"
volume = \"0.31 L\"
gas = \"nitrogen\"
start_temperature = \"13.1 degC\"
end_temperature = \"13.0 degC\"

[[leak_test]]
to = \"regulator\"
method = \"soap\"
date = 2026-03-28
pressure = \"5.8 bar(g)\"
leak_found = false
";
/// The soap alone.
const SOAPED: &str = "[[leak_test]]
to = \"regulator\"
method = \"soap\"
date = 2026-03-28
pressure = \"5.8 bar(g)\"
leak_found = false
";

/// Every case, group by group.
fn cases() -> impl Iterator<Item = &'static Case> {
    [
        supply::CASES,
        tank::CASES,
        regulator::CASES,
        train::CASES,
        valve::CASES,
        injector::CASES,
        flame::CASES,
        liquid::CASES,
        materials::CASES,
        leak::CASES,
        trapped::CASES,
        shutdown::CASES,
        site::CASES,
        records::CASES,
        mass::CASES,
        values::CASES,
    ]
    .into_iter()
    .flatten()
}

fn changed(rig: &str, changes: &[(&str, &str)]) -> String {
    let path = format!("{}/examples/{rig}.toml", env!("CARGO_MANIFEST_DIR"));
    let mut text = std::fs::read_to_string(path).expect("it is there");
    for (from, to) in changes {
        assert!(text.contains(from), "the rig has no `{from}`");
        text = text.replace(from, to);
    }
    text
}

fn audited(text: &str) -> Audit {
    let library = Library::embedded();
    let loaded = input::parse("rig.toml", text, &library).unwrap_or_else(|e| panic!("{e}"));
    let solution = solution::solve(&loaded.rig, &library, Units::Si).expect("propane has a model");
    audit::audit(&solution)
}

/// What the audit says of each rig that trips a rule.
pub(super) fn audits() -> Vec<Audit> {
    let cases: Vec<&Case> = cases().collect();
    let audit = |case: &&Case| audited(&changed(case.rig, case.trips));
    cases.par_iter().map(audit).collect()
}

fn finds(audit: &Audit, rule: &str) -> bool {
    audit.findings.iter().any(|f| f.id == rule)
}

#[test]
fn every_rule_is_tripped_by_one_rig_and_just_not_by_another() {
    let mut wrong = Vec::new();
    let library = Library::embedded();
    for case in cases() {
        let tripped = audited(&changed(case.rig, case.trips));
        if !finds(&tripped, case.rule) {
            wrong.push(format!("{} is not tripped", case.rule));
        }
        for f in tripped.findings.iter().filter(|f| f.id == case.rule) {
            let said = match &f.source {
                Source::Published(key) | Source::Unconfirmed(key) => library.source(key).is_some(),
                Source::Input(path) => path.contains('.'),
                Source::Choice(why) | Source::Words(why) => why.len() > 10,
            };
            if !said || f.advice.is_empty() || f.at.is_empty() {
                wrong.push(format!(
                    "{} does not say who sets its limit, where or what to do: {f:?}",
                    case.rule
                ));
            }
        }
        let spared = audited(&changed(case.rig, case.just_not));
        if let Some(f) = spared.findings.iter().find(|f| f.id == case.rule) {
            wrong.push(format!("{} is tripped all the same: {f:?}", case.rule));
        }
        if spared.not_checked.iter().any(|n| n.id == case.rule) && case.rule != "INJ009" {
            let why = spared.not_checked.iter().find(|n| n.id == case.rule);
            wrong.push(format!(
                "{} passes only because it was not checked: {why:?}",
                case.rule
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let ids: BTreeSet<&str> = on_rigs().map(|r| r.id).collect();
    let cases: BTreeSet<&str> = cases().map(|c| c.rule).collect();
    assert_eq!(ids, cases, "a rule without its two rigs");
}

/// Rules that judge a rig.
fn on_rigs() -> impl Iterator<Item = &'static &'static Rule> {
    RULES.iter().filter(|r| matches!(r.judges, Judges::Rig(_)))
}

/// Rules whose numbers are in the words of an error that says why something cannot be had: no figure of their own.
const WORDS_OF_AN_ERROR: [&str; 5] = ["INJ004", "INJ012", "TRN001", "TNK007", "LIQ003"];

/// Whether a text gives a figure: a word of digits, outside names in backquotes.
fn gives_a_figure(text: &str) -> bool {
    let unquoted: String = text.split('`').step_by(2).collect();
    let figure = |w: &str| {
        let w = w.trim_matches(|c: char| !c.is_ascii_digit());
        !w.is_empty() && w.parse::<f64>().is_ok()
    };
    let words = unquoted.split_whitespace();
    words
        .filter(|w| w.starts_with(|c: char| c.is_ascii_digit() || c == '-'))
        .any(figure)
}

#[test]
fn every_finding_has_its_subject_and_every_number_its_figure_and_limit() {
    let air = |s: &str| {
        let library = Library::embedded();
        let loaded = input::parse("rig.toml", s, &library).unwrap_or_else(|e| panic!("{e}"));
        loaded.rig.site.air_pressure
    };
    let mut wrong = BTreeSet::new();
    for case in cases() {
        let text = changed(case.rig, case.trips);
        let air = air(&text);
        for f in audited(&text).findings {
            if f.subject.is_empty() {
                wrong.insert(format!("{} has no subject", f.id));
            }
            let rule = on_rigs().find(|r| r.id == f.id);
            if !rule.is_some_and(|r| r.name == f.name && r.signals.contains(&f.signal)) {
                let word = f.signal.word();
                wrong.insert(format!("{}: {word} is not on its page", f.id));
            }
            let (measured, limit) = (f.measured.show(Units::Si), f.limit.show(Units::Si));
            let told = gives_a_figure(&measured) && !WORDS_OF_AN_ERROR.contains(&f.id);
            let figures = (f.measured.si(air), f.limit.figure().and_then(|m| m.si(air)));
            let fault = match figures {
                (Some(m), Some(l)) if m.1 == l.1 => continue,
                (Some(m), Some(l)) => format!("{} against {}", m.1, l.1),
                (Some(_), None) => format!("no limit: {measured}; {limit}"),
                (None, _) if told => format!("no figure: {measured}; {limit}"),
                (None, _) => continue,
            };
            wrong.insert(format!("{}: {fault}", f.id));
        }
    }
    let wrong: Vec<String> = wrong.into_iter().collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Rules that must be there at least, and the groups that must have some.
const LEAST_RULES: usize = 45;

#[test]
fn there_are_enough_rules_and_each_has_its_page_and_its_two_rigs() {
    assert!(RULES.len() >= LEAST_RULES, "only {}", RULES.len());
    let groups: BTreeSet<&str> = on_rigs().map(|r| r.group.name()).collect();
    let wanted = [
        "supply",
        "tank",
        "regulator",
        "train",
        "valve",
        "injector",
        "flame",
        "liquid",
        "materials",
        "leak",
        "trapped",
        "shutdown",
        "site",
        "records",
        "mass",
        "values",
    ];
    assert_eq!(groups, BTreeSet::from(wanted));
    for about in on_rigs() {
        let of: Vec<&Case> = cases().filter(|c| c.rule == about.id).collect();
        assert!(!of.is_empty(), "{} has no case", about.id);
        for case in of {
            assert_ne!(
                case.trips, case.just_not,
                "{}: the same rig twice",
                about.id
            );
        }
        for heading in ["What it checks", "Why it matters", "What to do"] {
            assert!(
                about.paragraph(heading).len() > 20,
                "{}: {heading}",
                about.id
            );
        }
    }
}

#[test]
fn findings_stand_by_signal_word_then_id() {
    let all = audited(&changed(
        SOAK,
        &[
            (LEAK_TEST, ""),
            ("[rig]\n", "leak_test = \"none\"\n\n[rig]\n"),
            ("reviewed = true", "reviewed = false"),
            ("ignition = \"spark\"", "ignition = \"hand\""),
            (
                "carbon_monoxide_alarm = true",
                "carbon_monoxide_alarm = false",
            ),
        ],
    ));
    let keys: Vec<_> = all.findings.iter().map(|f| (f.signal, f.id)).collect();
    let mut sorted = keys.clone();
    sorted.sort();
    assert_eq!(keys, sorted);
    assert_eq!(keys[0].1, "REC001");
    assert!(keys.len() > 5);
}

#[test]
fn a_suppressed_finding_stays_visible_with_its_reason() {
    let text = format!(
        "{}\n[[suppress]]\nrule = \"inj001\"\nat = \"duties.idle\"\nreason = \"idle is only used to warm the duct\"\nby = \"the owner\"\nuntil = 2026-12-31\n",
        changed(SOAK, &[])
    );
    let all = audited(&text);
    let at: Vec<&str> = all
        .findings
        .iter()
        .filter(|f| f.id == "INJ001")
        .map(|f| f.at.as_str())
        .collect();
    assert_eq!(at, ["duties.light-up"]);
    let aside = &all.suppressed[0];
    assert_eq!(
        (aside.finding.id, aside.finding.at.as_str()),
        ("INJ001", "duties.idle")
    );
    assert_eq!(aside.reason, "idle is only used to warm the duct");
}

#[test]
fn only_the_place_named_is_set_aside_and_only_with_a_reason() {
    let with = |at: &str, reason: &str| {
        format!(
            "{}\n[[suppress]]\nrule = \"INJ001\"\nat = \"{at}\"\nreason = \"{reason}\"\nby = \"the owner\"\nuntil = 2026-04-11\n",
            changed(
                SOAK,
                &[
                    ("name = \"idle\"", "name = \"idle-2\""),
                    ("duty = \"idle\"", "duty = \"idle-2\"")
                ]
            )
        )
    };
    // `duties.idle` is not the beginning of `duties.idle-2`
    let reason = "only used to warm the duct";
    let all = audited(&with("duties.idle", reason));
    assert!(all.suppressed.is_empty());
    let all = audited(&with("duties.idle-2", reason));
    assert_eq!(all.suppressed.len(), 1);
    let all = audited(&with("duties", reason));
    assert_eq!(all.suppressed.len(), 2);
    assert!(!finds(&all, "INJ001"));
    let library = Library::embedded();
    for none in ["", "   ", "x"] {
        let text = with("duties", none);
        assert!(
            input::parse("rig.toml", &text, &library).is_err(),
            "`{none}` is no reason"
        );
    }
    let left_out = with("duties", reason).replace(
        &format!("reason = \"{reason}\"\nby = \"the owner\"\nuntil = 2026-04-11\n"),
        "",
    );
    assert!(input::parse("rig.toml", &left_out, &library).is_err());
}

#[test]
fn a_release_that_cannot_be_told_is_not_passed_over() {
    let because = |all: &Audit, rule: &str| {
        assert!(!finds(all, rule), "{rule}");
        let said = all.not_checked.iter().find(|n| n.id == rule);
        said.unwrap_or_else(|| panic!("{rule} passes"))
            .because
            .clone()
    };
    // a liquid that makes a pool has no jet, and no gas that fills a room
    let pool = audited(&changed(
        KEROSENE,
        &[(
            "setting = \"outdoor\"",
            "setting = \"indoor\"\nroom_volume = \"40 m3\"\nventilation = \"100 m3/h\"\npeople_distance = \"6 m\"",
        )],
    ));
    for rule in ["LEK008", "LEK010", "LEK011"] {
        let why = because(&pool, rule);
        assert!(why.contains("pool"), "{rule}: {why}");
    }
    // light-up is the first duty: another one does not stand for it
    let cold = audited(&changed(
        SOAK,
        &[(
            "chamber_pressure = \"2 mbar(g)\"\nequivalence_ratio = 0.29",
            "chamber_pressure = \"2 mbar(g)\"\nexit_temperature = \"2600 degC\"",
        )],
    ));
    for rule in ["LEK015", "LEK016"] {
        let why = because(&cold, rule);
        assert!(why.contains("light-up"), "{rule}: {why}");
    }
}

#[test]
fn a_rule_without_its_input_says_so_and_does_not_pass() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/coupon-soak-rig.toml");
    let whole = std::fs::read_to_string(path).expect("it is there");
    // only what must be there
    let bare = {
        let cut = whole.find("[air]").expect("air");
        let head = "[rig]\nname = \"bare\"\n[site]\nambient_temperature = \"12 degC\"\nsetting = \"indoor\"\n[fuel]\ncomposition = \"propane\"\n";
        assert!(cut > 0);
        format!(
            "{head}[[duties]]\nname = \"full\"\nair_flow = \"60 g/s\"\nchamber_pressure = \"10 mbar(g)\"\nequivalence_ratio = 0.45\n[injector]\nshape = \"holes\"\nholes = 12\nhole_diameter = \"0.6 mm\"\n[mains]\npressure = \"2 bar(g)\"\n"
        )
    };
    let all = audited(&bare);
    let silent: Vec<&str> = all.not_checked.iter().map(|n| n.id).collect();
    for rule in [
        "SUP002", "SUP003", "SUP004", "SUP005", "SUP006", "TNK002", "TNK003", "TNK004", "TNK005",
        "TNK006", "TNK007", "TNK008", "TNK009", "TNK010", "REG001", "REG002", "REG003", "REG004",
        "REG005", "REG006", "REG007", "TRN001", "TRN002", "TRN003", "TRN004", "TRN005", "TRN006",
        "TRN007", "TRN008", "TRN009", "TRN010", "TRN011", "TRN012", "TRN013", "TRN014", "TRN015",
        "VLV001", "VLV002", "VLV003", "VLV004", "INJ011", "LIQ001", "LIQ002", "LIQ003", "LIQ004",
        "MAT001", "MAT002", "MAT003", "TNK001", "INJ007", "INJ009", "FLM002", "SHU001", "SHU002",
        "SHU003", "SHU004", "SHU005", "SIT001", "SIT002", "SIT003", "SIT004", "REC002", "REC004",
    ] {
        assert!(silent.contains(&rule), "{rule}: {silent:?}");
        assert!(!finds(&all, rule), "{rule}");
    }
    for n in &all.not_checked {
        assert!(n.because.len() > 10, "{}", n.id);
    }
    // every other rule has all that it needs: duties, holes and a main; or what it asks after is not there
    let spoken = |id: &str| silent.contains(&id) || finds(&all, id);
    let quiet: Vec<&str> = on_rigs().map(|r| r.id).filter(|id| !spoken(id)).collect();
    let answered = [
        "SUP001", "INJ001", "INJ002", "INJ003", "INJ004", "INJ005", "INJ006", "INJ008", "INJ010",
        "INJ012", "INJ013", "FLM001", "FLM004", "FLM014", "LIQ005", "LIQ006", "LEK017", "LEK018",
        "LEK019", "SHU016", "SHU018", "SHU019", "SHU020", "SHU021", "SHU022", "SIT009", "SIT010",
        "REC003", "REC005", "REC006", "MAS002", "VAL001", "VAL002",
    ];
    assert_eq!(quiet, answered);
}
