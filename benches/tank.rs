//! Tanks drawn down: two hours of a pure fluid, of a binary, and a schedule on a ternary.
//! Bounds asked for: 1 ms, 10 ms, 50 ms.
#![allow(missing_docs)]

use criterion::{Criterion, criterion_group, criterion_main};
use fuelwright::quantity::{kelvin, kilograms};
use fuelwright::tank::chilling::{RunOptions, run};
use fuelwright::tank::vessel::Charge;
use std::hint::black_box;

#[path = "work/mod.rs"]
mod work;

fn drawdown(c: &mut Criterion) {
    let charge = Charge {
        mass: kilograms(10.0),
        temperature: kelvin(288.15),
    };
    for (name, fuel, schedule, _) in work::tank_runs() {
        let tank = work::tank(fuel);
        c.bench_function(name, |b| {
            b.iter(|| {
                run(&tank, black_box(&charge), &schedule, &RunOptions::default())
                    .expect("the tank holds out")
            });
        });
    }
}

criterion_group!(benches, drawdown);
criterion_main!(benches);
