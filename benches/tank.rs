//! Tanks drawn down: two hours of a pure fluid, of a binary, and a schedule on a ternary.
//! Bounds asked for: 1 ms, 10 ms, 50 ms.
#![allow(missing_docs)]

use criterion::{Criterion, criterion_group, criterion_main};
use fuelwright::eos;
use fuelwright::fuel::{Composition, Library};
use fuelwright::quantity::{
    cubic_metres, joules_per_kelvin, kelvin, kilograms, kilograms_per_second, seconds,
    watts_per_kelvin,
};
use fuelwright::tank::chilling::{RunOptions, run};
use fuelwright::tank::heat_gain::HeatGain;
use fuelwright::tank::schedule::{Schedule, Step};
use fuelwright::tank::vessel::{Charge, Tank};
use std::hint::black_box;

fn tank(fluid: &str) -> Tank {
    let library = Library::embedded();
    let composition = Composition::parse(fluid, &library).expect("a blend of the library");
    Tank {
        backend: eos::backend(&library, &composition).expect("it has equations of state"),
        volume: cubic_metres(0.0272),
        wall: joules_per_kelvin(5500.0),
        heat_gain: HeatGain::Conductance {
            conductance: watts_per_kelvin(5.0),
            ambient: kelvin(288.15),
        },
    }
}

fn draw(minutes: f64) -> Step {
    Step::vapour("draw", kilograms_per_second(4e-4), seconds(60.0 * minutes))
}

fn drawdown(c: &mut Criterion) {
    let charge = Charge {
        mass: kilograms(10.0),
        temperature: kelvin(288.15),
    };
    let once = Schedule::once(draw(120.0));
    let on_and_off = Schedule {
        steps: vec![draw(20.0), Step::rest(seconds(600.0))],
        repeats: 4,
    };
    let cases = [
        ("two hours of propane", "propane", &once),
        ("two hours of a binary", "propane:60,n-butane:40", &once),
        (
            "two-hour schedule of a ternary",
            "propane:40,isobutane:25,n-butane:35",
            &on_and_off,
        ),
    ];
    for (name, fluid, schedule) in cases {
        let tank = tank(fluid);
        c.bench_function(name, |b| {
            b.iter(|| {
                run(&tank, black_box(&charge), schedule, &RunOptions::default())
                    .expect("the tank holds out")
            });
        });
    }
}

criterion_group!(benches, drawdown);
criterion_main!(benches);
