//! `flow-test` as a person meets it: readings judged and written, what they change, when they are void.

use super::folder::{Folder, said};
use fuelwright::Outcome;
use serde_json::Value;

/// The example with holes that are drilled.
fn drilled() -> String {
    let whole = include_str!("../../examples/coupon-soak-rig.toml");
    whole.replace(
        "sized_at = \"full\"",
        "hole_diameter = \"0.85 mm\" # reamed",
    )
}

fn answer(line: &[&str]) -> Value {
    let line: Vec<&str> = line.iter().copied().chain(["--format", "json"]).collect();
    let (outcome, out, err) = said(&line);
    assert_ne!(outcome, Outcome::Failed, "{err}");
    serde_json::from_str(&out).expect("JSON")
}

fn number(value: &Value, path: &str) -> f64 {
    value
        .pointer(path)
        .and_then(Value::as_f64)
        .unwrap_or_else(|| panic!("{path} in {value}"))
}

const READ: [&str; 8] = [
    "--upstream",
    "112 mbar(g)",
    "--flow",
    "1.05 g/s",
    "--pressure-error",
    "1 mbar",
    "--date",
    "2026-03-21",
];

#[test]
fn a_test_is_written_beside_what_was_there_and_narrows_the_duties() {
    let folder = Folder::new("flow-test");
    let rig = folder.file("rig.toml", &drilled());
    let new = folder.path("new.toml");
    let mut line = vec!["flow-test", &rig];
    line.extend(READ);
    line.extend(["--write", &new]);
    let found = answer(&line);
    // 1.05 of some 1.16 g/s
    let factor = number(&found, "/factor");
    assert!((0.88..0.93).contains(&factor), "{factor}");
    let duties = found["tested_duties"].as_array().expect("duties");
    assert_eq!(duties.len(), 4);
    for duty in duties {
        let width = |low: &str, high: &str| number(duty, high) - number(duty, low);
        let before = width("/fuel_flow_low_before_kg_s", "/fuel_flow_high_before_kg_s");
        let after = width("/fuel_flow_low_kg_s", "/fuel_flow_high_kg_s");
        assert!(after < 0.6 * before, "{duty}");
    }
    let text = std::fs::read_to_string(&new).expect("written");
    assert!(
        text.starts_with(drilled().trim_end()),
        "all that was there stays as it was"
    );
    let entry = "[[flow_test]]\ndate = 2026-03-21\ngas = \"nitrogen\"\nholes = 16\nhole_diameter = \"0.85 mm\"\nupstream = \"112 mbar(g)\"\nflow = \"1.05 g/s\"\npressure_error = \"1 mbar\"\n";
    assert!(text.ends_with(entry), "{text}");
    // the file says the same as the flags did
    let again = answer(&["flow-test", &new]);
    assert!((number(&again, "/factor") - factor).abs() < 1e-12);
    let (outcome, _, err) = said(&line);
    assert_eq!(outcome, Outcome::Failed);
    assert!(err.contains("it is there already"), "{err}");
    // no diameter is drawn beside what the test found
    let drawn = answer(&["tolerance", &new, "--samples", "100"]);
    let named = |name: &str| {
        drawn["inputs"]
            .as_array()
            .expect("inputs")
            .iter()
            .any(|i| i["name"] == name)
    };
    assert!(named("discharge coefficient") && !named("hole diameter"));
    // holes that pass less lessen no sum about danger
    let stuck = |rig: &str| {
        number(
            &answer(&["leak", rig]),
            "/stuck_regulators/0/mass_flow_kg_s",
        )
    };
    assert!(stuck(&new) > 0.995 * stuck(&rig));
}

#[test]
fn a_test_of_other_holes_is_void_and_says_so() {
    let folder = Folder::new("flow-test-void");
    let entry = "\n[[flow_test]]\ndate = 2026-03-21\ngas = \"air\"\nholes = 16\nhole_diameter = \"0.85 mm\"\nupstream = \"112 mbar(g)\"\nfree_flow = \"52 L/min\"\n";
    let own = folder.file("own.toml", &(drilled() + entry));
    assert!(number(&answer(&["flow-test", &own]), "/factor") > 0.5);
    for (name, other) in [
        ("fewer.toml", drilled().replace("holes = 16", "holes = 15")),
        ("wider.toml", drilled().replace("0.85 mm", "0.9 mm")),
        (
            "sized.toml",
            include_str!("../../examples/coupon-soak-rig.toml").to_owned(),
        ),
    ] {
        let rig = folder.file(name, &(other + entry));
        let found = answer(&["flow-test", &rig]);
        assert_eq!(found["factor"], Value::Null, "{name}");
        let said = found["findings"].to_string();
        assert!(
            said.contains("The flow test of 2026-03-21 is void"),
            "{name}: {said}"
        );
    }
}

#[test]
fn readings_that_contradict_are_pointed_at() {
    let folder = Folder::new("flow-test-wrong");
    let head = "\n[[flow_test]]\ndate = 2026-03-21\ngas = \"nitrogen\"\nholes = 16\nhole_diameter = \"0.85 mm\"\n";
    for (keys, told) in [
        (
            "upstream = \"112 mbar(g)\"\n",
            "flow of the test: give one of",
        ),
        (
            "upstream = \"112 mbar(g)\"\nflow = \"1 g/s\"\nfree_flow = \"52 L/min\"\n",
            "one is enough",
        ),
        (
            "volume = \"10 L\"\nflow = \"1 g/s\"\n",
            "has no meaning with this `volume`",
        ),
        (
            "volume = \"10 L\"\nfrom = \"3 bar(g)\"\nto = \"2 bar(g)\"\n",
            "`time` is missing",
        ),
        (
            "volume = \"10 L\"\nfrom = \"2 bar(g)\"\nto = \"3 bar(g)\"\ntime = \"9 s\"\n",
            "does not fall",
        ),
        (
            "upstream = \"112 mbar(g)\"\nflow = \"1 kg/s\"\n",
            "times what their model gives them",
        ),
        (
            "upstream = \"-10 mbar(g)\"\nflow = \"1 g/s\"\n",
            "not below the supply pressure",
        ),
    ] {
        let rig = folder.file("rig.toml", &(drilled() + head + keys));
        let (outcome, _, err) = said(&["audit", &rig]);
        assert_eq!(outcome, Outcome::Failed, "{keys}");
        assert!(err.contains(told), "{keys}: {err}");
    }
    let sized = "examples/coupon-soak-rig.toml";
    let mut line = vec!["flow-test", sized];
    line.extend(READ);
    let (outcome, _, err) = said(&line);
    assert!(
        outcome == Outcome::Failed && err.contains("finished holes"),
        "{err}"
    );
}
