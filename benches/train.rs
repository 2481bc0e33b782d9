//! A twelve-part train at five duties: openings for flows, flows for openings.
use criterion::{Criterion, criterion_group, criterion_main};
use fuelwright::quantity::kilograms_per_second;
use fuelwright::train::{Target, flow_for_openings, openings_for_flows};
use std::hint::black_box;

#[path = "../tests/rigs/train/parts.rs"]
mod parts;
#[path = "work/mod.rs"]
mod work;

fn five_duties(c: &mut Criterion) {
    let mut g = c.benchmark_group("twelve parts, five duties");
    for name in ["propane", "propane:70,n-butane:30"] {
        let gas = work::fluid(name);
        let conditions = parts::conditions(gas.as_ref(), 288.15, 103e3);
        let train = parts::single(parts::twelve_parts(1.0), parts::holes("ring", 12, 0.0011));
        g.bench_function(format!("openings for flows, {name}"), |b| {
            b.iter(|| {
                for flow in work::FLOWS {
                    let target = Target {
                        outlet: "ring".to_owned(),
                        flow: kilograms_per_second(flow),
                        throttle: "metering".to_owned(),
                    };
                    black_box(openings_for_flows(&train, &conditions, &[target])).expect("solves");
                }
            });
        });
        let set = work::OPENINGS
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
