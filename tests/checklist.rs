//! The list for a test day: nothing grave is left off it, and every phase has lines for every example.

use fuelwright::audit::checklist::{When, checklist};
use fuelwright::audit::{self, Audit, Checklist, Signal, solution};
use fuelwright::fuel::Library;
use fuelwright::input;
use fuelwright::quantity::show::Units;

fn of(rig: &str) -> (Audit, Checklist) {
    let library = Library::embedded();
    let path = format!("{}/examples/{rig}.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).expect("readable");
    let loaded = input::parse("rig.toml", &text, &library).unwrap_or_else(|e| panic!("{e}"));
    let solved = solution::solve(&loaded.rig, &library, Units::Si).expect("it has a model");
    let audit = audit::audit(&solved);
    let list = checklist(&solved, &audit);
    (audit, list)
}

#[test]
fn every_phase_has_lines_that_say_where_they_are_from() {
    for rig in [
        "coupon-soak-rig",
        "greenhouse-frost-guard",
        "kiln-pilot",
        "neglected-frost-guard",
    ] {
        let (_, list) = of(rig);
        for when in When::ALL {
            assert!(list.of(when).count() > 0, "{rig}: {when:?}");
        }
        for line in &list.lines {
            assert!(
                !line.text.is_empty() && !line.because.is_empty(),
                "{rig}: {line:?}"
            );
        }
        // in the order they are gone through
        let phases: Vec<When> = list.lines.iter().map(|l| l.when).collect();
        let mut sorted = phases.clone();
        sorted.sort();
        assert_eq!(phases, sorted);
    }
}

#[test]
fn every_danger_and_warning_stands_before_the_fire() {
    let (audit, list) = of("neglected-frost-guard");
    for f in audit
        .findings
        .iter()
        .filter(|f| f.signal <= Signal::Warning)
    {
        let because = format!("{} at {}", f.id, f.at);
        let line = list.of(When::Before).find(|l| l.because == because);
        let line = line.unwrap_or_else(|| panic!("{because} is not on the list"));
        assert_eq!(
            line.text.starts_with("DO NOT LIGHT"),
            f.signal == Signal::Danger
        );
    }
}

#[test]
fn what_the_rig_has_is_proved_and_what_it_has_not_is_no_line() {
    let has = |rig: &str, because: &str| of(rig).1.lines.iter().any(|l| l.because == because);
    for because in [
        "train.shut-off-1",
        "controls.emergency_stop",
        "air.proved",
        "site.gas_detector",
    ] {
        assert!(has("coupon-soak-rig", because), "{because}");
    }
    for because in ["controls.emergency_stop", "air.proved", "site.gas_detector"] {
        assert!(!has("greenhouse-frost-guard", because), "{because}");
    }
}
