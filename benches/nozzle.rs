//! One nozzle point: gas, wet vapour, liquid and blend; peers' figures are in DEVELOPERS.md.
use criterion::{Criterion, criterion_group, criterion_main};
use fuelwright::flow::orifice::{Expansion, Stagnation, isentropic_flux, liquid_flux};
use fuelwright::quantity::{kelvin, pascals_absolute};
use std::hint::black_box;

#[path = "work/mod.rs"]
mod work;
use work::{fluid, over};

fn nozzle(c: &mut Criterion) {
    let propane = fluid("propane");
    let blend = fluid("propane:70,n-butane:30");
    let back = pascals_absolute(101_325.0);
    let mut g = c.benchmark_group("nozzle point");
    g.bench_function("propane gas, choked, upstream state included", |b| {
        b.iter(over(|x| {
            let p0 = pascals_absolute(2.5e5 + 2e5 * x);
            let up = Stagnation::at(propane.as_ref(), p0, kelvin(293.15)).expect("a gas");
            black_box(isentropic_flux(&up, back)).ok();
        }));
    });
    g.bench_function("propane gas, not choked", |b| {
        b.iter(over(|x| {
            let p0 = pascals_absolute(1.1e5 + 4e4 * x);
            let up = Stagnation::at(propane.as_ref(), p0, kelvin(293.15)).expect("a gas");
            black_box(isentropic_flux(&up, back)).ok();
        }));
    });
    g.bench_function("propane saturated vapour", |b| {
        b.iter(over(|x| {
            let p0 = pascals_absolute(4e5 + 4e5 * x);
            let up = Stagnation::saturated(propane.as_ref(), p0, 1.0).expect("a vapour");
            black_box(isentropic_flux(&up, back)).ok();
        }));
    });
    g.bench_function("propane liquid, blend of expansions", |b| {
        b.iter(over(|x| {
            let p0 = pascals_absolute(1.0e6 + 5e5 * x);
            let up = Stagnation::at(propane.as_ref(), p0, kelvin(283.15)).expect("a liquid");
            black_box(liquid_flux(&up, back, Expansion::Blend)).ok();
        }));
    });
    g.bench_function("propane 70 n-butane 30 gas", |b| {
        b.iter(over(|x| {
            let p0 = pascals_absolute(2.0e5 + 2e5 * x);
            let up = Stagnation::at(blend.as_ref(), p0, kelvin(303.15)).expect("a gas");
            black_box(isentropic_flux(&up, back)).ok();
        }));
    });
    g.bench_function("propane 70 n-butane 30 saturated liquid", |b| {
        b.iter(over(|x| {
            let p0 = pascals_absolute(5e5 + 2e5 * x);
            let up = Stagnation::saturated(blend.as_ref(), p0, 0.0).expect("a liquid");
            black_box(isentropic_flux(&up, back)).ok();
        }));
    });
    g.finish();
}

criterion_group!(benches, nozzle);
criterion_main!(benches);
