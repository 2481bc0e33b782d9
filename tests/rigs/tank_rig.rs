//! The tank of a rig through the whole program: its limits, its run, and that each remedy does what it says.

use fuelwright::eos::{self, Backend};
use fuelwright::fuel::{Composition, Library};
use fuelwright::{self as cli, Outcome};
use serde_json::Value;
use std::path::PathBuf;
use std::sync::Arc;

/// A rig file of one test; goes when the test ends.
struct RigFile(PathBuf);

impl RigFile {
    /// An example with lines changed; each must be there.
    fn of(example: &str, name: &str, changes: &[(&str, &str)]) -> Self {
        let path = format!("{}/examples/{example}.toml", env!("CARGO_MANIFEST_DIR"));
        let mut text = std::fs::read_to_string(path).expect("readable");
        for (from, to) in changes {
            assert!(text.contains(from), "{from} is in {example}");
            text = text.replacen(from, to, 1);
        }
        let file = format!("fuelwright-tank-{}-{name}.toml", std::process::id());
        let path = std::env::temp_dir().join(file);
        std::fs::write(&path, text).expect("can be written");
        Self(path)
    }

    fn run(&self, flags: &[&str]) -> (Outcome, String, String) {
        let path = self.0.display().to_string();
        let mut line = vec!["fuelwright", "--full", "tank", &path];
        line.extend(flags);
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let outcome = cli::run(line, 80, &mut out, &mut err);
        let text = |bytes| String::from_utf8(bytes).expect("text");
        (outcome, text(out), text(err))
    }

    fn json(&self, flags: &[&str]) -> Value {
        let mut all = vec!["--format", "json"];
        all.extend(flags);
        let (_, out, err) = self.run(&all);
        serde_json::from_str(&out).unwrap_or_else(|e| panic!("{e}: {err}"))
    }
}

impl Drop for RigFile {
    fn drop(&mut self) {
        // a file that is gone already is none to remove
        let _ = std::fs::remove_file(&self.0);
    }
}

const SOAK: &str = "coupon-soak-rig";
const FROST: &str = "greenhouse-frost-guard";

/// The soak rig on a cylinder that is too small for its run plan.
const SMALL: [(&str, &str); 6] = [
    ("volume = \"108 L\"", "volume = \"27 L\""),
    ("fuel_mass = \"38 kg\"", "fuel_mass = \"9 kg\""),
    ("wall_mass = \"33 kg\"", "wall_mass = \"11 kg\""),
    ("empty_mass = \"37 kg\"", "empty_mass = \"12 kg\""),
    ("diameter = \"375 mm\"", "diameter = \"300 mm\""),
    ("length = \"1290 mm\"", "length = \"480 mm\""),
];

fn small(name: &str, more: &[(&str, &str)]) -> RigFile {
    let mut changes = SMALL.to_vec();
    changes.extend(more);
    RigFile::of(SOAK, name, &changes)
}

fn number(json: &Value, pointer: &str) -> f64 {
    json.pointer(pointer)
        .and_then(Value::as_f64)
        .unwrap_or_else(|| panic!("no number at {pointer}"))
}

fn fluid(name: &str) -> Arc<dyn Backend> {
    let library = Library::embedded();
    let composition = Composition::parse(name, &library).expect("a fuel");
    eos::backend(&library, &composition).expect("it has an equation")
}

/// Fractions of a composition object, propane first.
fn fractions(x: &Value) -> [f64; 2] {
    [number(x, "/propane"), number(x, "/n-butane")]
}

#[test]
fn a_run_that_fails_says_when_and_every_remedy_feeds_it() {
    let failing = small("fails", &[]).json(&[]);
    assert_eq!(failing["fed"], false);
    let after_s = number(&failing, "/fails_after_s");
    assert!(after_s > 0.0 && after_s < number(&failing, "/end_s"));
    assert_eq!(
        failing["fails_by"],
        "tank pressure below what the duty needs"
    );
    let fed = |name: &str, changes: &[(&str, &str)]| small(name, changes).json(&[])["fed"].clone();
    let remedies = &failing["remedies"];

    let cylinders = remedies["cylinders"].as_u64().expect("numbers help");
    for (n, want) in [(cylinders, true), (cylinders - 1, false)] {
        let to = format!("position = \"upright\"\nnumber = {n}");
        assert_eq!(
            fed("number", &[("position = \"upright\"", &to)]),
            want,
            "{n}"
        );
    }

    let bath_k = number(remedies, "/water_bath_k");
    for (t_k, want) in [(bath_k + 0.01, true), (bath_k - 0.5, false)] {
        let to = format!("position = \"upright\"\nwater_bath = \"{t_k} K\"");
        assert_eq!(
            fed("bath", &[("position = \"upright\"", &to)]),
            want,
            "{t_k}"
        );
    }

    // a larger tank of the same shape, as full as this one
    let larger = number(remedies, "/larger_by");
    for (s, want) in [(larger * 1.001, true), (larger * 0.98, false)] {
        let size = s.cbrt();
        let lines = [
            format!("volume = \"{} L\"", 27.0 * s),
            format!("fuel_mass = \"{} kg\"", 9.0 * s),
            format!("wall_mass = \"{} kg\"", 11.0 * s),
            format!("empty_mass = \"{} kg\"", 12.0 * s),
            format!("diameter = \"{} mm\"", 300.0 * size),
            format!("length = \"{} mm\"", 480.0 * size),
        ];
        let changes: Vec<(&str, &str)> = SMALL
            .iter()
            .zip(&lines)
            .map(|((from, _), to)| (*from, to.as_str()))
            .collect();
        let file = RigFile::of(SOAK, "larger", &changes);
        assert_eq!(file.json(&[])["fed"], want, "{s}");
    }

    // no warmth up to 40 degC feeds it
    assert!(remedies["warmer_k"].is_null());
    assert!(number(remedies, "/liquid_draw_vaporiser_w") > 0.0);
    let text = small("text", &[]).run(&[]).1;
    for line in [
        "fails after",
        "What would feed it, each by itself",
        "Such tanks side by side",
        "Water bath, at least",
        "Warmer tank and air            does not help up to 40 degC",
    ] {
        assert!(text.contains(line), "{line}: {text}");
    }
}

#[test]
fn a_duty_is_fed_down_to_its_coldest_tank() {
    for (rig, fuel) in [(SOAK, "propane"), (FROST, "propane:70,n-butane:30")] {
        let json = RigFile::of(rig, "coldest", &[]).json(&[]);
        let full = fluid(fuel);
        for duty in json["duties"].as_array().expect("a list") {
            let name = duty["name"].as_str().expect("a name");
            let (least, coldest_k) = (
                number(duty, "/lowest_pressure_pa"),
                number(duty, "/coldest_tank_k"),
            );
            // the vapour pressure there is what the duty needs
            let p = full.bubble_t(coldest_k).expect("boils").pressure_pa;
            assert!((p / least - 1.0).abs() < 1e-6, "{name}");
            let empty_k = number(duty, "/coldest_tank_nearly_empty_k");
            assert!(empty_k >= coldest_k - 1e-6, "{name}");
            for row in json["temperatures"].as_array().expect("a list") {
                let t_k = number(row, "/temperature_k");
                let fed = |key: &str| {
                    let names = row[key].as_array().expect("names");
                    names.iter().any(|n| n == name)
                };
                assert_eq!(fed("feeds"), t_k >= coldest_k, "{name} {t_k}");
                assert_eq!(fed("nearly_empty_feeds"), t_k >= empty_k, "{name} {t_k}");
            }
        }
    }
}

#[test]
fn what_is_drawn_condenses_at_the_dew_point_given() {
    let file = RigFile::of(FROST, "dew", &[]);
    let json = file.json(&[]);
    let blend = fluid("propane:70,n-butane:30");
    let mut highest = f64::NEG_INFINITY;
    for row in json["series"].as_array().expect("a list") {
        let step = row["step"].as_u64().expect("a step");
        let line = number(
            &json["steps"][usize::try_from(step).expect("small")],
            "/line_pressure_pa",
        );
        let drawn = blend
            .recomposed(&fractions(&row["drawn_composition"]))
            .expect("a composition");
        let dew_k = drawn.dew_p(line).expect("a dew point").temperature_k;
        let got_k = number(row, "/dew_point_k");
        assert!((got_k - dew_k).abs() < 1e-6, "{got_k} {dew_k}");
        highest = highest.max(got_k);
    }
    assert!((number(&json, "/highest_dew_point_k") - highest).abs() < 1e-9);
    // the line behind the regulator has its set pressure less its droop: 37 mbar(g) at 1004 mbar
    for duty in json["duties"].as_array().expect("a list") {
        let line = number(duty, "/line_pressure_pa");
        assert!((103_600.0..104_100.0).contains(&line), "{line}");
    }
    let text = file.run(&[]).1;
    assert!(text.contains("Dew") && text.contains("Highest dew point in the line"));
}

#[test]
fn a_blend_leaves_a_heavy_rest_that_no_longer_feeds() {
    let json = RigFile::of(FROST, "rest", &[]).json(&[]);
    let blend = fluid("propane:70,n-butane:30");
    let at_k = number(&json, "/emptying/temperature_k");
    assert!((at_k - 275.15).abs() < 1e-9);
    let rows = json["emptying"]["rows"].as_array().expect("a list");
    assert_eq!(rows.len(), 7);
    for pair in rows.windows(2) {
        // the light end goes first, the pressure falls and the dew point rises
        assert!(
            number(&pair[1], "/liquid_composition/propane")
                < number(&pair[0], "/liquid_composition/propane")
        );
        assert!(number(&pair[1], "/pressure_pa") < number(&pair[0], "/pressure_pa"));
        assert!(number(&pair[1], "/dew_point_k") > number(&pair[0], "/dew_point_k"));
    }
    for duty in json["duties"].as_array().expect("a list") {
        let rest = &duty["rest"];
        let left = blend
            .recomposed(&fractions(&rest["liquid_composition"]))
            .expect("a composition");
        let p = left.bubble_t(at_k).expect("boils").pressure_pa;
        assert!(
            (p / number(duty, "/lowest_pressure_pa") - 1.0).abs() < 1e-4,
            "{p}"
        );
        assert_eq!(rest["still_fed"], false);
        let share = number(rest, "/share");
        assert!((0.05..0.5).contains(&share), "{share}");
    }
}

#[test]
fn frost_in_the_rig_file_lets_less_heat_in() {
    let place = "relief_pressure = \"25 bar(g)\"";
    let with = |name: &str, lines: &str| {
        let to = format!("{place}\n{lines}");
        RigFile::of(FROST, name, &[(place, &to)])
    };
    let end_k = |file: &RigFile| {
        let json = file.json(&[]);
        let rows = json["series"].as_array().expect("a list");
        number(rows.last().expect("rows"), "/temperature_k")
    };
    let bare = RigFile::of(FROST, "bare", &[]);
    let loose = with("loose", "frost_thickness = \"5 mm\"");
    let same = with(
        "same",
        "frost_thickness = \"5 mm\"\nfrost_conductivity = \"0.1 W/(m K)\"",
    );
    let dense = with(
        "dense",
        "frost_thickness = \"5 mm\"\nfrost_conductivity = \"0.5 W/(m K)\"",
    );
    let (bare_k, loose_k, dense_k) = (end_k(&bare), end_k(&loose), end_k(&dense));
    assert!(
        loose_k < dense_k - 0.1 && dense_k < bare_k - 0.1,
        "{loose_k} {dense_k} {bare_k}"
    );
    assert!((end_k(&same) - loose_k).abs() < 1e-9);
    let flat = |file: &RigFile| {
        let text = file.run(&[]).1;
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert!(flat(&bare).contains("No frost is counted on the tank's wall (`frost_thickness`)"));
    assert!(flat(&loose).contains("The frost on the tank's wall is taken as loose, 0.1 W/(m K)"));
    assert!(flat(&loose).contains("5 mm of frost with 0.1 W/(m K)"));
    // a thinner or brighter wall is told too
    let bright = with("bright", "emissivity = 0.2\nwall_thickness = \"2.5 mm\"");
    assert!(end_k(&bright) < bare_k);
    assert!((number(&bright.json(&[]), "/strength/wall_thickness_m") - 2.5e-3).abs() < 1e-12);
    // what has no meaning together is refused where it stands
    for (lines, what) in [
        (
            "frost_thickness = \"5 mm\"\nwater_bath = \"10 degC\"",
            "`frost_thickness` has no meaning with this `water_bath`",
        ),
        (
            "frost_thickness = \"5 mm\"\nconductance = \"6 W/K\"",
            "`frost_thickness` has no meaning with this `conductance`",
        ),
        (
            "frost_conductivity = \"0.1 W/(m K)\"",
            "`frost_thickness` is missing",
        ),
        (
            "wall_thickness = \"150 mm\"",
            "the wall is as thick as the tank",
        ),
    ] {
        let (outcome, out, err) = with("refused", lines).run(&[]);
        assert_eq!(outcome, Outcome::Failed);
        assert!(out.is_empty() && err.contains(what), "{lines}: {err}");
    }
}

#[test]
fn stress_and_relief_follow_from_the_size() {
    let json = RigFile::of(SOAK, "strength", &[]).json(&[]);
    let wall_m = number(&json, "/strength/wall_thickness_m");
    // 33 kg of steel of 7850 kg/m3 on a closed cylinder of 375 by 1290 mm
    let area = std::f64::consts::PI * 0.375 * (1.29 + 0.375 / 2.0);
    assert!((wall_m - 33.0 / 7850.0 / area).abs() < 1e-6);
    // thin cylinder: p d / (2 t)
    let hot_pa = number(&json, "/tank/hottest_pressure_pa");
    let stress = number(&json, "/strength/hoop_stress_hottest_pa");
    let air_pa = 1e5 * 0.97;
    assert!((stress / ((hot_pa - air_pa) * 0.375 / (2.0 * wall_m)) - 1.0).abs() < 0.01);
    // 18.7 square feet: the least of the table, 626 cubic feet a minute
    assert!(
        (number(&json, "/strength/relief_air_m3_s") / (626.0 * 4.719_474e-4) - 1.0).abs() < 3e-3
    );
    // 29 CFR 1910.110 table H-31: propane has 174 psig at 100 degF, class 175, 219 psig
    let psig = (number(&json, "/strength/least_design_pressure_pa") - 101_325.0) / 6894.757;
    assert!((psig - 219.0).abs() < 0.01, "{psig}");
    assert!(number(&json, "/strength/past_liquid_full_pa") > 40e5);
}

#[test]
fn liquid_draw_has_its_vaporiser_and_coil() {
    let file = RigFile::of(
        SOAK,
        "liquid",
        &[("draw = \"vapour\"", "draw = \"liquid\"")],
    );
    let json = file.json(&["--coil-wall", "90 degC", "--coil-bore", "8 mm"]);
    let heat_w = number(&json, "/vaporiser_heat_w");
    // some 400 kJ/kg times the largest draw
    let largest = json["duties"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|d| number(d, "/draw_kg_s"))
        .fold(0.0, f64::max);
    assert!(
        (300e3..450e3).contains(&(heat_w / largest)),
        "{heat_w} {largest}"
    );
    let length = number(&json, "/coil_length_m");
    assert!(number(&json, "/coil_length_shortest_m") < length);
    assert!(length < number(&json, "/coil_length_longest_m"));
    assert!(number(&json, "/vaporiser_share_of_burner") < 0.02);
}

#[test]
fn a_tank_that_cannot_be_looked_at_is_refused() {
    let pressed = "draw = \"liquid\"\npressure = \"12 bar(g)\"";
    for (rig, changes, what) in [
        ("kiln-pilot", vec![], "the fuel comes from a main"),
        (
            SOAK,
            vec![("fuel_mass = \"38 kg\"", "fuel_mass = \"60 kg\"")],
            "60.000 kg does not fit: at 285.15 K the tank is liquid-full with 55.",
        ),
        (
            SOAK,
            vec![("draw = \"vapour\"", pressed)],
            "its liquid neither boils nor chills",
        ),
    ] {
        let (outcome, out, err) = RigFile::of(rig, "no-tank", &changes).run(&[]);
        assert_eq!(outcome, Outcome::Failed, "{out}");
        assert!(out.is_empty(), "{out}");
        assert!(err.contains("there is no tank to look at: "), "{err}");
        assert!(err.contains(what), "{err}");
    }
    // propane is no vented liquid: its own pressure stands in the tank
    let vented = "draw = \"liquid\"\npressure = \"0 bar(g)\"";
    let rig = RigFile::of(SOAK, "vented", &[("draw = \"vapour\"", vented)]);
    let (outcome, out, err) = rig.run(&[]);
    assert_ne!(outcome, Outcome::Failed, "{err}");
    let words = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.contains("own vapour pressure is above the `pressure` given"),
        "{out}"
    );
    let (outcome, _, err) = RigFile::of(SOAK, "both", &[]).run(&["--fuel", "propane"]);
    assert_eq!(outcome, Outcome::Failed);
    assert!(err.contains("cannot be used with"), "{err}");
    let (outcome, _, err) = RigFile::of(SOAK, "every", &[]).run(&["--every", "0 s"]);
    assert_eq!(outcome, Outcome::Failed);
    assert!(err.contains("--every"), "{err}");
}

#[test]
fn a_schedule_of_a_million_steps_is_refused_with_the_limit() {
    let file = RigFile::of(SOAK, "million", &[("repeats = 2", "repeats = 100000")]);
    let (outcome, out, err) = file.run(&[]);
    // limits and filling are still known
    assert_ne!(outcome, Outcome::Failed, "{err}");
    let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("The tank is not run: steps of the schedule would be 500000, more than the limit of 100000."), "{flat}");
    assert!(flat.contains("What each duty needs of it"));
}

#[test]
fn without_a_plan_limits_are_given_and_the_run_is_not() {
    let file = RigFile::of(
        FROST,
        "no-plan",
        &[
            ("duration = \"3 h\"\n\n[[duties]]", "\n[[duties]]"),
            ("[[steps]]\nduty = \"low\"\nduration = \"3 h\"\n", ""),
            ("[[steps]]\nduty = \"high\"\nduration = \"90 min\"\n", ""),
            ("[[steps]]\nduty = \"low\"\nduration = \"3 h\"\n", ""),
        ],
    );
    let json = file.json(&[]);
    assert!(json["series"].as_array().expect("a list").is_empty());
    let why = json["run_error"].as_str().expect("a reason");
    assert!(why.contains("the file has no run plan"), "{why}");
    assert!(number(&json["duties"][0], "/coldest_tank_k") > 200.0);
}

#[test]
fn figures_of_the_run_are_on_the_page() {
    let (_, page, err) = RigFile::of(FROST, "page", &[]).run(&["--format", "html"]);
    assert!(err.is_empty(), "{err}");
    for title in [
        "Temperature of the tank",
        "Pressure of the tank",
        "Liquid in the tank",
        "What is in the vapour",
    ] {
        assert!(page.contains(title), "{title}");
    }
    assert_eq!(page.matches("<figure").count(), 4);
    assert!(page.contains("least that feeds"));
}
