//! Mass lists: sums close, what is missing is said, choices hold what they must.

use fuelwright::audit::{Solution, solution};
use fuelwright::fuel::Library;
use fuelwright::input::{self, Loaded};
use fuelwright::mass::tube_sizes::tube_sizes;
use fuelwright::mass::{Inventory, PartGroup};
use fuelwright::quantity::show::Units;
use fuelwright::quantity::{kelvin, metres};
use fuelwright::train::Material;
use fuelwright::{self as cli, Outcome};
use serde_json::Value;

const RIGS: [&str; 5] = [
    "coupon-soak-rig",
    "greenhouse-frost-guard",
    "kiln-pilot",
    "seed-dryer",
    "tile-dryer",
];

fn text(rig: &str) -> String {
    std::fs::read_to_string(example(rig)).expect("it is there")
}

fn loaded(text: &str) -> Loaded {
    input::parse("rig.toml", text, &Library::embedded()).unwrap_or_else(|e| panic!("{e}"))
}

fn solved(loaded: &Loaded) -> Solution<'_> {
    solution::solve(&loaded.rig, &Library::embedded(), Units::Si).expect("its fuel has a model")
}

fn list(text: &str) -> Inventory {
    solved(&loaded(text)).inventory()
}

/// What a command with its arguments writes as JSON.
fn answer(arguments: &[&str]) -> Value {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let line = ["fuelwright", "--format", "json"].iter().chain(arguments);
    assert_ne!(
        cli::run(line, 100, &mut out, &mut err),
        Outcome::Failed,
        "{}",
        String::from_utf8_lossy(&err)
    );
    serde_json::from_slice(&out).expect("what we write is JSON")
}

fn example(rig: &str) -> String {
    format!("{}/examples/{rig}.toml", env!("CARGO_MANIFEST_DIR"))
}

fn json(command: &str, rig: &str) -> Value {
    answer(&[command, &example(rig)])
}

/// What a command says of a rig file with this text.
fn of_text(command: &str, name: &str, text: &str) -> Value {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("mass");
    std::fs::create_dir_all(&folder).expect("a folder of ours");
    let path = folder.join(name);
    std::fs::write(&path, text).expect("a folder of ours");
    answer(&[command, path.to_str().expect("text")])
}

fn number(json: &Value, key: &str) -> f64 {
    json[key]
        .as_f64()
        .unwrap_or_else(|| panic!("{key}: {json}"))
}

fn rows<'j>(json: &'j Value, key: &str) -> &'j [Value] {
    json[key].as_array().expect("a list")
}

#[test]
fn audit_and_mass_say_the_same() {
    for rig in RIGS {
        let (audit, mass) = (json("audit", rig), json("mass", rig));
        for key in ["mass_kg", "mass_missing", "mass_estimated"] {
            assert_eq!(audit[key], mass[key], "{rig} {key}");
        }
    }
}

#[test]
fn parts_groups_and_fuel_add_up_to_the_whole() {
    for rig in RIGS {
        let mass = json("mass", rig);
        let whole = number(&mass, "mass_kg");
        let close = |got: f64, want: f64| {
            assert!((got - want).abs() < 1e-12 * whole, "{rig}: {got} {want}");
        };
        let sum = |key: &str, column: &str| -> f64 {
            rows(&mass, key)
                .iter()
                .filter_map(|r| r[column].as_f64())
                .sum()
        };
        close(sum("groups", "mass_kg"), whole);
        close(sum("groups", "share"), 1.0);
        close(sum("parts", "dry_kg"), number(&mass, "dry_mass_kg"));
        let fuel = number(&mass, "fuel_mass_kg");
        close(number(&mass, "dry_mass_kg") + fuel, whole);
        if fuel > 0.0 {
            // what the parts hold has come out of the tank
            close(sum("parts", "fuel_kg"), fuel);
        } else {
            close(sum("parts", "fuel_kg"), number(&mass, "fuel_in_train_kg"));
        }
        let joints: f64 = rows(&mass, "parts")
            .iter()
            .filter_map(|r| r["joints"].as_f64())
            .sum();
        close(joints, number(&mass["joints"], "number"));
        let kinds = mass["joints"]["by_kind"].as_object().expect("a table");
        close(kinds.values().filter_map(Value::as_f64).sum(), joints);
    }
}

#[test]
fn parts_stand_by_mass_with_fuel_and_those_without_a_mass_last() {
    for rig in RIGS {
        let mass = json("mass", rig);
        let all: Vec<f64> = rows(&mass, "parts")
            .iter()
            .map(|r| r["fuelled_kg"].as_f64().unwrap_or(-1.0))
            .collect();
        assert!(all.windows(2).all(|w| w[0] >= w[1]), "{rig}: {all:?}");
    }
}

#[test]
fn a_part_without_mass_is_named_and_counts_nowhere() {
    let whole = list(&text("coupon-soak-rig"));
    let less = list(&text("coupon-soak-rig").replace("mass = \"0.71 kg\"\n", ""));
    assert!(whole.missing().is_empty());
    assert_eq!(less.missing(), ["throttle"]);
    assert!((whole.whole().value - less.whole().value - 0.71).abs() < 1e-12);
}

#[test]
fn tube_without_a_mass_is_estimated_from_its_size() {
    // ASTM B280-20, drawn: 1/2 in x 0.035 in weighs 0.295 kg/m; the table rounds to 1 %
    let tube = text("coupon-soak-rig")
        .replace("mass = \"0.55 kg\"\n", "")
        .replace(
            "bore = \"6 mm\"\noutside_diameter = \"8 mm\"",
            "bore = \"0.43 in\"\noutside_diameter = \"0.5 in\"",
        )
        .replace(
            "max_pressure = \"100 bar(g)\"\nwetted = [\"stainless-steel\"]",
            "wetted = [\"copper\"]",
        );
    let list = list(&tube);
    let line = list
        .items
        .iter()
        .find(|i| i.name == "line")
        .expect("it is there");
    let per_metre = line.dry.expect("estimated").value / 2.2;
    assert!((per_metre / 0.295 - 1.0).abs() < 0.01, "{per_metre}");
    assert_eq!(list.estimated(), ["line", "injector"]);
}

#[test]
fn twice_the_cylinders_weigh_twice_with_all_that_each_has() {
    // two cylinders, each with its own valve, pigtail and check valve
    let two = text("greenhouse-frost-guard");
    let one = two.replace("number = 2", "number = 1");
    assert_ne!(one, two);
    let (one, two) = (list(&one), list(&two));
    for name in ["tank", "cylinder-valve", "pigtail"] {
        let dry = |l: &Inventory| l.items.iter().find(|i| i.name == name).and_then(|i| i.dry);
        let (one, two) = (dry(&one).expect("known"), dry(&two).expect("known"));
        assert!((two.value - 2.0 * one.value).abs() < 1e-12, "{name}");
    }
    let fuel = |l: &Inventory| l.fuel.expect("known").value;
    assert!((fuel(&two) - 2.0 * fuel(&one)).abs() < 1e-9);
    let joints = |l: &Inventory| l.joints();
    assert!(joints(&two) > joints(&one));
}

#[test]
fn gas_in_a_line_has_the_density_of_the_gas_there() {
    // 2.2 m of 6 mm bore hold 62.2 mL; propane at 2 bar(g) and 0 degC has 6.2 kg/m3 (ideal gas: 5.8)
    let mass = json("mass", "coupon-soak-rig");
    let line = rows(&mass, "parts")
        .iter()
        .find(|r| r["name"] == "line")
        .expect("it is there");
    let rho = number(line, "fuel_kg") / (std::f64::consts::PI / 4.0 * 36e-6 * 2.2);
    // between the pressure of the holes, 1 bar(g), and of the regulator, 2 bar(g)
    assert!((3.5..6.3).contains(&rho), "{rho}");
}

#[test]
fn every_lighter_choice_saves_and_holds_what_it_must() {
    let mut seen = 0;
    for rig in RIGS {
        let mass = json("mass", rig);
        for c in rows(&mass, "lighter") {
            seen += 1;
            assert!(number(c, "saves_low_kg") > 0.0, "{rig}: {c}");
            assert!(
                number(c, "rating_pa") >= number(c, "must_hold_pa"),
                "{rig}: {c}"
            );
            let saves = number(c, "now_kg") - number(c, "mass_kg");
            assert!((saves - number(c, "saves_kg")).abs() < 1e-12);
        }
        let alone: f64 = rows(&mass, "lighter")
            .iter()
            .map(|c| number(c, "saves_kg"))
            .sum();
        let together = number(&mass["lighter_together"], "saves_kg");
        assert!(together <= alone + 1e-12, "{rig}");
    }
    assert!(seen > 5);
}

#[test]
fn a_lighter_choice_put_into_the_rig_still_feeds_every_duty() {
    // the generic valve that `mass` offers for the throttle, written into the file by its name
    let mass = json("mass", "coupon-soak-rig");
    let choice = rows(&mass, "lighter")
        .iter()
        .find(|c| c["part"] == "throttle")
        .expect("offered");
    let name = choice["choice"].as_str().expect("a name");
    let own = "flow_coefficient = \"0.30 Kv\"\ncurve = \"equal-percentage\"\nrangeability = 35.0\nopening = \"70 %\"\nsteps = 400\n";
    let rig = text("coupon-soak-rig");
    assert!(rig.contains(own));
    let rig = rig
        .replace(own, &format!("catalogue = \"{name}\"\n"))
        .replace("mass = \"0.71 kg\"\n", "");
    let train = of_text("train", "lighter.toml", &rig);
    for duty in rows(&train, "duties") {
        let (wanted, flow) = (number(duty, "wanted_kg_s"), number(duty, "mass_flow_kg_s"));
        assert!((flow / wanted - 1.0).abs() < 1e-9, "{duty}");
        assert!(number(duty, "opening") <= 0.9, "{duty}");
    }
}

#[test]
fn a_higher_rating_leaves_less_to_choose() {
    // copper tube of 1/4 in holds 97 bar at most (Copper Tube Handbook); ask for 400 bar of part and relief
    let strong = text("coupon-soak-rig")
        .replace(
            "max_pressure = \"100 bar(g)\"",
            "max_pressure = \"400 bar(g)\"",
        )
        .replace(
            "relief_pressure = \"26 bar(g)\"",
            "relief_pressure = \"400 bar(g)\"",
        )
        .replace("rating = \"30 bar(g)\"", "rating = \"400 bar(g)\"");
    let mass = of_text("mass", "strong.toml", &strong);
    assert!(rows(&mass, "lighter").iter().all(|c| c["part"] != "line"));
}

#[test]
fn tube_ratings_follow_the_handbook() {
    // Copper Tube Handbook formula, 1/4 in x 0.030 in with a tenth off the wall (0.027 in) and 0.252 in: 1406 psi
    // at 100 degF. Here the diameter is taken a hundredth larger, 0.2525 in: 0.2 % less.
    let size = tube_sizes()
        .into_iter()
        .find(|s| s.name.contains("1/4 in"))
        .expect("in the table");
    let psi = size.rating(kelvin(310.9)).expect("in range").pascals() / 6894.757;
    assert!((psi / 1406.0 - 1.0).abs() < 0.004, "{psi}");
    // 6 x 1 mm steel, 115 MPa: 383 bar by the nominal size (SOURCES of the tube table); here 0.9/1.01 of it
    let steel = tube_sizes()
        .into_iter()
        .find(|s| s.metal == Material::StainlessSteel && (s.outside.value - 6e-3).abs() < 1e-9)
        .expect("in the table");
    let bar = steel.rating(kelvin(293.15)).expect("in range").pascals() / 1e5;
    assert!((bar / (383.33 * 0.9 / 1.01) - 1.0).abs() < 1e-3, "{bar}");
    assert!(steel.rating(kelvin(500.0)).is_err());
}

#[test]
fn tube_masses_are_those_of_the_table() {
    // ASTM B280-20, kg/m: 3/4 in x 0.042 0.539, 7/8 in x 0.045 0.677; the table rounds to 1 %
    for (name, want) in [("3/4 in", 0.539), ("7/8 in", 0.677)] {
        let size = tube_sizes()
            .into_iter()
            .find(|s| s.name.contains(name))
            .expect("in the table");
        let got = size.mass(metres(1.0)).expect("a tube").value;
        assert!((got / want - 1.0).abs() < 0.01, "{name}: {got}");
    }
}

#[test]
fn a_rig_whose_train_is_not_solved_is_still_weighed() {
    // no duty can be fed through a train whose regulator is set below what the holes need
    let rig = text("coupon-soak-rig").replace(
        "temperature = \"12 degC\"\nwall_mass",
        "temperature = \"-60 degC\"\nwall_mass",
    );
    let mass = of_text("mass", "cold.toml", &rig);
    assert!((number(&mass, "mass_kg") - 79.2).abs() < 0.1);
    assert!(
        rows(&mass, "parts")
            .iter()
            .any(|p| p["group"] == PartGroup::Injector.name())
    );
}

#[test]
fn gas_and_liquid_stand_side_by_side_where_the_rig_plans_a_switch() {
    let mass = json("mass", "coupon-soak-rig");
    let systems = &mass["systems"];
    let rows = rows(systems, "over_endurance");
    let train = number(&mass, "train_mass_kg");
    for r in rows {
        // 37 kg for each cylinder of 38 kg of fuel; the rest is train and fuel burnt
        let (t, n) = (number(r, "time_s"), number(r, "cylinders"));
        let fuel = number(r, "gas_kg") - 37.0 * n - train;
        assert!(
            fuel > 0.0 && fuel <= 38.0 * n + 1e-9 && fuel > 38.0 * (n - 1.0),
            "{r}"
        );
        let measured = train + fuel * (1.0 + 37.0 / 38.0);
        assert!(
            (number(r, "gas_to_measure_kg") - measured).abs() < 1e-9 * measured,
            "{r}"
        );
        assert!(
            t > 0.0 && number(r, "liquid_low_kg") <= number(r, "liquid_kg"),
            "{r}"
        );
        assert!(number(r, "liquid_kg") <= number(r, "liquid_high_kg"), "{r}");
    }
    // the masses of the plan's endurance are those of its row
    let planned = rows
        .iter()
        .find(|r| (number(r, "time_s") - number(systems, "endurance_s")).abs() < 1e-6)
        .expect("a row of its own");
    for (key, row) in [("gas", "gas_kg"), ("liquid", "liquid_kg")] {
        let sum: f64 = systems[key]
            .as_array()
            .expect("a list")
            .iter()
            .map(|m| number(m, "mass_kg"))
            .sum();
        assert!((sum - number(planned, row)).abs() < 1e-9, "{key}");
    }
    // at every break-even of the smooth kind the lighter system changes between its neighbours in the table
    for t in systems["break_even_to_measure"]["changes_s"]
        .as_array()
        .expect("a list")
    {
        let t = t.as_f64().expect("a number");
        assert!(t >= 0.0 && t <= number(&systems["break_even_to_measure"], "looked_up_to_s"));
    }
}

#[test]
fn a_rig_on_a_main_has_no_comparison_and_says_so() {
    let mass = answer(&["mass", &example("kiln-pilot"), "--to", "kerosene"]);
    assert!(mass["systems"].is_null());
    assert!(mass["notes"].to_string().contains("No comparison"));
}
