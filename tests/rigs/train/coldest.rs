//! The lowest tank pressure that feeds a duty, against trains solved just above and just below it.

use fuelwright::audit::solution;
use fuelwright::eos::backend;
use fuelwright::fuel::{Composition, Library};
use fuelwright::quantity::show::Units;
use fuelwright::train::LowestSupply;
use fuelwright::train::plan::TrainPlan;

/// The coupon soak rig's train at a tank temperature, through the audit's own way. Its holes are drilled: those
/// that are sized would be sized anew for a colder fuel.
fn planned(tank: &str, change: (&str, &str)) -> TrainPlan {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/coupon-soak-rig.toml");
    let text = std::fs::read_to_string(path).expect("it is there");
    let text = text
        .replace(
            "temperature = \"12 degC\"\nwall",
            &format!("temperature = \"{tank}\"\nwall"),
        )
        .replace("sized_at = \"full\"", "hole_diameter = \"0.465 mm\"")
        .replace(change.0, change.1);
    let library = Library::embedded();
    let loaded =
        fuelwright::input::parse("rig.toml", &text, &library).unwrap_or_else(|e| panic!("{e}"));
    let solved = solution::solve(&loaded.rig, &library, Units::Si).expect("propane has a model");
    solved.train().clone().expect("it has holes and a tank")
}

const NO_MINIMUM: (&str, &str) = ("min_inlet = \"3.0 bar(g)\"\n", "");

// Definition: a tank just warmer feeds the duty, one just colder does not
#[test]
fn a_tank_just_warmer_than_the_coldest_feeds_and_one_just_colder_does_not() {
    let plan = planned("12 degC", NO_MINIMUM);
    let full = plan.duties.last().expect("four duties");
    let lowest = full.lowest.as_ref().expect("a tank").as_ref().expect("fed");
    assert!(!lowest.at_lowest);
    let library = Library::embedded();
    let propane = backend(
        &library,
        &Composition::parse("propane", &library).expect("known"),
    )
    .expect("it has an equation");
    let t_k = propane
        .bubble_p(lowest.pressure.pascals())
        .expect("saturated")
        .temperature_k;
    assert!((t_k - lowest.saturation.value).abs() < 1e-6);
    for (offset_k, feeds) in [(0.02, true), (-0.02, false)] {
        let plan = planned(&format!("{} K", t_k + offset_k), NO_MINIMUM);
        let full = plan.duties.last().expect("four duties");
        assert_eq!(
            full.solution.is_ok(),
            feeds,
            "{offset_k}: {:?}",
            full.solution
        );
    }
}

#[test]
fn a_regulator_that_asks_for_more_sets_the_lowest_pressure() {
    let plan = planned("12 degC", NO_MINIMUM);
    let free = |p: &TrainPlan| -> LowestSupply {
        let duty = p.duties.last().expect("four duties");
        duty.lowest.clone().expect("a tank").expect("fed")
    };
    let bound = free(&planned("12 degC", ("", "")));
    assert_eq!(bound.limited_by, "regulator");
    assert!(free(&plan).pressure < bound.pressure);
    // 3.0 bar(g) at the regulator at 340 m, and a little lost before it
    let lost = bound.pressure.pascals() - (3.0e5 + 97_300.0);
    assert!((0.0..2e3).contains(&lost), "{lost}");
}
