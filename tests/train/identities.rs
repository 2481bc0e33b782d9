//! Balances and reversals that hold whatever the numbers.

use crate::parts::{holes, single, twelve_parts};
use fuelwright::eos;
use fuelwright::fuel::{Composition, Library};
use fuelwright::quantity::{kelvin, kilograms_per_second, pascals_absolute};
use fuelwright::train::{
    Chamber, Conditions, Supply, Target, flow_for_openings, openings_for_flows,
};
use std::sync::Arc;

pub fn fuel(name: &str) -> Arc<dyn eos::Backend> {
    let library = Library::embedded();
    let composition = Composition::parse(name, &library).expect("a fuel");
    eos::backend(&library, &composition).expect("a backend")
}

pub fn conditions(fuel: &dyn eos::Backend, tank_k: f64, chamber_pa: f64) -> Conditions<'_> {
    Conditions {
        fuel,
        supplies: vec![Supply::Saturated {
            temperature: kelvin(tank_k),
        }],
        ambient: kelvin(288.15),
        chambers: vec![Chamber::Fixed(pascals_absolute(chamber_pa))],
    }
}

#[test]
fn an_ordinary_train_solves_both_ways() {
    let propane = fuel("propane");
    let c = conditions(propane.as_ref(), 288.15, 103e3);
    for opening in [0.2, 0.5, 0.8, 1.0] {
        let train = single(twelve_parts(opening), holes("ring", 12, 0.0011));
        let t = std::time::Instant::now();
        let solved = flow_for_openings(&train, &c).expect("solves");
        let dt = t.elapsed();
        for p in &solved.parts {
            println!(
                "{:16} {:10.1} -> {:10.1} Pa {:8.3} K {} v {:.2}",
                p.part,
                p.inlet.pressure.pascals(),
                p.outlet.pressure.pascals(),
                p.outlet.temperature.value,
                if p.choked { "choked" } else { "" },
                p.outlet.velocity.value
            );
        }
        println!("{opening} {:e} {:?}", solved.flow.value, dt);
        let targets = [Target {
            outlet: "ring".to_owned(),
            flow: kilograms_per_second(solved.flow.value),
            throttle: "metering".to_owned(),
        }];
        let t = std::time::Instant::now();
        let (settings, again) = openings_for_flows(&train, &c, &targets).expect("found");
        println!(
            "{:?} {:e}  {:?}",
            settings,
            again.flow.value / solved.flow.value - 1.0,
            t.elapsed()
        );
        assert!((settings[0].opening - opening).abs() < 1e-8);
    }
}
