//! Sums of a rig that must agree with one another, and with a sum by hand.

use fuelwright::{self as cli, Outcome};
use serde_json::Value as Json;
use std::path::PathBuf;

const SOAK: &str = "examples/coupon-soak-rig.toml";
const GUARD: &str = "examples/greenhouse-frost-guard.toml";
const KILN: &str = "examples/kiln-pilot.toml";

fn told(line: &str) -> (Outcome, String, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = ["fuelwright", "--full"].into_iter().chain(line.split('|'));
    let outcome = cli::run(all, 120, &mut out, &mut err);
    let [out, err] = [out, err].map(|bytes| String::from_utf8(bytes).expect("text"));
    (outcome, out, err)
}

fn json(line: &str) -> Json {
    let (outcome, out, err) = told(&format!("{line}|--format|json"));
    assert_ne!(outcome, Outcome::Failed, "{line}: {err}");
    serde_json::from_str(&out).expect("one object")
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A rig with texts in it replaced, in a file of its own.
fn rig(name: &str, file: &str, changes: &[(&str, &str)]) -> String {
    let mut text = std::fs::read_to_string(file).expect("there");
    for (from, to) in changes {
        assert!(text.contains(from), "{name}: no {from}");
        text = text.replacen(from, to, 1);
    }
    written(name, &text)
}

fn written(name: &str, text: &str) -> String {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("sums-{name}.toml"));
    std::fs::write(&path, text).expect("writable");
    path.display().to_string()
}

/// The soak rig with its train left out.
fn without_train() -> String {
    let text = std::fs::read_to_string(SOAK).expect("there");
    let (from, to) = (text.find("[[train]]"), text.find("[[limits]]"));
    let (from, to) = (from.expect("a train"), to.expect("limits"));
    written("no-train", &format!("{}{}", &text[..from], &text[to..]))
}

fn named<'a>(list: &'a Json, name: &str) -> &'a Json {
    let mut all = list.as_array().expect("a list").iter();
    all.find(|x| x["name"] == name)
        .unwrap_or_else(|| panic!("no {name}"))
}

fn number(v: &Json) -> f64 {
    v.as_f64().unwrap_or_else(|| panic!("no number: {v}"))
}

fn close(got: f64, want: f64, relative: f64) {
    assert!(
        (got / want - 1.0).abs() <= relative,
        "got {got}, want {want} within {relative}"
    );
}

fn notes(answer: &Json) -> String {
    ["notes", "assumptions"]
        .map(|key| answer[key].to_string())
        .concat()
}

// By hand: holes sized at 1.0 bar(g) pass at 1.0 bar(g) what they are sized for, 1.274 g/s. The tank stands at
// 5.76 bar(g), from which choked holes would pass (5.76 + 0.97)/(1.0 + 0.97) = 3.4 times that.
#[test]
fn a_rig_without_a_train_is_fed_at_the_pressure_given_before_its_holes() {
    let rig = without_train();
    let answer = json(&format!("train|{rig}"));
    let full = named(&answer["duties"], "full");
    close(
        number(&full["mass_flow_kg_s"]),
        number(&full["wanted_kg_s"]),
        5e-3,
    );
    assert!(
        notes(&answer).contains("lists no train"),
        "{}",
        notes(&answer)
    );
    let tank = json(&format!("tank|{rig}"));
    let drawn = number(&named(&tank["duties"], "full")["draw_kg_s"]);
    close(drawn, number(&full["wanted_kg_s"]), 5e-3);
}

// n-butane boils at 10.4 °C under 1.51 bar, the 0.5 bar(g) that the regulator needs, by its Antoine equation
// (4.35576, 1175.581, -2.071 for bar and K; from memory). The holes alone would be fed from -0.1 °C up.
#[test]
fn a_switch_to_another_gas_goes_through_tank_and_train() {
    let answer = json(&format!("convert|{GUARD}|--to|n-butane"));
    let t_k = number(&answer["supply"]["coldest_feeding_k"]);
    let antoine_k = 1175.581 / (4.35576 - 1.51_f64.log10()) + 2.071;
    assert!((t_k - antoine_k).abs() < 0.8, "{t_k}, not {antoine_k}");
    assert_eq!(answer["supply"]["coldest_limited_by"], "regulator");
    let of_duty = named(&answer["holes"], "high")["train"].clone();
    assert_eq!(of_duty["fed"], false);
    // a rig file with that fuel says the same
    let same = rig("butane", GUARD, &[("propane:70,n-butane:30", "n-butane")]);
    let tank = json(&format!("tank|{same}"));
    let coldest_k = number(&named(&tank["duties"], "high")["coldest_tank_k"]);
    assert!((t_k - coldest_k).abs() < 0.1, "{t_k} {coldest_k}");
}

// n-butane condenses at 12 °C above some 1.1 bar(g) (boiling point -0.5 °C): it is no gas at 3 bar(g)
#[test]
fn a_feed_pressure_that_cannot_be_had_is_said_to_be_left() {
    let line = format!("convert|{SOAK}|--to|n-butane|--feed-pressure|3 bar(g)");
    let answer = json(&line);
    let asked = number(&answer["new_holes"]["upstream_pressure_asked_pa"]);
    close(asked, 3e5 + 97.3e3, 5e-3);
    assert!(number(&answer["new_holes"]["upstream_pressure_pa"]) < 2.2e5);
    let text = notes(&answer);
    assert!(
        text.contains("asked for before the holes is not taken") && text.contains("3 bar(g)"),
        "{text}"
    );
    let kept = json(&format!(
        "convert|{SOAK}|--to|n-butane|--feed-pressure|0.3 bar(g)"
    ));
    assert!(kept["new_holes"]["upstream_pressure_asked_pa"].is_null());
}

#[test]
fn holes_are_as_warm_as_the_train_brings_the_fuel() {
    let holes = json(&format!("injector|{SOAK}"));
    let train = json(&format!("train|{SOAK}"));
    for duty in ["light-up", "idle", "soak", "full"] {
        let of_holes = named(&holes["injector"]["duties"], duty);
        let outlets = &named(&train["duties"], duty)["outlets"];
        let of_train = number(&named(outlets, "main")["inlet"]["pressure_pa"]);
        // one pressure for one duty: 1 % of 2 bar(a) is what 5 K make
        close(number(&of_holes["upstream_pressure_pa"]), of_train, 1e-3);
    }
    // -20 K at the regulator are no reason to type a temperature
    let cold = rig(
        "cold",
        SOAK,
        &[
            (
                "heat_outside = \"8 W/(m2 K)\"",
                "heat_outside = \"0 W/(m2 K)\"",
            ),
            (
                "ambient_temperature = \"12 degC\"",
                "ambient_temperature = \"30 degC\"",
            ),
        ],
    );
    let audit = json(&format!("audit|{cold}"));
    let findings = audit["findings"].as_array().expect("a list");
    assert!(findings.iter().all(|f| f["id"] != "INJ011"), "{findings:?}");
}

#[test]
fn the_least_pressure_of_a_tank_says_what_is_in_it() {
    let text = notes(&json(&format!("tank|{SOAK}")));
    assert!(text.contains("there is no reserve in it"), "{text}");
    assert!(
        text.contains("as cold as a tank of that pressure gives it"),
        "{text}"
    );
    // 7 kW of 46 MJ/kg and 98 % are 0.155 g/s; without a throttle more flows
    let text = notes(&json(&format!("tank|{GUARD}")));
    assert!(
        text.contains("low: at its least pressure it gets the 0.15"),
        "{text}"
    );
}

const BLOWER: &str = "shaft_power = \"520 W\"\npressure_ratio = 1.05\nefficiency = \"52 %\"";

// By hand: 285.15 K × (1.05^0.2857 - 1)/0.52 = 7.7 K of rise
#[test]
fn a_blower_may_be_given_by_flow_and_pressure() {
    let both = "flow = \"67 g/s\"\npressure_ratio = 1.05\nefficiency = \"52 %\"";
    let audit = json(&format!(
        "audit|{}",
        rig("flow-and-pressure", SOAK, &[(BLOWER, both)])
    ));
    let full = named(&audit["duties"], "full");
    close(number(&full["air_flow_kg_s"]), 0.067, 1e-9);
    let rise_k = number(&full["air_temperature_k"]) - 285.15;
    assert!((rise_k - 7.7).abs() < 0.1, "{rise_k}");
}

// By hand: 520 W × 0.52/(1006 J/(kg K) × 285.15 K × 0.01404) = 67 g/s
#[test]
fn flow_and_power_of_a_blower_that_contradict_are_told_with_both_figures() {
    let given = |flow: &str| format!("flow = \"{flow}\"\n{BLOWER}");
    let wrong = rig("flow-and-power", SOAK, &[(BLOWER, &given("90 g/s"))]);
    let (outcome, _, err) = told(&format!("audit|{wrong}"));
    assert_eq!(outcome, Outcome::Failed);
    let err = flat(&err);
    assert!(
        err.contains("moves 67 g/s") && err.contains("says 90 g/s"),
        "{err}"
    );
    let right = rig("flow-and-power-agree", SOAK, &[(BLOWER, &given("67 g/s"))]);
    json(&format!("audit|{right}"));
}

// 340 m above the sea the air stands at 973 mbar (standard atmosphere): 5 % of it are 48.7 mbar
#[test]
fn a_chamber_above_what_the_blower_gives_is_told_with_both_figures() {
    let high = |p: &str| {
        rig(
            "high-chamber",
            SOAK,
            &[("chamber_pressure = \"32 mbar(g)\"", p)],
        )
    };
    let (outcome, _, err) = told(&format!(
        "audit|{}",
        high("chamber_pressure = \"60 mbar(g)\"")
    ));
    assert_eq!(outcome, Outcome::Failed);
    let err = flat(&err);
    assert!(
        err.contains("60 mbar(g)") && err.contains("48.7 mbar(g)"),
        "{err}"
    );
    json(&format!(
        "audit|{}",
        high("chamber_pressure = \"48 mbar(g)\"")
    ));
}

#[test]
fn a_sweep_shows_no_pressure_where_the_train_does_not_feed() {
    let line = format!(
        "sweep|{SOAK}|--over|train.regulator.set_pressure|--from|0.6 barg|--to|2 barg|--steps|2"
    );
    let answer = json(&line);
    let steps = answer["steps"].as_array().expect("a list");
    let [starved, fed] = [&steps[0], &steps[1]].map(|s| named(&s["duties"], "full"));
    assert!(starved["why_not_fed"].is_string() && starved["injector_pressure_pa"].is_null());
    assert!(fed["why_not_fed"].is_null() && fed["injector_pressure_pa"].is_number());
    assert!(answer["moves_nothing"].is_null());
}

#[test]
fn a_sweep_of_a_key_that_moves_nothing_says_why() {
    let line = format!(
        "sweep|{GUARD}|--over|injector.pressure|--from|25 mbar(g)|--to|40 mbar(g)|--steps|3"
    );
    let answer = json(&line);
    let why = answer["moves_nothing"].as_str().expect("a reason");
    assert!(why.contains("the train sets the pressure"), "{why}");
    assert!(notes(&answer).contains("`injector.pressure` moves nothing here"));
}

// Propane burns from some 2 % in air, an equivalence ratio of 0.5 (astm-e681 and others give 1.7 to 2.1 %): 0.24 does
// not
#[test]
fn a_mixture_too_lean_as_a_whole_is_said_where_no_primary_share_is_given() {
    let found = |rig: &str| {
        let audit = json(&format!("audit|{rig}"));
        let findings = audit["findings"].as_array().expect("a list").clone();
        let found = findings.into_iter().find(|f| f["id"] == "FLM002");
        found.map(|f| f["sentence"].to_string())
    };
    let silent = rig("no-share", SOAK, &[("primary_air_share = \"38 %\"\n", "")]);
    let told = found(&silent).expect("a finding");
    assert!(
        told.contains("burns only if the flame gets less air"),
        "{told}"
    );
    assert_eq!(found(SOAK), None);
}

// Propane boils at 20 °C under 8.36 bar (lemmon2009 gives 8.3646)
#[test]
fn a_regulator_takes_saturated_vapour_and_liquid() {
    let at = |q: &str| {
        json(&format!(
            "regulator|--fuel|propane|--upstream|8.3646 bara|--upstream-quality|{q}|--downstream|2 bara"
        ))
    };
    let (liquid, vapour) = (at("0"), at("1"));
    for answer in [&liquid, &vapour] {
        assert!((number(&answer["upstream_temperature_k"]) - 293.15).abs() < 0.02);
    }
    assert_eq!(
        (&liquid["inlet_phase"], &vapour["inlet_phase"]),
        (&"liquid".into(), &"gas".into())
    );
    assert_eq!(vapour["outlet_phase"], "gas");
    assert!(notes(&liquid).contains("What enters is not gas"));
    assert!(!notes(&vapour).contains("What enters is not gas"));
    let neither = "regulator|--fuel|propane|--upstream|8 bara|--downstream|2 bara";
    assert_eq!(told(neither).0, Outcome::Failed);
}

#[test]
fn a_humidity_ratio_may_be_given_in_mass_of_water_a_mass_of_air() {
    let with = |w: &str| {
        let line = "flame|--fuel|propane|--equivalence-ratio|0.6|--air-temperature|20 degC|--pressure|1 bara";
        number(&json(&format!("{line}|--humidity-ratio|{w}"))["air_water_mole_fraction"])
    };
    // by hand: 0.0075 × 28.965/18.015 = 0.01206 moles a mole of dry air, 0.01192 of the whole
    for w in ["0.0075 kg/kg", "7.5 g/kg", "52.5 gr/lb"] {
        close(with(w), 0.01192, 1e-3);
    }
}

#[test]
fn the_first_vapour_of_a_blend_has_a_density_of_its_own() {
    let answer = json("fuel|propane:50,n-butane:50|--temperature|-20 degC");
    let s = &answer["saturation"];
    // by hand: p M/(R T) of both vapours, each at its pressure; the real gas is up to 5 % denser below 2 bar
    let y = number(&s["vapour_composition"]["propane"]);
    let ideal = |p: &str, y: f64| {
        number(&s[p]) * (0.044_096 * y + 0.058_122 * (1.0 - y)) / (8.314_46 * 253.15)
    };
    for (density, pressure, y) in [
        ("first_vapour_density_kg_m3", "bubble_pressure_pa", y),
        ("vapour_density_kg_m3", "dew_pressure_pa", 0.5),
    ] {
        let over = number(&s[density]) / ideal(pressure, y);
        assert!((1.0..1.06).contains(&over), "{density}: {over}");
    }
}

/// The kiln with a small tube as the first part behind its main.
fn narrow(name: &str, read: &str) -> String {
    let tube = "[[train]]\nname = \"service\"\nkind = \"tube\"\nbore = \"6 mm\"\nlength = \"0.1 m\"\nroughness = \"0.0015 mm\"\n\n[[train]]\nname = \"hand-valve\"";
    let main = format!("pressure = \"95 mbar(g)\"\n{read}");
    rig(
        name,
        KILN,
        &[
            ("pressure = \"95 mbar(g)\"\n", &main),
            ("[[train]]\nname = \"hand-valve\"", tube),
        ],
    )
}

// By hand: gas at rest has ρ u²/2 × (1 + M²/4 + ...) more than moving gas (naca1135, perfect gas)
#[test]
fn a_main_says_which_pressure_is_taken_and_how_far_the_other_one_is() {
    let answer = json(&format!("train|{}", narrow("moving", "")));
    let main = &answer["main"];
    assert_eq!(
        (&main["pressure_read"], &main["part"]),
        (&"moving".into(), &"service".into())
    );
    let parts = &named(&answer["duties"], main["duty"].as_str().expect("a name"))["parts"];
    let inlet = &named(parts, "service")["inlet"];
    let (rho, u) = (
        number(&inlet["density_kg_m3"]),
        number(&inlet["velocity_m_s"]),
    );
    // speed of sound of methane at 10 °C: √(1.31 × 8.314 × 283.15/0.0172) = 423 m/s
    let head = 0.5 * rho * u * u * (1.0 + 0.25 * (u / 423.0).powi(2));
    close(number(&main["at_rest_over_moving_pa"]), head, 5e-3);
    assert!(notes(&answer).contains("is that of the gas moving through `service`"));
    let at_rest = json(&format!(
        "train|{}",
        narrow("at-rest", "pressure_read = \"at-rest\"\n")
    ));
    assert_eq!(at_rest["main"]["pressure_read"], "at-rest");
    assert!(notes(&at_rest).contains("is that of gas at rest"));
    // behind the tube there is less by the same head
    let behind = |answer: &Json| {
        let parts = &named(&answer["duties"], "firing")["parts"];
        number(&named(parts, "service")["outlet"]["pressure_pa"])
    };
    close(behind(&answer) - behind(&at_rest), head, 0.1);
}
