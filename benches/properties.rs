//! Property calls: saturation, states and bubble points; peers' figures are in DEVELOPERS.md.
use criterion::{Criterion, criterion_group, criterion_main};
use fuelwright::eos::Phase;
use fuelwright::eos::mixture::Model;
use fuelwright::eos::pure_saturation::at_temperature;
use fuelwright::eos::saturation_table::{Point, SaturationTable};
use fuelwright::fuel::{Composition, Library};
use std::hint::black_box;

#[path = "work/mod.rs"]
mod work;
use work::{fluid, over};

fn pure(c: &mut Criterion) {
    let b = fluid("propane");
    let mut g = c.benchmark_group("propane");
    g.bench_function("saturation at T", |q| {
        q.iter(over(|x| {
            black_box(b.bubble_t(250.0 + 60.0 * x)).ok();
        }));
    });
    // what a process pays once a fluid for the two figures around it
    let library = Library::embedded();
    let composition = Composition::parse("propane", &library).expect("a fuel");
    let solved = Model::new(&library, &composition).expect("a model");
    let mixed = solved.mixed(&[1.0]);
    g.bench_function("saturation line made", |q| {
        q.iter(|| {
            let solver = |t_k| {
                let iso = solved.isotherm(&mixed, t_k);
                let s = at_temperature(&solved, &mixed, &iso, None)?;
                Some(Point {
                    t_k,
                    p_pa: s.p_pa,
                    density_mol_m3: [s.liquid_mol_m3, s.vapour_mol_m3],
                    // the sums for these are left out
                    enthalpy_j_kg: [t_k, 2.0 * t_k],
                    entropy_j_kg_k: [t_k, 2.0 * t_k],
                })
            };
            let m = mixed.molar_mass_kg_mol;
            black_box(SaturationTable::new(&solved.fluids()[0].equation, m).coverage(&solver))
        });
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
