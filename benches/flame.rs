//! Time of one flame and of a sweep.

#![allow(missing_docs)]

use criterion::{Criterion, criterion_group, criterion_main};
use fuelwright::combustion::flame::Branch;
use fuelwright::quantity::{kelvin, ratio};
use std::hint::black_box;

#[path = "work/mod.rs"]
mod work;
use work::burner;

fn flames(c: &mut Criterion) {
    let propane = burner("propane");
    for phi in [0.3, 1.0, 2.5] {
        c.bench_function(&format!("one flame, propane, phi {phi}"), |b| {
            b.iter(|| propane.flame(black_box(ratio(phi))).expect("a flame"));
        });
    }
    let kerosene = burner("kerosene");
    c.bench_function("one flame, kerosene, phi 0.8", |b| {
        b.iter(|| kerosene.flame(black_box(ratio(0.8))).expect("a flame"));
    });
    let phis: Vec<_> = (1..=200)
        .map(|i| ratio(0.2 + 0.01 * f64::from(i)))
        .collect();
    c.bench_function("200 flames, phi 0.21 to 2.2", |b| {
        b.iter(|| propane.sweep(black_box(&phis)).expect("flames"));
    });
    c.bench_function("equivalence ratio from exit temperature", |b| {
        b.iter(|| {
            propane
                .flame_at_exit_temperature(black_box(kelvin(1300.0)), Branch::Lean)
                .expect("a flame")
        });
    });
}

criterion_group!(benches, flames);
criterion_main!(benches);
