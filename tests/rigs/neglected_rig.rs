//! The deliberately bad rig: ten faults that a licensed fitter would catch, each found by the rule expected;
//! and the good examples, which have none that is not named here.

use fuelwright::audit::{self, Audit, Finding, Signal, solution};
use fuelwright::fuel::Library;
use fuelwright::input;
use fuelwright::quantity::show::Units;

const BAD: &str = "neglected-frost-guard";

/// What is wrong with it, the rule that finds it, and where.
const FAULTS: [(&str, &str, &str); 16] = [
    (
        "cylinders on their side, vapour drawn",
        "TNK001",
        "tank.position",
    ),
    (
        "liquid shut in without relief",
        "TRP001",
        "train.cylinder-valve",
    ),
    ("no shut-off valve that closes by itself", "SHU001", "train"),
    (
        "nothing but an eye watches the flame",
        "SHU003",
        "controls.flame_detection",
    ),
    ("no leak test", "REC001", "leak_test"),
    ("no smell and no detector", "SIT004", "fuel.odorised"),
    (
        "push-on hose under tank pressure",
        "LEK006",
        "train.pigtail",
    ),
    ("hose of twelve years", "REC003", "records.hose_made"),
    (
        "regulator of seventeen years",
        "REC005",
        "records.regulator_made",
    ),
    (
        "cylinder never inspected again",
        "REC006",
        "records.cylinder_inspected",
    ),
    ("no purge", "SHU004", "controls.purge_time"),
    ("lit by hand", "SHU005", "controls.ignition"),
    ("no lock-out", "SHU009", "controls.lockout"),
    (
        "drain beside the cylinders",
        "SIT002",
        "site.low_point_distance",
    ),
    (
        "no carbon monoxide alarm indoors",
        "SIT003",
        "site.carbon_monoxide_alarm",
    ),
    ("water against a gas fire", "SIT001", "site.extinguisher"),
];

fn path(rig: &str) -> String {
    format!("{}/examples/{rig}.toml", env!("CARGO_MANIFEST_DIR"))
}

fn audited(rig: &str) -> Audit {
    let library = Library::embedded();
    let text = std::fs::read_to_string(path(rig)).expect("readable");
    let loaded = input::parse("rig.toml", &text, &library).unwrap_or_else(|e| panic!("{e}"));
    let solved = solution::solve(&loaded.rig, &library, Units::Si).expect("it has a model");
    audit::audit(&solved)
}

#[test]
fn every_fault_of_the_neglected_rig_is_found() {
    let audit = audited(BAD);
    for (what, rule, at) in FAULTS {
        let there = |f: &&Finding| f.id == rule && f.places.iter().any(|place| place == at);
        let found = audit.findings.iter().find(there);
        let found = found.unwrap_or_else(|| panic!("{what}: {rule} at {at} is not found"));
        assert!(found.signal <= Signal::Caution, "{what}");
        assert!(!found.advice.is_empty());
    }
    let dangers = audit.findings.iter().filter(|f| f.signal == Signal::Danger);
    assert!(dangers.count() >= 6);
}

#[test]
fn good_rigs_have_no_danger_and_leave_nothing_out() {
    // an ordinary frost guard burns indoors without purge, and nothing watches its fan
    for (rig, wanted) in [
        ("coupon-soak-rig", &[][..]),
        ("greenhouse-frost-guard", &["SHU004", "SHU011"]),
        ("kiln-pilot", &[]),
    ] {
        let audit = audited(rig);
        let dangers = audit.findings.iter().filter(|f| f.signal == Signal::Danger);
        let dangers: Vec<&str> = dangers.map(|f| f.id).collect();
        assert_eq!(dangers, wanted, "{rig}");
        assert!(!audit.is_incomplete(), "{rig}: {:?}", audit.missing);
    }
    assert!(!audited(BAD).is_incomplete());
}
