//! Every rule: a rig that trips it, and one that just does not.

use fuelwright::audit::{self, Audit, registry::RULES, solution};
use fuelwright::fuel::Library;
use fuelwright::input;
use fuelwright::quantity::show::Units;
use std::collections::BTreeSet;

/// Text in the coupon soak rig and what stands in its place.
type Changes = &'static [(&'static str, &'static str)];

/// A rule with changes that trip it and changes that just do not.
struct Case {
    rule: &'static str,
    trips: Changes,
    just_not: Changes,
}

const OUTDOORS: Changes = &[
    (
        "setting = \"indoor\"\nroom_volume = \"240 m3\"\nventilation = \"1800 m3/h\"\n",
        "setting = \"outdoor\"\n",
    ),
    (
        "carbon_monoxide_alarm = true",
        "carbon_monoxide_alarm = false",
    ),
];

const LEAK_TEST: &str = "[leak_test]
date = 2026-03-28
pressure = \"3.0 bar(g)\"
hold_time = \"20 min\"
drop = \"3 mbar\"
gauge_resolution = \"1 mbar\"
volume = \"0.31 L\"
gas = \"nitrogen\"
start_temperature = \"13.1 degC\"
end_temperature = \"13.0 degC\"
";

const FULL: &str = "chamber_pressure = \"32 mbar(g)\"\nequivalence_ratio = 0.30";

const CASES: &[Case] = &[
    Case {
        rule: "SUP001",
        // the duty `full` needs 1.0 bar(g)
        trips: &[(
            "set_pressure = \"2.0 bar(g)\"",
            "set_pressure = \"0.99 bar(g)\"",
        )],
        just_not: &[(
            "set_pressure = \"2.0 bar(g)\"",
            "set_pressure = \"1.01 bar(g)\"",
        )],
    },
    Case {
        rule: "TNK001",
        trips: &[("position = \"upright\"", "position = \"lying\"")],
        just_not: &[
            ("position = \"upright\"", "position = \"lying\""),
            ("draw = \"vapour\"", "draw = \"liquid\""),
        ],
    },
    Case {
        rule: "INJ001",
        trips: &[],
        just_not: &[(
            "pressure = \"1.0 bar(g)\"\nring",
            "pressure = \"3.0 bar(g)\"\nring",
        )],
    },
    Case {
        rule: "INJ002",
        trips: &[],
        // 14 holes of 0.502 mm, and there is a drill of 0.50 mm
        just_not: &[("holes = 16", "holes = 14")],
    },
    Case {
        rule: "INJ003",
        // n-butane at 2 bar(a) condenses at 18.8 °C
        trips: &[
            ("composition = \"propane\"", "composition = \"n-butane\""),
            (
                "edge = \"sharp\"",
                "edge = \"sharp\"\ntemperature = \"21 degC\"",
            ),
        ],
        just_not: &[
            ("composition = \"propane\"", "composition = \"n-butane\""),
            (
                "edge = \"sharp\"",
                "edge = \"sharp\"\ntemperature = \"25 degC\"",
            ),
        ],
    },
    Case {
        rule: "INJ004",
        trips: &[("sized_at = \"full\"", "hole_diameter = \"0.15 mm\"")],
        just_not: &[("sized_at = \"full\"", "hole_diameter = \"0.30 mm\"")],
    },
    Case {
        rule: "INJ005",
        trips: &[],
        just_not: &[(
            "pressure = \"1.0 bar(g)\"\nring",
            "pressure = \"0.6 bar(g)\"\nring",
        )],
    },
    Case {
        rule: "INJ006",
        trips: &[("sized_at = \"full\"", "hole_diameter = \"1.8 mm\"")],
        just_not: &[("sized_at = \"full\"", "hole_diameter = \"1.6 mm\"")],
    },
    Case {
        rule: "INJ007",
        trips: &[("tube_bore = \"6 mm\"", "tube_bore = \"1.1 mm\"")],
        just_not: &[],
    },
    Case {
        rule: "INJ008",
        trips: &[("heat_release = \"32 kW\"", "heat_release = \"5.5 kW\"")],
        just_not: &[("heat_release = \"32 kW\"", "heat_release = \"6.0 kW\"")],
    },
    Case {
        rule: "INJ009",
        // the duty `soak` needs 0.29 bar(g)
        trips: &[(
            "heat_release = \"32 kW\"",
            "heat_release = \"32 kW\"\ninjector_pressure = \"0.37 bar(g)\"",
        )],
        just_not: &[(
            "heat_release = \"32 kW\"",
            "heat_release = \"32 kW\"\ninjector_pressure = \"0.33 bar(g)\"",
        )],
    },
    Case {
        rule: "INJ010",
        trips: &[(
            FULL,
            "chamber_pressure = \"32 mbar(g)\"\nequivalence_ratio = 0.75",
        )],
        just_not: &[(
            FULL,
            "chamber_pressure = \"32 mbar(g)\"\nequivalence_ratio = 0.60",
        )],
    },
    Case {
        rule: "FLM001",
        trips: &[(
            FULL,
            "chamber_pressure = \"32 mbar(g)\"\nequivalence_ratio = 1.01",
        )],
        just_not: &[(
            FULL,
            "chamber_pressure = \"32 mbar(g)\"\nequivalence_ratio = 1.00",
        )],
    },
    Case {
        rule: "FLM002",
        trips: &[(
            "primary_air_share = \"38 %\"",
            "primary_air_share = \"62 %\"",
        )],
        just_not: &[(
            "primary_air_share = \"38 %\"",
            "primary_air_share = \"54 %\"",
        )],
    },
    Case {
        rule: "FLM003",
        trips: &[(
            "max_temperature = \"870 degC\"",
            "max_temperature = \"600 degC\"",
        )],
        just_not: &[],
    },
    Case {
        rule: "SHU001",
        trips: &[(
            "actuation = \"solenoid-spring-closed\"",
            "actuation = \"motor\"",
        )],
        just_not: &[(
            "name = \"shut-off-1\"\nkind = \"solenoid-valve\"\nbore = \"6 mm\"\nflow_coefficient = \"0.55 Kv\"\ncurve = \"on-off\"\nactuation = \"solenoid-spring-closed\"",
            "name = \"shut-off-1\"\nkind = \"solenoid-valve\"\nbore = \"6 mm\"\nflow_coefficient = \"0.55 Kv\"\ncurve = \"on-off\"\nactuation = \"motor\"",
        )],
    },
    Case {
        rule: "SHU002",
        trips: &[(
            "name = \"shut-off-1\"\nkind = \"solenoid-valve\"\nbore = \"6 mm\"\nflow_coefficient = \"0.55 Kv\"\ncurve = \"on-off\"\nactuation = \"solenoid-spring-closed\"",
            "name = \"shut-off-1\"\nkind = \"solenoid-valve\"\nbore = \"6 mm\"\nflow_coefficient = \"0.55 Kv\"\ncurve = \"on-off\"\nactuation = \"motor\"",
        )],
        just_not: &[],
    },
    Case {
        rule: "SHU003",
        trips: &[(
            "flame_failure_time = \"1 s\"",
            "flame_failure_time = \"4.1 s\"",
        )],
        just_not: &[(
            "flame_failure_time = \"1 s\"",
            "flame_failure_time = \"4 s\"",
        )],
    },
    Case {
        rule: "SHU004",
        trips: &[("purge_time = \"45 s\"", "purge_time = \"7 s\"")],
        just_not: &[("purge_time = \"45 s\"", "purge_time = \"7.5 s\"")],
    },
    Case {
        rule: "SHU005",
        trips: &[("ignition = \"spark\"", "ignition = \"hand\"")],
        just_not: &[("ignition = \"spark\"", "ignition = \"pilot\"")],
    },
    Case {
        rule: "SIT001",
        trips: &[("extinguisher = \"dry-powder\"", "extinguisher = \"water\"")],
        just_not: &[(
            "extinguisher = \"dry-powder\"",
            "extinguisher = \"carbon-dioxide\"",
        )],
    },
    Case {
        rule: "SIT002",
        trips: &[(
            "low_point_distance = \"7 m\"",
            "low_point_distance = \"2.9 m\"",
        )],
        just_not: &[(
            "low_point_distance = \"7 m\"",
            "low_point_distance = \"3.0 m\"",
        )],
    },
    Case {
        rule: "SIT003",
        trips: &[(
            "carbon_monoxide_alarm = true",
            "carbon_monoxide_alarm = false",
        )],
        just_not: OUTDOORS,
    },
    Case {
        rule: "SIT004",
        trips: &[("gas_detector = true", "gas_detector = false")],
        just_not: &[("odorised = true", "odorised = false")],
    },
    Case {
        rule: "REC001",
        trips: &[(LEAK_TEST, "")],
        just_not: &[("drop = \"3 mbar\"", "drop = \"299 mbar\"")],
    },
    Case {
        rule: "REC002",
        trips: &[("date = 2026-03-28", "date = 2026-03-11")],
        just_not: &[("date = 2026-03-28", "date = 2026-03-12")],
    },
    Case {
        rule: "REC003",
        trips: &[("hose_made = 2024-09-01", "hose_made = 2021-04-10")],
        just_not: &[("hose_made = 2024-09-01", "hose_made = 2021-04-11")],
    },
    Case {
        rule: "REC004",
        trips: &[("reviewed = true", "reviewed = false")],
        just_not: &[],
    },
];

fn changed(changes: &[(&str, &str)]) -> String {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/coupon-soak-rig.toml");
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

fn finds(audit: &Audit, rule: &str) -> bool {
    audit.findings.iter().any(|f| f.id == rule)
}

#[test]
fn every_rule_is_tripped_by_one_rig_and_just_not_by_another() {
    let mut wrong = Vec::new();
    for case in CASES {
        let tripped = audited(&changed(case.trips));
        if !finds(&tripped, case.rule) {
            wrong.push(format!("{} is not tripped", case.rule));
        }
        let spared = audited(&changed(case.just_not));
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
    let ids: BTreeSet<&str> = RULES.iter().map(|r| r.about().id).collect();
    let cases: BTreeSet<&str> = CASES.iter().map(|c| c.rule).collect();
    assert_eq!(ids, cases, "a rule without its two rigs");
}

#[test]
fn findings_stand_by_signal_word_then_id() {
    let all = audited(&changed(&[
        (LEAK_TEST, ""),
        ("reviewed = true", "reviewed = false"),
        ("ignition = \"spark\"", "ignition = \"hand\""),
        (
            "carbon_monoxide_alarm = true",
            "carbon_monoxide_alarm = false",
        ),
    ]));
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
        "{}\n[[suppress]]\nrule = \"inj001\"\nat = \"duties.idle\"\nreason = \"idle is only used to warm the duct\"\n",
        changed(&[])
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
fn a_rule_without_its_input_says_so_and_does_not_pass() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/coupon-soak-rig.toml");
    let whole = std::fs::read_to_string(path).expect("it is there");
    // only what must be there
    let bare = {
        let cut = whole.find("[air]").expect("air");
        let head = "[rig]\nname = \"bare\"\n[site]\nambient_temperature = \"12 degC\"\nsetting = \"indoor\"\n[fuel]\ncomposition = \"propane\"\n";
        assert!(cut > 0);
        format!(
            "{head}[[duties]]\nname = \"full\"\nair_flow = \"60 g/s\"\nchamber_pressure = \"10 mbar(g)\"\nequivalence_ratio = 0.3\n[injector]\nshape = \"holes\"\nholes = 8\nhole_diameter = \"0.6 mm\"\n[mains]\npressure = \"2 bar(g)\"\n"
        )
    };
    let all = audited(&bare);
    let silent: Vec<&str> = all.not_checked.iter().map(|n| n.id).collect();
    for rule in [
        "TNK001", "INJ007", "INJ009", "FLM002", "SHU001", "SHU002", "SHU003", "SHU004", "SHU005",
        "SIT001", "SIT002", "SIT003", "SIT004", "REC002", "REC004",
    ] {
        assert!(silent.contains(&rule), "{rule}: {silent:?}");
        assert!(!finds(&all, rule), "{rule}");
    }
    for n in &all.not_checked {
        assert!(n.because.len() > 10, "{}", n.id);
    }
}
