//! A rig's tank as the tank model takes it.

use fuelwright::eos::backend;
use fuelwright::fuel::Library;
use fuelwright::tank::TankError;
use fuelwright::tank::heat_gain::HeatGain;
use fuelwright::train::cylinder::{Cylinder, cylinder};

fn of(changes: &[(&str, &str)]) -> Cylinder {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/coupon-soak-rig.toml");
    let mut text = std::fs::read_to_string(path).expect("it is there");
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    let library = Library::embedded();
    let loaded =
        fuelwright::input::parse("rig.toml", &text, &library).unwrap_or_else(|e| panic!("{e}"));
    let rig = &loaded.rig;
    let fuel = backend(&library, &rig.fuel.composition).expect("it has an equation");
    let spec = rig.supply.tank().expect("a tank");
    cylinder(rig, spec, &fuel).expect("a cylinder")
}

#[test]
fn a_filling_by_volume_is_that_share_of_liquid() {
    let c = of(&[("fuel_mass = \"38 kg\"", "fill = \"70 %\"")]);
    let contents = c.tank.contents(&c.charge).expect("two phases");
    assert!((contents.liquid_volume.value - 0.7).abs() < 1e-9);
}

#[test]
fn a_wall_without_its_own_mass_is_said_to_be_guessed() {
    let known = of(&[]);
    let of_wall = |c: &Cylinder| {
        c.assumptions
            .iter()
            .filter(|a| a.contains("wall is taken"))
            .count()
    };
    assert!(of_wall(&known) == 0 && known.heat.is_ok());
    let guessed = of(&[("wall_mass = \"33 kg\"\n", "")]);
    assert!((guessed.tank.wall / known.tank.wall).value > 1.0);
    let none = of(&[
        ("wall_mass = \"33 kg\"\n", ""),
        ("empty_mass = \"37 kg\"\n", ""),
    ]);
    assert!(none.tank.wall.value.abs() < 1e-12);
    assert_eq!((of_wall(&guessed), of_wall(&none)), (1, 1));
}

#[test]
fn a_tank_of_unknown_shape_says_that_its_heat_is_not_known() {
    let c = of(&[("diameter = \"375 mm\"\n", "")]);
    assert!(matches!(c.heat, Err(TankError::Nothing { .. })));
    assert_eq!(c.tank.heat_gain, HeatGain::Insulated);
    let bath = of(&[(
        "draw = \"vapour\"",
        "draw = \"vapour\"\nwater_bath = \"20 degC\"",
    )]);
    assert!(matches!(bath.tank.heat_gain, HeatGain::WaterBath { .. }));
    let given = of(&[(
        "draw = \"vapour\"",
        "draw = \"vapour\"\nconductance = \"5 W/K\"",
    )]);
    assert!(matches!(given.tank.heat_gain, HeatGain::Conductance { .. }));
}
