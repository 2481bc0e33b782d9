//! Property calls: saturation, states and bubble points; peers' figures are in DEVELOPERS.md.
use criterion::{Criterion, criterion_group, criterion_main};
use fuelwright::eos::{Backend, Phase, backend};
use fuelwright::fuel::{Composition, Library};
use std::hint::black_box;
use std::sync::Arc;

fn fluid(name: &str) -> Arc<dyn Backend> {
    let library = Library::embedded();
    backend(
        &library,
        &Composition::parse(name, &library).expect("a fuel"),
    )
    .expect("a backend")
}

/// Inputs that change from call to call, as in a run.
fn over(mut f: impl FnMut(f64)) -> impl FnMut() {
    let mut k = 0_u32;
    move || {
        k = (k + 37) % 200;
        f(f64::from(k) / 200.0);
    }
}

fn pure(c: &mut Criterion) {
    let b = fluid("propane");
    let mut g = c.benchmark_group("propane");
    g.bench_function("saturation at T", |q| {
        q.iter(over(|x| {
            black_box(b.bubble_t(250.0 + 60.0 * x)).ok();
        }));
    });
    g.bench_function("saturation at p", |q| {
        q.iter(over(|x| {
            black_box(b.bubble_p(2e5 + 1.2e6 * x)).ok();
        }));
    });
    g.bench_function("gas at (p,T)", |q| {
        q.iter(over(|x| {
            black_box(b.state_pt(2e5 + 3e5 * x, 300.0)).ok();
        }));
    });
    g.bench_function("liquid at (p,T)", |q| {
        q.iter(over(|x| {
            black_box(b.state_pt(1.5e6 + 3e5 * x, 290.0)).ok();
        }));
    });
    let s = b.state_pt(4e5, 300.0).expect("gas").entropy_j_kg_k;
    let h = b.state_pt(4e5, 300.0).expect("gas").enthalpy_j_kg;
    g.bench_function("gas at (p,s)", |q| {
        q.iter(over(|x| {
            black_box(b.state_ps(2e5 + 2e5 * x, s)).ok();
        }));
    });
    g.bench_function("gas at (p,h)", |q| {
        q.iter(over(|x| {
            black_box(b.state_ph(2e5 + 2e5 * x, h)).ok();
        }));
    });
    g.finish();
}

fn blend(c: &mut Criterion) {
    let b = fluid("propane:70,n-butane:30");
    let t = fluid("propane:40,isobutane:25,n-butane:35");
    let mut g = c.benchmark_group("propane 70 n-butane 30");
    g.bench_function("bubble point at T", |q| {
        q.iter(over(|x| {
            black_box(b.bubble_t(250.0 + 60.0 * x)).ok();
        }));
    });
    g.bench_function("dew point at T", |q| {
        q.iter(over(|x| {
            black_box(b.dew_t(250.0 + 60.0 * x)).ok();
        }));
    });
    g.bench_function("bubble point at p", |q| {
        q.iter(over(|x| {
            black_box(b.bubble_p(2e5 + 8e5 * x)).ok();
        }));
    });
    g.bench_function("ternary bubble point at T", |q| {
        q.iter(over(|x| {
            black_box(t.bubble_t(250.0 + 60.0 * x)).ok();
        }));
    });
    g.bench_function("gas at (p,T), phase known", |q| {
        q.iter(over(|x| {
            black_box(b.state_pt_in(1e5 + 1e5 * x, 300.0, Phase::Gas)).ok();
        }));
    });
    g.bench_function("gas at (p,T), phase found", |q| {
        q.iter(over(|x| {
            black_box(b.state_pt(1e5 + 1e5 * x, 300.0)).ok();
        }));
    });
    let s = b.state_pt(2e5, 310.0).expect("gas").entropy_j_kg_k;
    g.bench_function("gas at (p,s)", |q| {
        q.iter(over(|x| {
            black_box(b.state_ps(1e5 + 1e5 * x, s)).ok();
        }));
    });
    g.finish();
}

criterion_group!(benches, pure, blend);
criterion_main!(benches);
