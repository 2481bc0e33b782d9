//! The plan of a switch as a work list: what comes first, what is bought, what becomes of every part.

use fuelwright::{Outcome, run};
use serde_json::Value;

const SOAK: &str = "examples/coupon-soak-rig.toml";
const NEGLECTED: &str = "examples/neglected-frost-guard.toml";
const TILES: &str = "examples/tile-dryer.toml";
const LIQUIDS: [&str; 7] = [
    "ethanol",
    "methanol",
    "isopropanol",
    "kerosene",
    "diesel",
    "gasoline",
    "n-heptane",
];

fn said(rig: &str, to: &str, more: &[&str]) -> String {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let line = ["fuelwright", "convert", rig, "--to", to];
    let line = line.into_iter().chain(more.iter().copied());
    let outcome = run(line, 80, &mut out, &mut err);
    let [out, err] = [out, err].map(|b| String::from_utf8(b).expect("text"));
    assert_ne!(outcome, Outcome::Failed, "{rig} {to}: {err}");
    out
}

fn json(rig: &str, to: &str) -> Value {
    serde_json::from_str(&said(rig, to, &["--format", "json"])).expect("one object")
}

fn number(v: &Value) -> f64 {
    v.as_f64().unwrap_or_else(|| panic!("no number: {v}"))
}

/// Lines of the part of the list with a heading.
fn lines(plan: &Value, heading: &str) -> Vec<String> {
    let parts = plan["work"].as_array().expect("a list");
    let part = parts.iter().find(|p| p["heading"] == heading);
    let part = part.unwrap_or_else(|| panic!("no {heading}"));
    let lines = part["lines"].as_array().expect("a list");
    let text = |l: &Value| l["text"].as_str().expect("a text").to_owned();
    lines.iter().map(text).collect()
}

/// By hand, `V = ṁ √(p₀/Δp) / √(ρ ρ₀)` with 100 psi = 6.894757 bar, 840 kg/m³ and 1 US gal/h = 1.051503e-6 m³/s
/// (common practice, no source). Chamber at `full` 32 mbar.
/// Kerosene: 1.372 g/s by two is 0.686 g/s, at 8.000 - 0.032 bar, 810 kg/m³ at 12 degC (jet fuel of 0.80 to 0.81 at
/// 15 degC, from memory): 0.686e-3 x 0.93022 / 824.9 = 7.736e-7 m³/s = 0.736 US gal/h.
/// Ethanol: 2.202 g/s by two is 1.101 g/s, at 6.968 bar, 796 kg/m³: 1.101e-3 x 0.99472 / 817.7 = 1.339e-6 m³/s =
/// 1.274 US gal/h. One alone at light-up: 7.968 x (0.3316 / 0.686)² = 1.862 bar, 6.968 x (0.5321 / 1.101)² = 1.627 bar.
#[test]
fn nozzles_are_bought_by_what_they_pass_of_oil_at_100_psi() {
    for (fuel, gallons, size, light_up_bar) in [
        ("kerosene", 0.736, 0.75, 1.862),
        ("ethanol", 1.274, 1.25, 1.627),
    ] {
        let plan = json(SOAK, fuel);
        let n = &plan["nozzles_to_buy"];
        assert_eq!(n["number"], 2, "{fuel}");
        let got = number(&n["stamped_us_gal_h"]);
        assert!((got / gallons - 1.0).abs() < 0.01, "{fuel}: {got}");
        assert!((number(&n["size_us_gal_h"]) - size).abs() < 1e-9, "{fuel}");
        let lit = &n["duties"][0];
        assert_eq!(
            (&lit["name"], &lit["nozzles"]),
            (&"light-up".into(), &1.into())
        );
        let drop_bar = number(&lit["pressure_drop_pa"]) / 1e5;
        assert!(
            (drop_bar / light_up_bar - 1.0).abs() < 5e-3,
            "{fuel}: {drop_bar}"
        );
        // the largest duty burns on all, at the drop that it is planned with
        let full = n["duties"]
            .as_array()
            .and_then(|d| d.last())
            .expect("a duty");
        assert_eq!(full["nozzles"], 2);
        let words = format!("{size:.2} US gal/h at 100 psi (7 bar)");
        let buy = lines(&plan, "Buy");
        assert!(
            buy[0].contains(&words) && buy[0].contains("60 deg"),
            "{buy:?}"
        );
        // a third of the smallest passage: no sieve is wider
        let mesh = number(&n["filter_mesh_m"]);
        assert!(number(&n["sieve_opening_m"]) <= mesh, "{fuel}");
    }
}

#[test]
fn every_list_begins_with_light_off_and_ends_at_the_fire() {
    for rig in [SOAK, NEGLECTED, TILES] {
        for fuel in LIQUIDS {
            if rig == TILES && fuel == "kerosene" {
                continue;
            }
            let plan = json(rig, fuel);
            let parts = plan["work"].as_array().expect("a list");
            let headings: Vec<&str> = parts.iter().filter_map(|p| p["heading"].as_str()).collect();
            let wanted = [
                "Light-off and low duty first",
                "Buy",
                "Take out, keep",
                "Fit and try, in this order",
            ];
            assert_eq!(headings, wanted, "{rig} {fuel}");
            let text = said(rig, fuel, &[]);
            assert_eq!(text.lines().nth(2), Some(wanted[0]), "{text}");
            let order = wanted.map(|h| text.find(&format!("\n{h}\n")).expect(h));
            let ends = ["Findings", "Cautions"].map(|h| text.find(&format!("\n{h}\n")).expect(h));
            assert!(order.iter().chain(&ends).is_sorted(), "{text}");
            let fit = lines(&plan, wanted[3]);
            let place = |word: &str| fit.iter().position(|l| l.contains(word)).expect(word);
            let steps = ["closed can", "audit", "light at"];
            let first = if rig == TILES {
                steps[0]
            } else {
                "cap the cylinder"
            };
            assert!(
                place(first) == 0 && place("audit") < place("light at"),
                "{fit:?}"
            );
            // nothing sprays with the spark on
            assert!(
                fit.iter()
                    .all(|l| !l.starts_with("Catch") || l.contains("spark off"))
            );
        }
    }
}

#[test]
fn of_each_part_is_said_whether_it_stays() {
    for (rig, to) in [
        (SOAK, "ethanol"),
        (SOAK, "kerosene"),
        (SOAK, "n-butane"),
        (NEGLECTED, "diesel"),
        (TILES, "ethanol"),
        (TILES, "propane"),
    ] {
        let plan = json(rig, to);
        let told = lines(&plan, "Take out, keep");
        for part in plan["old_parts"].as_array().expect("a list") {
            let name = part["name"].as_str().expect("a name");
            let word = match part["fate"].as_str() {
                Some("goes") => "Take out ",
                Some("check") => "Check ",
                _ => "Keep ",
            };
            let names = |l: &&String| {
                let (list, _) = l.split_once(": ").unwrap_or((l, ""));
                let list = list.strip_prefix(word);
                list.is_some_and(|list| list.split(", ").any(|n| n == name))
            };
            let found = told.iter().filter(names).count();
            assert_eq!(found, 1, "{rig} {to}: {name} in {told:?}");
        }
    }
}

#[test]
fn a_gas_begins_with_holes_pressure_and_regulator() {
    for (rig, to) in [
        (SOAK, "n-butane"),
        (SOAK, "methane"),
        (NEGLECTED, "propane"),
        (TILES, "propane"),
    ] {
        let plan = json(rig, to);
        let first = &plan["work"][0];
        assert_eq!(first["heading"], "Holes, pressure and regulator first");
        let told = lines(&plan, "Holes, pressure and regulator first");
        if let Some(new) = plan["new_holes"].as_object() {
            let holes = format!("{} holes of ", new["holes"]);
            assert!(told[0].contains(&holes), "{told:?}");
        }
        assert!(said(rig, to, &[]).lines().count() <= 80, "{rig} {to}");
    }
}

/// A gauge to 4 bar(g) before a pump of nearly 10 bar(g) is driven past its stop.
#[test]
fn a_gauge_that_the_pump_would_burst_goes() {
    let plan = json(SOAK, "kerosene");
    let parts = plan["old_parts"].as_array().expect("a list");
    let gauge = parts.iter().find(|p| p["name"] == "regulator-gauge");
    assert_eq!(gauge.expect("a part")["fate"], "goes");
    let buy = lines(&plan, "Buy").join("\n");
    assert!(buy.contains("Gauge to 16 bar(g)"), "{buy}");
}

#[test]
fn a_work_list_fits_two_screens_and_full_says_what_is_our_choice() {
    for to in ["ethanol", "kerosene"] {
        let short = said(SOAK, to, &[]);
        let long = short.lines().count();
        assert!(long <= 80, "{to}: {long}\n{short}");
        for line in short.lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
        let full = said(SOAK, to, &["--full"]);
        let full = full.split_whitespace().collect::<Vec<_>>().join(" ");
        for choice in [
            "oil of 840 kg/m3 at 100 psi (7 bar); common practice, no source",
            "else 80; common practice, no source",
            "a third of the smallest passage; common practice, no source",
            "1.5 times the largest duty, the rest goes back to the tank: our choice",
        ] {
            assert!(full.contains(choice), "{to}: {choice}");
        }
    }
}

/// The tile dryer has a tank of 30 L at 8 bar(g) of nitrogen, made for 13 bar(g), a gauge to 16 bar(g) and a motor valve.
#[test]
fn a_rig_on_liquid_keeps_what_it_has() {
    let plan = json(TILES, "diesel");
    let buy = lines(&plan, "Buy").join("\n");
    for bought in ["Tank of", "Gauge to", "Metering valve", "of steel tube"] {
        assert!(!buy.contains(bought), "{bought}: {buy}");
    }
    assert!(buy.contains("Or no pump: gas over the fuel at "), "{buy}");
    let old = lines(&plan, "Take out, keep").join("\n");
    assert!(old.contains("Keep the tank of 30 L"), "{old}");
    let first = lines(&plan, "Light-off and low duty first");
    assert!(
        first[0].starts_with("One nozzle turns down far enough"),
        "{first:?}"
    );
}

/// A dip tube gives liquid, and what is set or closes for a liquid does neither for a gas.
#[test]
fn from_liquid_to_gas_nothing_draws_liquid() {
    let plan = json(TILES, "propane");
    for part in [
        "dip",
        "excess-flow",
        "inlet-relief",
        "line-relief",
        "throttle",
    ] {
        let parts = plan["old_parts"].as_array().expect("a list");
        let found = parts.iter().find(|p| p["name"] == part).expect(part);
        assert_eq!(found["fate"], "goes", "{part}");
    }
}
