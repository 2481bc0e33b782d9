//! The list for a test day: nothing grave is left off it, and every phase has lines for every example.

use fuelwright::audit::checklist::{When, checklist};
use fuelwright::audit::{self, Audit, Checklist, Signal, Solution, solution};
use fuelwright::fuel::Library;
use fuelwright::input;
use fuelwright::quantity::show::Units;

/// Looks at a rig: solved, its audit, its list.
fn with<T>(file: &str, look: impl FnOnce(&Solution<'_>, Audit, Checklist) -> T) -> T {
    let library = Library::embedded();
    let path = format!("{}/{file}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).expect("readable");
    let loaded = input::parse("rig.toml", &text, &library).unwrap_or_else(|e| panic!("{e}"));
    let solved = solution::solve(&loaded.rig, &library, Units::Si).expect("it has a model");
    let audit = audit::audit(&solved);
    let list = checklist(&solved, &audit);
    look(&solved, audit, list)
}

fn of(rig: &str) -> (Audit, Checklist) {
    with(&format!("examples/{rig}.toml"), |_, audit, list| {
        (audit, list)
    })
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
fn where_to_stand_has_the_distances_of_the_worst_release() {
    for (rig, part) in [
        ("coupon-soak-rig", "pigtail"),
        ("greenhouse-frost-guard", "line"),
        ("kiln-pilot", "burner-hose"),
    ] {
        with(&format!("examples/{rig}.toml"), |solved, _, list| {
            let plan = solved.leaks().as_ref().expect("releases");
            let (broken, effect) = plan.worst_break().expect("a line can break");
            assert_eq!(broken.part, part, "{rig}");
            let shown = |d: fuelwright::quantity::Length| {
                use fuelwright::quantity::show::show_digits;
                show_digits(fuelwright::quantity::Kind::Length, d.value, Units::Si, 2)
            };
            let jet = effect.consequences.jet.as_ref().expect("it burns");
            let fire = effect.consequences.fire.as_ref().expect("it burns");
            let lines: Vec<&str> = list
                .of(When::Stand)
                .filter(|l| l.because == "leak")
                .map(|l| l.text.as_str())
                .collect();
            assert_eq!(lines.len(), 2, "{rig}: {lines:?}");
            assert!(
                lines[0].contains(part) && lines[0].contains(&shown(jet.half_limit.value)),
                "{lines:?}"
            );
            // 1.58 kW/m2 for those who stay, 4.73 for a brief act (API 521)
            for level in &fire.distances[..2] {
                assert!(lines[1].contains(&shown(level.from_hole)), "{lines:?}");
            }
            // what is closed by itself says so
            let closes = broken.excess_flow.as_ref().is_some_and(|e| e.closes);
            assert_eq!(lines[0].contains("closes"), closes, "{lines:?}");
        });
    }
}

#[test]
fn a_fuel_that_makes_a_pool_says_so() {
    with("tests/audit_rules/kerosene-bench.toml", |_, _, list| {
        let pool: Vec<&str> = list
            .of(When::Stand)
            .filter(|l| l.because == "leak")
            .map(|l| l.text.as_str())
            .collect();
        assert!(pool.iter().any(|l| l.contains("pool")), "{pool:?}");
    });
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
