//! The mixture model as a `feos-core` equation of state: a second, general solver for the cases where
//! our own gives up, and for critical points.
//!
//! `feos-core` works in `k_B T` with the CODATA gas constant. An equation with another gas constant is
//! handed over at the temperature `T R_model / R`, which leaves pressures and `R T` products right.

use super::MoleFractions;
use super::blend_equilibrium::Split;
use super::mixture::Model;
use crate::numerics::effort;
use crate::quantity::GAS_CONSTANT_J_MOL_K;
use feos_core::{PhaseEquilibrium, ResidualDyn, SolverOptions, State, StateHD};
use nalgebra::DVector;
use num_dual::DualNum;
use quantity::{KELVIN, METER, MOL, PASCAL};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Molecules per cubic ångström at 1 mol/m³.
const PER_A3: f64 = 6.022_140_76e-7;

/// Evaluations of the Helmholtz energy that one search may take. A point that is found takes some hundreds, near the
/// critical point some thousands; one that is not there would take a hundred thousand.
const MOST_EVALUATIONS: usize = 20_000;

/// Evaluations that cost as much as one step of our own fixed points.
const EVALUATIONS_A_STEP: usize = 4;

/// The model behind a pointer, as `feos-core` wants it, for one search: its budget of evaluations spent, it answers
/// with no number, which ends every iteration of `feos-core`.
#[derive(Debug)]
pub struct FeosModel {
    model: Model,
    /// `R / R_model`
    scale: f64,
    evaluations: AtomicUsize,
}

impl FeosModel {
    /// Wraps a model.
    pub fn new(model: &Model) -> Arc<Self> {
        Arc::new(Self {
            model: model.clone(),
            scale: GAS_CONSTANT_J_MOL_K / model.r(),
            evaluations: AtomicUsize::new(0),
        })
    }

    /// Counts what the search has cost, in steps of our own.
    fn count(&self) {
        let evaluations = self
            .evaluations
            .load(Ordering::Relaxed)
            .min(MOST_EVALUATIONS);
        effort::add((evaluations / EVALUATIONS_A_STEP) as u64);
    }
}

impl ResidualDyn for FeosModel {
    fn components(&self) -> usize {
        self.model.fluids().len()
    }

    fn compute_max_density<D: DualNum<f64> + Copy>(&self, molefracs: &DVector<D>) -> D {
        self.model.rho_max_generic(molefracs.as_slice()) * PER_A3
    }

    fn reduced_helmholtz_energy_density_contributions<D: DualNum<f64> + Copy>(
        &self,
        state: &StateHD<D>,
    ) -> Vec<(&'static str, D)> {
        if self.evaluations.fetch_add(1, Ordering::Relaxed) >= MOST_EVALUATIONS {
            return vec![("multi-fluid", D::from(f64::NAN))];
        }
        let rho = state.partial_density.sum();
        let f = self.model.residual_density_generic(
            state.temperature * self.scale,
            state.molefracs.as_slice(),
            rho / PER_A3,
        );
        vec![("multi-fluid", f * PER_A3)]
    }
}

/// Bubble (`liquid_given`) or dew point at a temperature by `feos-core`.
pub fn incipient(model: &Model, z: &[f64], t_k: f64, liquid_given: bool) -> Option<Split> {
    let eos = FeosModel::new(model);
    let t = t_k / eos.scale * KELVIN;
    let z = DVector::from_column_slice(z);
    let options = (SolverOptions::default(), SolverOptions::default());
    let vle = if liquid_given {
        PhaseEquilibrium::bubble_point(&eos, t, &z, None, None, options)
    } else {
        PhaseEquilibrium::dew_point(&eos, t, &z, None, None, options)
    };
    eos.count();
    let vle = vle.ok()?;
    let molar = |s: &State<Arc<FeosModel>>| (s.density * METER * METER * METER / MOL).into_value();
    let (liquid, vapour) = (vle.liquid(), vle.vapor());
    let p_pa = (vapour.pressure(feos_core::Contributions::Total) / PASCAL).into_value();
    let split = Split {
        t_k,
        p_pa,
        x: MoleFractions::new(liquid.molefracs.as_slice()),
        y: MoleFractions::new(vapour.molefracs.as_slice()),
        liquid_mol_m3: molar(liquid),
        vapour_mol_m3: molar(vapour),
        vapour_fraction: if liquid_given { 0.0 } else { 1.0 },
    };
    // a collapsed solution (both phases alike) is none
    (split.liquid_mol_m3 > 1.001 * split.vapour_mol_m3 && p_pa > 0.0).then_some(split)
}

/// Critical temperature, K, and pressure, Pa, of a composition by `feos-core`.
pub fn critical_point(model: &Model, z: &[f64], t_start_k: f64) -> Option<(f64, f64)> {
    let eos = FeosModel::new(model);
    let z = DVector::from_column_slice(z);
    let start = t_start_k / eos.scale * KELVIN;
    let critical =
        State::critical_point(&eos, &z, Some(start), None, SolverOptions::default()).ok()?;
    let t_k = (critical.temperature / KELVIN).into_value() * eos.scale;
    let p_pa = (critical.pressure(feos_core::Contributions::Total) / PASCAL).into_value();
    (t_k.is_finite() && p_pa.is_finite() && t_k > 0.0 && p_pa > 0.0).then_some((t_k, p_pa))
}
