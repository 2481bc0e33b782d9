//! The tabulated saturation line of every fuel against the solver it is fitted to.

use fuelwright::eos::mixture::Model;
use fuelwright::eos::pure_saturation::{PureSaturation, at_temperature};
use fuelwright::eos::{Backend, EosError, Equilibrium, backend};
use fuelwright::fuel::{Composition, Library};
use std::sync::Arc;

/// What is promised: the line and the solver agree to this, relative. The tables hold themselves to 1e-9 between
/// their points.
const PROMISED: f64 = 1e-8;

struct Fuel {
    name: String,
    backend: Arc<dyn Backend>,
    model: Model,
}

fn fuels() -> Vec<Fuel> {
    let library = Library::embedded();
    let with_equation = |n: &&str| library.fuel(n).is_ok_and(|f| f.equation.is_some());
    let names: Vec<String> = library
        .names()
        .iter()
        .filter(|n| with_equation(n))
        .map(|n| (*n).to_owned())
        .collect();
    names
        .into_iter()
        .map(|name| {
            let composition = Composition::parse(&name, &library).expect("a fuel");
            Fuel {
                backend: backend(&library, &composition).expect("a backend"),
                model: Model::new(&library, &composition).expect("a model"),
                name,
            }
        })
        .collect()
}

impl Fuel {
    /// The solver, no table asked.
    fn solved(&self, t_k: f64) -> Option<PureSaturation> {
        let mixed = self.model.mixed(&[1.0]);
        at_temperature(&self.model, &mixed, &self.model.isotherm(&mixed, t_k), None)
    }

    /// Temperatures from the triple point to the critical point, closer towards the latter.
    fn temperatures(&self) -> Vec<f64> {
        let e = &self.model.fluids()[0].equation;
        let farthest = (1.0 - e.t_triple_k / e.t_critical_k).sqrt();
        (1..=400)
            .map(|i| {
                let x = farthest * f64::from(i) / 400.0;
                (e.t_critical_k * (1.0 - x * x)).max(e.t_triple_k)
            })
            .collect()
    }
}

fn close(got: f64, want: f64, scale: f64, what: &str) {
    assert!(
        (got - want).abs() <= PROMISED * scale.abs(),
        "{what}: {got:e} against {want:e}"
    );
}

#[test]
fn the_line_is_the_solvers_from_triple_to_critical_point() {
    for fuel in fuels() {
        for t_k in fuel.temperatures() {
            let Some(want) = fuel.solved(t_k) else {
                continue;
            };
            let got = fuel.backend.bubble_t(t_k).unwrap_or_else(|e| panic!("{e}"));
            let what = |q: &str| format!("{} {q} at {t_k} K", fuel.name);
            let m = got.liquid.molar_mass_kg_mol;
            close(got.pressure_pa, want.p_pa, want.p_pa, &what("pressure"));
            let (rl, rv) = (got.liquid.density_kg_m3 / m, got.vapour.density_kg_m3 / m);
            close(
                rl,
                want.liquid_mol_m3,
                want.liquid_mol_m3,
                &what("liquid density"),
            );
            close(
                rv,
                want.vapour_mol_m3,
                want.vapour_mol_m3,
                &what("vapour density"),
            );
        }
    }
}

#[test]
fn enthalpy_and_entropy_are_those_of_the_densities() {
    for fuel in fuels() {
        for t_k in fuel.temperatures() {
            let Ok(e) = fuel.backend.bubble_t(t_k) else {
                continue;
            };
            // the equation of state at the two densities, no line asked
            let m = e.liquid.molar_mass_kg_mol;
            let mixed = fuel.model.mixed(&[1.0]);
            let iso = fuel.model.isotherm(&mixed, t_k);
            let latent = e.latent_heat_j_kg();
            for side in [&e.liquid, &e.vapour] {
                let rho = side.density_kg_m3 / m;
                let (a, ideal) = (
                    fuel.model.residual(&mixed, &iso, rho),
                    fuel.model.ideal(&mixed, t_k),
                );
                let r = fuel.model.r();
                let h = r * t_k * (1.0 + ideal.t + a.t + a.d) / m;
                let log = fuel.model.ideal_logarithms(&mixed, rho);
                let s = r * (ideal.t + a.t - ideal.a - log - a.a) / m;
                let what = |q: &str| format!("{} {q} at {t_k} K", fuel.name);
                close(
                    side.enthalpy_j_kg,
                    h,
                    latent.max(r * t_k / m * 1e-3),
                    &what("enthalpy"),
                );
                close(
                    side.entropy_j_kg_k,
                    s,
                    (latent / t_k).max(r / m * 1e-3),
                    &what("entropy"),
                );
            }
        }
    }
}

#[test]
fn temperature_and_pressure_lead_back_to_each_other() {
    let there_and_back =
        |b: &dyn Backend, t_k: f64| -> Result<(Equilibrium, Equilibrium), EosError> {
            let at_t = b.bubble_t(t_k)?;
            Ok((at_t, b.bubble_p(at_t.pressure_pa)?))
        };
    for fuel in fuels() {
        let e = &fuel.model.fluids()[0].equation;
        for t_k in fuel.temperatures() {
            // the lowest and the last thousandth are ends of the range
            if t_k < 1.001 * e.t_triple_k || t_k > 0.999 * e.t_critical_k {
                continue;
            }
            let (at_t, at_p) =
                there_and_back(fuel.backend.as_ref(), t_k).unwrap_or_else(|e| panic!("{e}"));
            let what = format!("{} {t_k} K", fuel.name);
            assert!(
                (at_p.temperature_k / t_k - 1.0).abs() < 1e-10,
                "{what}: {}",
                at_p.temperature_k
            );
            close(
                at_p.liquid.density_kg_m3,
                at_t.liquid.density_kg_m3,
                at_t.liquid.density_kg_m3,
                &what,
            );
            close(
                at_p.vapour.enthalpy_j_kg,
                at_t.vapour.enthalpy_j_kg,
                at_t.latent_heat_j_kg(),
                &what,
            );
        }
    }
}

#[test]
fn nearly_all_of_every_line_is_tabulated() {
    use fuelwright::eos::saturation_table::{Point, SaturationTable};
    for fuel in fuels() {
        let fluid = &fuel.model.fluids()[0];
        let m = fuel.backend.molar_mass_kg_mol();
        let table = SaturationTable::new(&fluid.equation, m);
        let solver = |t_k| {
            let s = fuel.solved(t_k)?;
            let e = fuel.backend.bubble_t(t_k).ok()?;
            Some(Point {
                t_k,
                p_pa: s.p_pa,
                density_mol_m3: [s.liquid_mol_m3, s.vapour_mol_m3],
                enthalpy_j_kg: [e.liquid.enthalpy_j_kg, e.vapour.enthalpy_j_kg],
                entropy_j_kg_k: [e.liquid.entropy_j_kg_k, e.vapour.entropy_j_kg_k],
            })
        };
        // of methanol 14 of 16 pieces, of ethanol and n-heptane 15, of the rest all: elsewhere the line bends too
        // sharply for the series and the solver serves
        let got = table.coverage(&solver);
        assert!(got > 0.85, "{}: {got}", fuel.name);
    }
}
