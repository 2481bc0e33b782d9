//! `injector --choose` as a person meets it: holes written into a copy of the rig, a search broken off, ranges where one
//! value is meant.

use super::folder::{Folder, said};
#[cfg(unix)]
use super::remedies::interrupted;
use fuelwright::Outcome;
use serde_json::Value;

const SOAK: &str = "examples/coupon-soak-rig.toml";

fn json(line: &[&str]) -> Value {
    let all: Vec<&str> = line.iter().copied().chain(["--format", "json"]).collect();
    let (_, out, err) = said(&all);
    serde_json::from_str(&out).unwrap_or_else(|e| panic!("{e}: {out}{err}"))
}

#[test]
fn the_choice_picked_is_written_and_injector_finds_the_same_of_it() {
    let folder = Folder::new("choose");
    let new = folder.path("new.toml");
    let choose = ["injector", SOAK, "--choose", "--pick", "2", "--write", &new];
    let chosen = json(&choose);
    let second = &chosen["choices"][1];
    let text = std::fs::read_to_string(&new).expect("written");
    let old = std::fs::read_to_string(SOAK).expect("there");
    let changed = old
        .lines()
        .zip(text.lines())
        .filter(|(a, b)| a != b)
        .count();
    assert_eq!((changed, old.lines().count()), (2, text.lines().count()));
    let again = json(&["injector", &new]);
    let holes = &again["injector"];
    assert_eq!(holes["holes"], second["holes"]);
    let duties = holes["duties"].as_array().expect("duties");
    for (of_rig, of_choice) in duties
        .iter()
        .zip(second["duties"].as_array().expect("duties"))
    {
        for key in [
            "upstream_pressure_pa",
            "stiffness",
            "equivalence_ratio_low",
            "equivalence_ratio_high",
            "spread",
        ] {
            let (a, b) = (
                of_rig[key].as_f64().expect(key),
                of_choice[key].as_f64().expect(key),
            );
            assert!((a / b - 1.0).abs() < 1e-9, "{key}: {a} {b}");
        }
        assert_eq!(of_rig["choked"], of_choice["choked"]);
    }
    let (outcome, _, err) = said(&choose);
    assert_eq!(outcome, Outcome::Failed);
    assert!(err.contains("is kept") || err.contains("exists"), "{err}");
    assert_eq!(text, std::fs::read_to_string(&new).expect("kept"));
}

#[test]
fn flags_write_a_rig_with_the_range_and_it_reads_back() {
    let folder = Folder::new("choose-flags");
    let new = folder.path("new.toml");
    let flags = [
        "injector",
        "--choose",
        "--fuel",
        "propane",
        "--upstream",
        "0.5-2 barg",
        "--upstream-temperature",
        "15 degC",
        "--chamber",
        "20 mbar(g)",
        "--air",
        "18 g/s",
        "--equivalence-ratio",
        "0.6-0.7",
        "--write",
        &new,
    ];
    let chosen = json(&flags);
    let first = &chosen["choices"][0];
    let text = std::fs::read_to_string(&new).expect("written");
    assert!(text.contains("equivalence_ratio = \"0.6-0.7\""), "{text}");
    let filled = text
        .replace("setting = \"?", "setting = \"indoor\" # \"?")
        .replace("volume = \"? L\"", "volume = \"27 L\"")
        .replace("fuel_mass = \"? kg\"", "fuel_mass = \"11 kg\"");
    let rig = folder.file("filled.toml", &filled);
    let again = json(&["injector", &rig, "--choose"]);
    assert_eq!(again["choices"][0]["duties"][0]["fed"], true, "{again}");
    let ratio = first["duties"][0]["equivalence_ratio"]
        .as_f64()
        .expect("a ratio");
    assert!((0.55..0.75).contains(&ratio), "{ratio}");
}

#[test]
fn ranges_and_words_that_do_not_go_are_refused_with_what_goes() {
    let flags = [
        "injector",
        "--fuel",
        "propane",
        "--upstream-temperature",
        "15 degC",
        "--chamber",
        "20 mbar(g)",
        "--air",
        "18 g/s",
    ];
    for (more, want) in [
        (
            &[
                "--equivalence-ratio",
                "0.6",
                "--upstream",
                "1-2 barg",
                "--holes",
                "8",
            ][..],
            "--upstream: a range is searched by --choose",
        ),
        (
            &[
                "--equivalence-ratio",
                "0.6",
                "--upstream",
                "1 barg",
                "--holes",
                "4-8",
            ],
            "--holes: a range is searched by --choose",
        ),
        (
            &[
                "--equivalence-ratio",
                "0.6",
                "--upstream",
                "1-2 bar",
                "--choose",
            ],
            "`2 bar` does not say whether it is gauge or absolute",
        ),
        (
            &["--equivalence-ratio", "0.6", "--choose"],
            "--upstream, one pressure or a range",
        ),
        (
            &["--upstream", "1 barg", "--choose"],
            "--flow, or --air with --equivalence-ratio,",
        ),
        (
            &[
                "--upstream",
                "1 barg",
                "--equivalence-ratio",
                "0.6",
                "--choose",
                "--drills",
                "nummber",
            ],
            "did you mean `number`?",
        ),
        (
            &[
                "--upstream",
                "1 barg",
                "--equivalence-ratio",
                "0.6",
                "--choose",
                "--give-up",
                "stifness",
            ],
            "did you mean `stiffness`?",
        ),
        (
            &[
                "--upstream",
                "1 barg",
                "--equivalence-ratio",
                "0.6",
                "--choose",
                "--give-up",
                "fed",
            ],
            "`fed` is no demand that can be given up",
        ),
    ] {
        let line: Vec<&str> = flags.iter().chain(more).copied().collect();
        let (outcome, out, err) = said(&line);
        assert_eq!((outcome, out.as_str()), (Outcome::Failed, ""), "{more:?}");
        assert!(err.contains(want), "{more:?}: {err}");
    }
}

#[test]
fn a_rig_file_has_its_own_holes_unless_they_are_chosen() {
    for more in [
        ["--holes", "8"],
        ["--equivalence-ratio", "0.3"],
        ["--write", "x.toml"],
    ] {
        let (outcome, _, err) = said(&["injector", SOAK, more[0], more[1]]);
        assert_eq!(outcome, Outcome::Failed);
        assert!(err.contains("it goes with --choose alone"), "{err}");
    }
}

#[test]
fn where_no_holes_do_it_the_error_says_what_rules_out_most_and_what_comes_nearest() {
    // no throttle, and twice the fuel at one duty as at the other
    let rig = "examples/greenhouse-frost-guard.toml";
    let (outcome, out, err) = said(&["injector", rig, "--choose"]);
    assert_eq!((outcome, out.as_str()), (Outcome::Failed, ""));
    assert!(
        err.contains("no holes do it: of ")
            && err.contains("`ratio`")
            && err.contains("rules out most by itself")
            && err.contains("Nearest: "),
        "{err}"
    );
}

#[test]
fn a_pressure_beside_a_rig_is_refused_with_where_it_is_set() {
    for more in [&["--choose"][..], &[]] {
        let line = ["injector", SOAK, "--upstream", "1-2 barg"];
        let line: Vec<&str> = line.iter().chain(more).copied().collect();
        let (outcome, out, err) = said(&line);
        assert_eq!((outcome, out.as_str()), (Outcome::Failed, ""));
        assert!(
            err.contains("--upstream: beside a rig file") && err.contains("`set_pressure`"),
            "{err}"
        );
    }
}

#[test]
fn a_range_without_a_search_aims_at_its_middle() {
    let of = |ratio: &str| {
        json(&[
            "injector",
            "--fuel",
            "propane",
            "--upstream",
            "1 barg",
            "--upstream-temperature",
            "15 degC",
            "--chamber",
            "20 mbar(g)",
            "--holes",
            "8",
            "--air",
            "18 g/s",
            "--equivalence-ratio",
            ratio,
        ])
    };
    let diameter = |answer: Value| answer["hole_diameter_m"].as_f64().expect("a diameter");
    let (range, middle) = (diameter(of("0.6-0.8")), diameter(of("0.7")));
    assert!((range / middle - 1.0).abs() < 1e-12);
}

#[test]
fn drills_of_the_file_are_those_that_are_taken() {
    let folder = Folder::new("choose-drills");
    let text = std::fs::read_to_string(SOAK).expect("there");
    let with = |drills: &str| {
        let line = format!("edge = \"sharp\"\ndrills = {drills}");
        folder.file("rig.toml", &text.replace("edge = \"sharp\"", &line))
    };
    let rig = with("[\"#70\", \"0.8 mm\"]");
    let of = |more: &[&str]| {
        let line: Vec<&str> = ["injector", &rig, "--choose"]
            .into_iter()
            .chain(more.iter().copied())
            .collect();
        let answer = json(&line);
        let choices = answer["choices"].as_array().expect("choices").clone();
        let drills = choices
            .iter()
            .map(|c| c["drill"].as_str().expect("a name").to_owned());
        drills.collect::<std::collections::BTreeSet<String>>()
    };
    assert!(
        of(&[]).iter().all(|d| d == "#70" || d == "0.8 mm"),
        "{:?}",
        of(&[])
    );
    assert_eq!(
        of(&["--drills", "0.9 mm,#70", "--smallest-drill", "0.8 mm"]),
        ["0.9 mm".to_owned()].into()
    );
    let wrong = with("[\"metrik\"]");
    let (outcome, _, err) = said(&["injector", &wrong, "--choose"]);
    assert_eq!(outcome, Outcome::Failed);
    assert!(
        err.contains("did you mean `metric`?") && err.contains("rig.toml:"),
        "{err}"
    );
}

#[cfg(unix)]
#[test]
fn ctrl_c_ends_the_search_and_tells_what_was_found() {
    let (code, out) = interrupted(&[
        "injector",
        "--choose",
        "--fuel",
        "propane",
        "--upstream",
        "0.5-5 barg",
        "--upstream-temperature",
        "15 degC",
        "--chamber",
        "20 mbar(g)",
        "--holes",
        "1-1000",
        "--drills",
        "0.005 mm",
        "--air",
        "18 g/s",
        "--equivalence-ratio",
        "0.6-0.7",
    ]);
    assert_eq!(code, Some(0), "{out}");
    assert!(
        out.contains("the search was") && out.contains("stopped") && out.contains("Cautions"),
        "{out}"
    );
}
