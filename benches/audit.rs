//! Audit of the largest example: reading, solving, rules and text, and the whole process from a shell.

use criterion::{Criterion, criterion_group, criterion_main};
use fuelwright::audit::{self, solution};
use fuelwright::fuel::Library;
use fuelwright::input;
use fuelwright::quantity::show::Units;
use std::hint::black_box;
use std::process::Command;

const RIG: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/coupon-soak-rig.toml");

fn steps(c: &mut Criterion) {
    let text = std::fs::read_to_string(RIG).expect("the example is there");
    let library = Library::embedded();
    c.bench_function("read a rig file", |b| {
        b.iter(|| input::parse("rig.toml", black_box(&text), &library).expect("a rig"));
    });
    let loaded = input::parse("rig.toml", &text, &library).expect("a rig");
    c.bench_function("solve a rig", |b| {
        b.iter(|| solution::solve(black_box(&loaded.rig), &library, Units::Si).expect("solvable"));
    });
    let solved = solution::solve(&loaded.rig, &library, Units::Si).expect("solvable");
    c.bench_function("all rules", |b| b.iter(|| audit::audit(black_box(&solved))));
}

fn whole_process(c: &mut Criterion) {
    c.bench_function("audit as a process", |b| {
        b.iter(|| {
            let out = Command::new(env!("CARGO_BIN_EXE_fuelwright"))
                .args(["audit", RIG])
                .output()
                .expect("the program starts");
            assert!(out.status.code().is_some_and(|code| code < 2));
        });
    });
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(50);
    targets = steps, whole_process
}
criterion_main!(benches);
