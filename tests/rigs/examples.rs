//! The example rigs through the whole program: contract keys, identities of the holes.

use fuelwright::audit::solution;
use fuelwright::fuel::Library;
use fuelwright::input;
use fuelwright::quantity::show::Units;
use fuelwright::{self as cli, Outcome};
use serde_json::Value;

const RIGS: [&str; 5] = [
    "coupon-soak-rig",
    "greenhouse-frost-guard",
    "kiln-pilot",
    "seed-dryer",
    "tile-dryer",
];

fn run(arguments: &[&str]) -> (Outcome, String, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = ["fuelwright", "--full"]
        .into_iter()
        .chain(arguments.iter().copied());
    let outcome = cli::run(all, 100, &mut out, &mut err);
    (
        outcome,
        String::from_utf8(out).expect("text"),
        String::from_utf8(err).expect("text"),
    )
}

fn path(rig: &str) -> String {
    format!("{}/examples/{rig}.toml", env!("CARGO_MANIFEST_DIR"))
}

#[test]
fn the_audit_keeps_the_keys_of_its_contract() {
    for rig in RIGS {
        let (_, out, err) = run(&["audit", &path(rig), "--format", "json"]);
        let json: Value = serde_json::from_str(&out).unwrap_or_else(|e| panic!("{e}: {err}"));
        for key in ["findings", "not_checked", "duties", "mass_kg", "cautions"] {
            assert!(json.get(key).is_some(), "{rig}: {key}");
        }
        let findings = json["findings"].as_array().expect("a list");
        for key in [
            "id", "name", "signal", "measured", "limit", "source", "advice", "at",
        ] {
            assert!(
                findings.iter().all(|f| f.get(key).is_some()),
                "{rig}: {key}"
            );
        }
        for duty in json["duties"].as_array().expect("a list") {
            for key in [
                "name",
                "fuel_flow_kg_s",
                "equivalence_ratio",
                "exit_temperature_k",
            ] {
                assert!(duty.get(key).is_some(), "{rig}: {key}");
            }
        }
        assert!(!json["cautions"].as_array().expect("a list").is_empty());
    }
}

#[test]
fn holes_sized_at_a_duty_need_at_that_duty_the_pressure_they_were_sized_for() {
    let library = Library::embedded();
    let text = std::fs::read_to_string(path("coupon-soak-rig")).expect("readable");
    let loaded = input::parse("rig.toml", &text, &library).unwrap_or_else(|e| panic!("{e}"));
    let solved = solution::solve(&loaded.rig, &library, Units::Si).expect("propane has a model");
    let plan = solved.injector.as_ref().expect("solvable");
    let full = plan
        .duties
        .iter()
        .find(|d| d.name == "full")
        .expect("there");
    let injection = full.injection.as_ref().expect("fed");
    let given = loaded.rig.injector.pressure.expect("given").pascals();
    assert!((injection.at_need.supply.pressure_pa / given - 1.0).abs() < 1e-8);
    for (duty, planned) in solved.duties.iter().zip(&plan.duties) {
        let demand = duty.demand.as_ref().expect("solvable");
        let injection = planned.injection.as_ref().expect("fed");
        let flow = injection.at_need.flow.value.value;
        assert!(
            (flow / demand.fuel.value - 1.0).abs() < 1e-8,
            "{}",
            duty.name
        );
        assert!(injection.flow_low < injection.flow_high);
        assert!(injection.equivalence_ratio_low < demand.equivalence_ratio);
        assert!(injection.equivalence_ratio_high > demand.equivalence_ratio);
        // the ring passes a little less than holes fed alike, and never more than momentum gives back
        let ring = injection
            .sharing
            .as_ref()
            .expect("a ring")
            .as_ref()
            .expect("solvable");
        let share = ring.total.value / flow;
        assert!((0.9..=1.01).contains(&share), "{}: {share}", duty.name);
        let fed: f64 = ring.feed_flows.iter().map(|q| q.value).sum();
        assert!((fed / ring.total.value - 1.0).abs() < 1e-10);
    }
}

#[test]
fn a_rig_with_mistakes_is_refused_on_the_error_stream_alone() {
    let wrong = format!(
        "{}/examples/wrong/two-mistakes.toml",
        env!("CARGO_MANIFEST_DIR")
    );
    for command in ["audit", "injector"] {
        let (outcome, out, err) = run(&[command, &wrong]);
        assert_eq!(outcome, Outcome::Failed);
        assert!(out.is_empty());
        assert!(err.starts_with("error[E201]"), "{err}");
        assert_eq!(err.matches("error[").count(), 3, "{err}");
    }
    let (outcome, _, err) = run(&["audit", "no-such-file.toml"]);
    assert_eq!(outcome, Outcome::Failed);
    assert!(err.contains("error[E101]"), "{err}");
}

#[test]
fn start_writes_a_rig_that_can_be_audited_and_never_over_another() {
    let folder = std::env::temp_dir().join(format!("fuelwright-start-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("can be made");
    let file = folder.join("bench.toml").display().to_string();
    let (outcome, out, err) = run(&["start", "bench rig", "--out", &file]);
    assert_eq!(outcome, Outcome::Done, "{err}");
    assert!(out.contains("fuelwright audit"), "{out}");
    let first = std::fs::read_to_string(&file).expect("written");
    let (outcome, _, err) = run(&["start", "other", "--out", &file]);
    assert_eq!(outcome, Outcome::Failed);
    assert!(err.contains("bench.toml"), "{err}");
    assert_eq!(first, std::fs::read_to_string(&file).expect("still there"));
    let (outcome, out, err) = run(&["audit", &file]);
    assert_ne!(outcome, Outcome::Failed, "{err}");
    assert!(out.contains("Audit of bench rig"));
    std::fs::remove_dir_all(&folder).expect("can be removed");
}

#[test]
fn rules_are_listed_and_each_has_its_page() {
    let (outcome, out, _) = run(&["rules"]);
    assert_eq!(outcome, Outcome::Done);
    for rule in fuelwright::audit::registry::RULES {
        let id = rule.id;
        assert!(out.contains(id), "{id}");
        let (outcome, page, _) = run(&["rules", id]);
        assert_eq!(outcome, Outcome::Done);
        for heading in [
            "What it checks",
            "Why it matters",
            "What to do",
            "Signal word",
            "Source",
        ] {
            assert!(page.contains(heading), "{id}: {page}");
        }
    }
    let (outcome, page, _) = run(&["rules", "CNV005"]);
    assert_eq!(outcome, Outcome::Done);
    for words in ["CNV005 weak-spray", "WARNING", "common practice, no source"] {
        assert!(page.contains(words), "{words}: {page}");
    }
    let (outcome, _, err) = run(&["rules", "INJ01"]);
    assert_eq!(outcome, Outcome::Failed);
    assert!(err.contains("did you mean"), "{err}");
}

/// A rig whose burner sets free half the heat of its fuel.
fn half_the_heat(rig: &str) -> String {
    let text = std::fs::read_to_string(path(rig)).expect("readable");
    let line = "combustion_efficiency = \"98 %\"";
    assert!(text.contains(line), "{rig}");
    text.replace(line, "combustion_efficiency = \"50 %\"")
}

/// Code to code, Cantera 3.2.0, gri30.yaml: equilibrium of 1.377 g/s of propane (12 degC) with 46.90 g/s of air
/// (292.83 K, 5.9 g of water a kg, 0.98907 bar) and half the heat taken off is at 890.1 K; with the other half of the
/// fuel as vapour beside it, 890.2 K. All the heat would end at 1422 K.
#[test]
fn half_the_heat_leaves_as_cold_as_it_is() {
    let library = Library::embedded();
    let text = half_the_heat("coupon-soak-rig");
    let soak = |text: &str| {
        let loaded = input::parse("rig.toml", text, &library).unwrap_or_else(|e| panic!("{e}"));
        let solved =
            solution::solve(&loaded.rig, &library, Units::Si).expect("propane has a model");
        let duty = solved.duties.iter().find(|d| d.name == "soak");
        let duty = duty.expect("there").clone();
        let demand = duty.demand.clone().expect("solvable");
        let exit_k = duty.exit_temperature().expect("solvable").value;
        let primary = duty.primary.expect("staged").expect("solvable");
        assert!(
            solved
                .assumptions
                .iter()
                .any(|a| a.contains("the exit is colder by it"))
        );
        (demand, exit_k, primary.temperature.value)
    };
    let (demand, exit_k, primary_k) = soak(&text);
    assert!((demand.fuel_heat.value / 64e3 - 1.0).abs() < 1e-6);
    // nitrogen of other polynomials moves the temperature by 0.8 K
    assert!((exit_k - 890.1).abs() < 1.0, "{exit_k}");
    // 1.22 of the fuel that its air could burn, all of it burning: Cantera as above
    assert!((primary_k - 2163.6).abs() < 1.0, "{primary_k}");
    let target = "heat_release = \"32 kW\"";
    assert!(text.contains(target));
    let asked = text.replace(target, &format!("exit_temperature = \"{exit_k:?} K\""));
    let (again, again_k, _) = soak(&asked);
    assert!((again_k - exit_k).abs() < 1e-3, "{again_k}");
    assert!((again.fuel.value / demand.fuel.value - 1.0).abs() < 1e-6);
}

#[test]
fn the_fuel_that_the_train_gives_leaves_as_cold_as_the_burner_says() {
    let library = Library::embedded();
    let loaded = input::parse(
        "rig.toml",
        &half_the_heat("greenhouse-frost-guard"),
        &library,
    );
    let loaded = loaded.unwrap_or_else(|e| panic!("{e}"));
    let solved = solution::solve(&loaded.rig, &library, Units::Si).expect("a blend with a model");
    for duty in &solved.duties {
        let fed = solved.as_fed(duty).expect("no valve sets the flow");
        let rise_k = |flame: &fuelwright::combustion::flame::Flame| flame.temperature_rise().value;
        let (exit, with_fuel) = (
            duty.exit.as_ref().expect("a flame"),
            fed.exit.expect("a flame"),
        );
        // lean, the rise goes with the fuel but for the heat capacity, which is some per cent higher when hotter
        let fuel = fed.fuel.value / duty.demand.as_ref().expect("solvable").fuel.value;
        let rise = rise_k(&with_fuel) / rise_k(exit);
        assert!(
            (rise / fuel - 1.0).abs() < 0.05,
            "{}: {rise} {fuel}",
            duty.name
        );
    }
}

#[test]
fn every_fuel_target_of_a_duty_gives_the_same_duty() {
    let library = Library::embedded();
    let text = std::fs::read_to_string(path("coupon-soak-rig")).expect("readable");
    let target = "chamber_pressure = \"32 mbar(g)\"\nequivalence_ratio = 0.30";
    assert!(text.contains(target));
    let full = |line: &str| {
        let text = text.replace(
            target,
            &format!("chamber_pressure = \"32 mbar(g)\"\n{line}"),
        );
        let loaded = input::parse("rig.toml", &text, &library).unwrap_or_else(|e| panic!("{e}"));
        let solved =
            solution::solve(&loaded.rig, &library, Units::Si).expect("propane has a model");
        let duty = solved
            .duties
            .iter()
            .find(|d| d.name == "full")
            .expect("there")
            .clone();
        let demand = *duty.demand.as_ref().expect("solvable");
        (demand, duty.exit_temperature().expect("solvable").value)
    };
    let (first, exit_k) = full("equivalence_ratio = 0.30");
    for line in [
        format!("fuel_flow = \"{:?} kg/s\"", first.fuel.value),
        format!("heat_release = \"{:?} W\"", first.heat_release.value),
        format!("exit_temperature = \"{exit_k:?} K\""),
    ] {
        let (again, again_k) = full(&line);
        let phi = again.equivalence_ratio.value;
        assert!((phi / 0.30 - 1.0).abs() < 1e-6, "{line}: {phi}");
        assert!((again_k - exit_k).abs() < 1e-3, "{line}");
    }
}
