//! Balances of a tank that is drawn down, from its rows alone.

use fuelwright::eos;
use fuelwright::fuel::{Composition, Library};
use fuelwright::quantity::{
    cubic_metres, joules_per_kelvin, kelvin, kilograms, kilograms_per_second, seconds,
    watts_per_kelvin,
};
use fuelwright::tank::chilling::{Row, RunOptions, run};
use fuelwright::tank::heat_gain::HeatGain;
use fuelwright::tank::schedule::{Schedule, Step};
use fuelwright::tank::vessel::{Charge, Tank};

fn tank(fuel: &str) -> Tank {
    let library = Library::embedded();
    let composition = Composition::parse(fuel, &library).expect("a fuel");
    Tank {
        backend: eos::backend(&library, &composition).expect("it has an equation"),
        volume: cubic_metres(0.0272),
        wall: joules_per_kelvin(5500.0),
        heat_gain: HeatGain::Conductance {
            conductance: watts_per_kelvin(6.0),
            ambient: kelvin(288.15),
        },
    }
}

// Every species by itself, from start to end and past the last liquid: what was drawn, summed over the rows by
// Simpson's rule from the composition of each row, is what the tank has lost.
#[test]
fn every_species_that_leaves_the_tank_was_drawn() {
    let t = tank("propane:40,isobutane:25,n-butane:35");
    let (m0_kg, w_kg_s, end_s) = (9.0, 8e-4, 6000.0);
    let options = RunOptions {
        every: Some(seconds(10.0)),
        ..RunOptions::default()
    };
    let step = Step::vapour("draw", kilograms_per_second(w_kg_s), seconds(end_s));
    let schedule = Schedule::once(step);
    let charge = Charge {
        mass: kilograms(m0_kg),
        temperature: kelvin(288.15),
    };
    let done = run(&t, &charge, &schedule, &options).expect("holds out");
    assert!(done.complete && done.rows.len() == 601);
    let molar: Vec<f64> = t
        .backend
        .composition()
        .parts()
        .iter()
        .map(|p| p.fuel.molar_mass_kg_mol)
        .collect();
    let moles = |r: &Row| -> Vec<f64> {
        let c = &r.contents;
        let of = |mass_kg: f64, x: &[f64]| -> Vec<f64> {
            let mean: f64 = x.iter().zip(&molar).map(|(x, m)| x * m).sum();
            x.iter().map(|x| mass_kg / mean * x).collect()
        };
        let liquid = of(c.liquid.value, &c.liquid_composition.expect("liquid"));
        let vapour = of(c.vapour.value, &c.vapour_composition);
        liquid.iter().zip(&vapour).map(|(a, b)| a + b).collect()
    };
    let (first, last) = (moles(&done.rows[0]), moles(done.last()));
    for k in 0..3 {
        let rate = |r: &Row| {
            let y = r.drawn.expect("it is drawn");
            let mean: f64 = y.iter().zip(&molar).map(|(y, m)| y * m).sum();
            w_kg_s / mean * y[k]
        };
        let drawn: f64 = done
            .rows
            .windows(3)
            .step_by(2)
            .map(|r| (rate(&r[0]) + 4.0 * rate(&r[1]) + rate(&r[2])) * 10.0 / 3.0)
            .sum();
        let lost = first[k] - last[k];
        assert!((drawn / lost - 1.0).abs() < 1e-8, "{k}: {drawn} {lost}");
    }
}
