//! The program's own property model against CoolProp, which is independent code over the same published
//! equations; built with the feature `coolprop` (`.ci/second-opinion` runs it).
//!
//! Tolerances. Properties: those of `tests/reference/README.md` for an independent implementation of the same
//! model. Figures of a rig: every one of them ends an iteration or an integration, the loosest of which (the
//! run of a tank) is held to 3e-4 of the pressure there; 1e-4 is asked here of all.

use fuelwright::eos::{self, Backend, Phase};
use fuelwright::fuel::{Composition, Library, PropertyCode};
use fuelwright::{Outcome, run};
use serde_json::Value;
use std::path::Path;
use std::sync::Arc;

const RIG_TOLERANCE: f64 = 1e-4;
const EXAMPLES: [&str; 4] = [
    "coupon-soak-rig",
    "greenhouse-frost-guard",
    "kiln-pilot",
    "neglected-frost-guard",
];

/// Examples on a fuel that CoolProp does not have: there is no second opinion on them.
const BY_CORRELATION: [&str; 2] = ["seed-dryer", "tile-dryer"];

/// A command line, its exit and its answer.
fn answer(line: &[&str]) -> (Outcome, Value) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = ["fuelwright", "--format", "json"].iter().chain(line);
    let ended = run(all, 100, &mut out, &mut err);
    let err = String::from_utf8(err).expect("text");
    let json = serde_json::from_slice(&out).unwrap_or_else(|e| panic!("{line:?}: {e}: {err}"));
    (ended, json)
}

fn compared(rig: &str) -> Value {
    let (ended, json) = answer(&["second-opinion", rig]);
    assert_eq!(ended, Outcome::Done);
    json
}

fn list<'a>(json: &'a Value, key: &str) -> &'a Vec<Value> {
    json[key]
        .as_array()
        .unwrap_or_else(|| panic!("no list {key}"))
}

#[test]
fn every_figure_of_every_example_agrees() {
    for name in EXAMPLES {
        let json = compared(&format!("examples/{name}.toml"));
        let figures = list(&json, "figures");
        assert!(figures.len() > 150, "{name}: {} figures", figures.len());
        for f in figures {
            let relative = f["relative_difference"].as_f64();
            assert!(
                relative.is_some_and(|r| r.abs() <= RIG_TOLERANCE),
                "{name}: {f}"
            );
        }
        for key in ["findings_only_embedded", "findings_only_coolprop"] {
            assert!(list(&json, key).is_empty(), "{name}: {}", json[key]);
        }
        let model = json["second_model"].as_str().expect("a model");
        assert!(model.contains("CoolProp"), "{name}: {model}");
        // a bubble or dew point that CoolProp does not find is counted there
        assert!(!model.contains("did not find"), "{name}: {model}");
        assert!(!list(&json, "cautions").is_empty());
    }
}

#[test]
fn the_page_fits_every_terminal_and_ends_with_cautions() {
    for width in [40, 80, 120] {
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let line = [
            "fuelwright",
            "--full",
            "second-opinion",
            "examples/greenhouse-frost-guard.toml",
        ];
        assert_eq!(run(line, width, &mut out, &mut err), Outcome::Done);
        let text = String::from_utf8(out).expect("text");
        for shown in text.lines() {
            assert!(shown.chars().count() <= width, "{width}: {shown}");
        }
        let (body, cautions) = text
            .split_once("\nCautions\n")
            .expect("cautions at the end");
        let joined = |t: &str| t.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(joined(cautions).contains("licensed gas practice decide"));
        let said = joined(body);
        assert!(
            said.contains("what liquid and vapour are made of"),
            "{said}"
        );
        assert!(said.contains("Both codes carry the same published equations"));
        assert!(said.contains("[bell2014]"));
    }
}

/// A folder of fuel files and a rig in it, gone at the end.
struct Folder(std::path::PathBuf);

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

#[test]
fn an_equation_that_is_off_is_found_out() {
    // propane with a heat capacity of the ideal gas up to 3 % off, under the CAS number of propane; the checks of a
    // fuel file, which know its own polynomials, let that pass
    let folder =
        Folder(std::env::temp_dir().join(format!("fuelwright-off-{}", std::process::id())));
    std::fs::create_dir_all(&folder.0).expect("a folder");
    let propane = include_str!("../fuels/propane.toml");
    assert!(propane.contains("n = [3.043,"));
    let text = propane
        .replacen("n = [3.043,", "n = [3.243,", 1)
        .replacen("name = \"propane\"", "name = \"propane-off\"", 1)
        .lines()
        .filter(|l| !l.starts_with("synonyms"))
        .collect::<Vec<_>>()
        .join("\n");
    std::fs::write(folder.0.join("propane-off.toml"), text).expect("a file");
    let rig = include_str!("../examples/coupon-soak-rig.toml").replacen(
        "composition = \"propane\"",
        "composition = \"propane-off\"",
        1,
    );
    let path = folder.0.join("rig");
    std::fs::write(&path, rig).expect("a file");
    let (ended, json) = answer(&[
        "--fuels-folder",
        &folder.0.display().to_string(),
        "second-opinion",
        &path.display().to_string(),
    ]);
    assert_eq!(ended, Outcome::Done);
    let most = json["largest_relative_difference"]
        .as_f64()
        .expect("a number");
    assert!(most > 10.0 * RIG_TOLERANCE, "{most}");
}

#[test]
fn a_fuel_without_a_second_opinion_says_so() {
    for (fuel, why) in [
        ("kerosene", "known by correlations"),
        ("gasoline", "known by correlations"),
        (
            "n-butane:50,propylene:50",
            "no mixture model of n-butane with propylene",
        ),
    ] {
        let (_, json) = answer(&["--backend", "coolprop", "fuel", fuel]);
        let said = list(&json, "assumptions")
            .iter()
            .filter_map(Value::as_str)
            .any(|a| a.starts_with("No second opinion on") && a.contains(why));
        assert!(said, "{fuel}: {}", json["assumptions"]);
    }
}

/// Numbers of two answers that differ by more than a share, with their place.
fn differing(at: &str, a: &Value, b: &Value, share: f64, found: &mut Vec<String>) {
    match (a, b) {
        (Value::Object(x), Value::Object(y)) => {
            for (key, value) in x {
                if [
                    "model",
                    "notes",
                    "assumptions",
                    "sources",
                    "balance_error_energy",
                    "balance_error_species",
                ]
                .contains(&key.as_str())
                {
                    continue;
                }
                let other = y.get(key).unwrap_or(&Value::Null);
                differing(&format!("{at}.{key}"), value, other, share, found);
            }
        }
        (Value::Array(x), Value::Array(y)) if x.len() == y.len() => {
            for (i, (p, q)) in x.iter().zip(y).enumerate() {
                differing(&format!("{at}[{i}]"), p, q, share, found);
            }
        }
        (Value::Number(x), Value::Number(y)) => {
            let (x, y) = (x.as_f64().expect("finite"), y.as_f64().expect("finite"));
            if (x - y).abs() > share * x.abs().max(y.abs()) {
                found.push(format!("{at}: {x} and {y}"));
            }
        }
        _ if a == b => {}
        _ => found.push(format!("{at}: {a} and {b}")),
    }
}

#[test]
fn every_command_takes_its_properties_from_the_code_asked_for() {
    const LINES: &[&str] = &[
        "fuel|propane",
        "fuel|propane:70,n-butane:30|--temperature|5 degC",
        "state|n-butane|--temperature|20 degC|--pressure|5 bara",
        "state|propane:70,n-butane:30|--temperature|20 degC|--pressure|12 bara",
        "injector|--fuel|propane|--upstream|2 barg|--upstream-temperature|15 degC|--chamber|20 mbar(g)|--holes|8|--flow|0.8 g/s",
        "injector|--fuel|propane:70,n-butane:30|--upstream|4 barg|--upstream-quality|0.3|--chamber|20 mbar(g)|--holes|8|--flow|0.8 g/s",
        "valve|--fuel|propane|--upstream|3 barg|--upstream-temperature|20 degC|--downstream|2 barg|--flow|1 g/s",
        "regulator|--fuel|propane|--upstream|7 barg|--upstream-temperature|20 degC|--downstream|1 barg",
        "regulator|--fuel|propane:70,n-butane:30|--upstream|9 barg|--upstream-temperature|15 degC|--downstream|1 barg",
        "tank|--fuel|propane|--volume|27 L|--fill|11 kg|--tank-temperature|15 degC|--ambient|15 degC|--draw|0.4 g/s|--duration|1 h|--wall-mass|12 kg|--wall-specific-heat|480 J/(kg K)|--conductance|5 W/K",
        "trapped|--fuel|propane:70,n-butane:30|--pressure|12 bara|--temperature|20 degC|--rise|5 K",
        "leak|--fuel|propane|--pressure|2 barg|--temperature|15 degC|--hole-diameter|1 mm",
        "train|examples/coupon-soak-rig.toml",
        "convert|examples/kiln-pilot.toml|--to|propane",
        "tolerance|examples/coupon-soak-rig.toml|--samples|100",
    ];
    for line in LINES {
        let words: Vec<&str> = line.split('|').collect();
        let with = |code| {
            let mut all = vec!["--backend", code];
            all.extend(&words);
            answer(&all)
        };
        let ((ended, own), (second_ended, second)) = (with("embedded"), with("coolprop"));
        assert_eq!(ended, second_ended, "{line}");
        let mut found = Vec::new();
        differing("", &own, &second, 1e-3, &mut found);
        assert!(found.is_empty(), "{line}: {found:#?}");
        assert_ne!(own["model"], second["model"], "{line}");
    }
}

/// The same fuel by both codes.
fn both(fuel: &str) -> [Arc<dyn Backend>; 2] {
    [PropertyCode::Embedded, PropertyCode::CoolProp].map(|code| {
        let library = Library::embedded().with_property_code(code);
        let composition = Composition::parse(fuel, &library).expect("a fuel");
        eos::backend(&library, &composition).expect("an equation")
    })
}

#[track_caller]
fn assert_near(what: &str, own: f64, second: f64, share: f64) {
    assert!(
        (own - second).abs() <= share * own.abs().max(second.abs()),
        "{what}: own {own}, CoolProp {second}"
    );
}

#[test]
fn pure_fluids_agree_over_their_range() {
    let library = Library::embedded();
    let names = library.names();
    let equations = names
        .into_iter()
        .filter(|n| library.fuel(n).expect("a fuel").equation.is_some());
    // CoolProp has no equation of it
    let equations = equations.filter(|n| *n != "isooctane");
    let mut fluids = 0;
    for name in equations {
        fluids += 1;
        let [own, second] = both(name);
        assert!(second.model().contains("CoolProp"), "{name}");
        let t_c = own.critical().0;
        let low = (1.001 * own.validity().temperature_k.start()).max(0.45 * t_c);
        for i in 0..12 {
            // up to 0.97 of the critical temperature, where the tolerance of 1e-6 ends
            let t_k = low + f64::from(i) / 11.0 * (0.97 * t_c - low);
            let at = |what: &str| format!("{name}, {what} at {t_k} K");
            let [a, b] = [&own, &second].map(|f| f.bubble_t(t_k).expect("it boils"));
            assert_near(&at("vapour pressure"), a.pressure_pa, b.pressure_pa, 1e-6);
            assert_near(
                &at("liquid"),
                a.liquid.density_kg_m3,
                b.liquid.density_kg_m3,
                1e-6,
            );
            assert_near(
                &at("latent heat"),
                a.latent_heat_j_kg(),
                b.latent_heat_j_kg(),
                1e-6,
            );
            for (what, factor, phase) in [("gas", 0.7, Phase::Gas), ("liquid", 1.5, Phase::Liquid)]
            {
                let p_pa = factor * a.pressure_pa;
                let [g, h] = [&own, &second].map(|f| f.state_pt(p_pa, t_k).expect("a state"));
                assert_eq!((g.phase, h.phase), (phase, phase), "{}", at(what));
                assert_near(&at(what), g.density_kg_m3, h.density_kg_m3, 1e-6);
                let [r, s] = [g, h].map(|x| x.response().expect("one phase"));
                for (what, x, y) in [
                    ("cp", r.cp_j_kg_k, s.cp_j_kg_k),
                    ("cv", r.cv_j_kg_k, s.cv_j_kg_k),
                    ("sound", r.speed_of_sound_m_s, s.speed_of_sound_m_s),
                    ("dp/dT", r.dp_dt_pa_k, s.dp_dt_pa_k),
                    ("dp/drho", r.dp_drho_pa_m3_kg, s.dp_drho_pa_m3_kg),
                ] {
                    assert_near(&at(what), x, y, 1e-5);
                }
                // back from entropy, enthalpy and density, each code by its own zero
                for f in [&own, &second] {
                    let x = f.state_pt(p_pa, t_k).expect("a state");
                    let by_s = f.state_ps(p_pa, x.entropy_j_kg_k).expect("a state");
                    let by_h = f.state_ph(p_pa, x.enthalpy_j_kg).expect("a state");
                    let by_u = f
                        .state_rho_u(x.density_kg_m3, x.internal_energy_j_kg())
                        .expect("a state");
                    for (way, y) in [("entropy", by_s), ("enthalpy", by_h), ("energy", by_u)] {
                        let back = format!("{} by {way}, {}", at(what), f.model());
                        assert_near(&back, t_k, y.temperature_k, 1e-7);
                        assert_eq!(y.phase, phase, "{back}");
                    }
                }
            }
            // in the middle of boiling
            let middle = second.state_tq(t_k, 0.4).expect("two phases");
            let by_h = second
                .state_ph(middle.pressure_pa, middle.enthalpy_j_kg)
                .expect("two phases");
            assert_near(&at("share"), 0.4, by_h.vapour_mole_fraction, 1e-6);
        }
    }
    assert_eq!(fluids, 24, "fuels with a reference equation");
}

#[test]
fn no_state_of_liquid_gas_is_wrong() {
    // CoolProp left to find the phase gives a density without meaning on 1 to 2 % of such states: with the
    // phase imposed on it there must be none
    for fuel in [
        "propane:70,n-butane:30",
        "propane:40,n-butane:35,isobutane:25",
        "lpg-propane",
    ] {
        let [own, second] = both(fuel);
        for i in 0..400_u32 {
            let share = |k: u32| f64::from((i * k) % 400) / 400.0;
            let t_k = 240.0 + 70.0 * share(37);
            let bubble = own.bubble_t(t_k).expect("it boils").pressure_pa;
            let p_pa = bubble + (0.01 + 3.0 * share(113)) * 1e6;
            let [a, b] = [&own, &second].map(|f| f.state_pt(p_pa, t_k).expect("a state"));
            let at = format!("{fuel} at {p_pa} Pa, {t_k} K");
            assert_eq!(b.phase, Phase::Liquid, "{at}");
            assert_near(&at, a.density_kg_m3, b.density_kg_m3, 1e-6);
        }
    }
}

#[test]
fn blends_agree_on_boiling_and_in_two_phases() {
    for fuel in [
        "propane:70,n-butane:30",
        "propane:40,n-butane:35,isobutane:25",
    ] {
        let [own, second] = both(fuel);
        for i in 0..10 {
            let t_k = 245.0 + 7.0 * f64::from(i);
            let at = |what: &str| format!("{fuel}, {what} at {t_k} K");
            let [a, b] = [&own, &second].map(|f| f.bubble_t(t_k).expect("it boils"));
            assert_near(&at("bubble"), a.pressure_pa, b.pressure_pa, 1e-6);
            let [c, d] = [&own, &second].map(|f| f.dew_t(t_k).expect("it condenses"));
            assert_near(&at("dew"), c.pressure_pa, d.pressure_pa, 1e-6);
            let [e, f] = [&own, &second].map(|f| f.bubble_p(a.pressure_pa).expect("it boils"));
            assert_near(&at("boiling"), e.temperature_k, f.temperature_k, 1e-7);
            // liquid of the boiling point let down to half its pressure
            let [g, h] = [(&own, &a), (&second, &b)].map(|(f, e)| {
                f.state_ph(0.5 * a.pressure_pa, e.liquid.enthalpy_j_kg)
                    .expect("a state")
            });
            assert_eq!(h.phase, Phase::TwoPhase, "{}", at("let-down"));
            assert_near(&at("let-down"), g.temperature_k, h.temperature_k, 1e-6);
            assert_near(
                &at("share"),
                g.vapour_mass_fraction,
                h.vapour_mass_fraction,
                1e-5,
            );
            assert_near(&at("density"), g.density_kg_m3, h.density_kg_m3, 1e-5);
            // and the same again from density and temperature, and from density and energy
            let back = second
                .state_rho_t(h.density_kg_m3, h.temperature_k)
                .expect("a state");
            assert_near(&at("back"), h.pressure_pa, back.pressure_pa, 1e-5);
            let back = second
                .state_rho_u(h.density_kg_m3, h.internal_energy_j_kg())
                .expect("a state");
            assert_near(&at("back"), h.temperature_k, back.temperature_k, 1e-6);
        }
    }
}

#[test]
fn the_examples_are_all_here() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .expect("examples")
        .map(|e| e.expect("an entry").path())
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .map(|p| {
            p.file_stem()
                .expect("a name")
                .to_string_lossy()
                .into_owned()
        })
        .collect();
    names.sort();
    let mut told = [&EXAMPLES[..], &BY_CORRELATION[..]].concat();
    told.sort_unstable();
    assert_eq!(names, told);
}
