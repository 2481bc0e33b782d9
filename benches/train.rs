//! A twelve-part train at five duties: openings for flows, flows for openings.
use criterion::{Criterion, criterion_group, criterion_main};
use fuelwright::eos::backend;
use fuelwright::fuel::{Composition, Library};
use fuelwright::quantity::kilograms_per_second;
use fuelwright::train::{Target, flow_for_openings, openings_for_flows};
use std::hint::black_box;

#[path = "../tests/train/parts.rs"]
mod parts;

fn five_duties(c: &mut Criterion) {
    let mut g = c.benchmark_group("twelve parts, five duties");
    for name in ["propane", "propane:70,n-butane:30"] {
        let library = Library::embedded();
        let composition = Composition::parse(name, &library).expect("a fuel");
        let gas = backend(&library, &composition).expect("a backend");
        let conditions = parts::conditions(gas.as_ref(), 288.15, 103e3);
        let train = parts::single(parts::twelve_parts(1.0), parts::holes("ring", 12, 0.0011));
        g.bench_function(format!("openings for flows, {name}"), |b| {
            b.iter(|| {
                for flow in [1.5e-4, 3e-4, 6e-4, 1e-3, 1.5e-3] {
                    let target = Target {
                        outlet: "ring".to_owned(),
                        flow: kilograms_per_second(flow),
                        throttle: "metering".to_owned(),
                    };
                    black_box(openings_for_flows(&train, &conditions, &[target])).expect("solves");
                }
            });
        });
        let set = [0.25, 0.4, 0.6, 0.75, 0.9]
            .map(|h| parts::single(parts::twelve_parts(h), parts::holes("ring", 12, 0.0011)));
        g.bench_function(format!("flows for openings, {name}"), |b| {
            b.iter(|| {
                for train in &set {
                    black_box(flow_for_openings(train, &conditions)).expect("solves");
                }
            });
        });
    }
    g.finish();
}

criterion_group!(benches, five_duties);
criterion_main!(benches);
