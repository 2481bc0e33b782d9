//! Extended corresponding states: a fluid's dense viscosity from propane's at the conformal state.

use super::Model;
use super::coefficients::Lists;
use super::dilute::Dilute;
use crate::eos::EosError;
use crate::eos::helmholtz::Fluid;

/// Steps of the search for the conformal state.
const MAX_ITERATIONS: usize = 50;
/// Halvings of one step.
const MAX_HALVINGS: usize = 10;
/// The residual Helmholtz energy and the compressibility factor agree to this.
const TOLERANCE: f64 = 1e-10;

/// Correlation of `huber2003`.
#[derive(Debug, Clone)]
pub(super) struct Conformal {
    pub(super) dilute: Dilute,
    rho_reducing_mol_m3: f64,
    psi: Vec<f64>,
    reference: Fluid,
    reference_model: Box<Model>,
}

/// Residual Helmholtz energy and compressibility factor, with their slopes in tau and delta.
struct Conformality {
    /// `αr`, `Z`
    value: [f64; 2],
    /// `τ ∂τ`, `δ ∂δ` of each
    slopes: [[f64; 2]; 2],
}

fn conformality(fluid: &Fluid, tau: f64, delta: f64) -> Conformality {
    let a = fluid.residual_at(delta, tau);
    Conformality {
        value: [a.a, 1.0 + a.d],
        slopes: [[a.t, a.d], [a.dt, a.d + a.dd]],
    }
}

impl Conformal {
    pub(super) fn read(
        lists: &Lists<'_>,
        molar_mass_kg_mol: f64,
        reference: Fluid,
        reference_model: Model,
    ) -> Result<Self, EosError> {
        Ok(Self {
            dilute: Dilute::read(lists, molar_mass_kg_mol)?,
            rho_reducing_mol_m3: lists.one("rho_reducing_mol_m3")?,
            psi: lists.list("psi")?.to_vec(),
            reference,
            reference_model: Box::new(reference_model),
        })
    }

    /// Viscosity, Pa s.
    pub(super) fn at(&self, fluid: &Fluid, t_k: f64, rho_mol_m3: f64) -> f64 {
        let (e, e0) = (&fluid.equation, &self.reference.equation);
        let (tau0, delta0) = self.conformal_state(
            fluid,
            e.t_reducing_k / t_k,
            rho_mol_m3 / e.rho_reducing_mol_m3,
        );
        let t0_k = e0.t_reducing_k / tau0;
        let rho0_mol_m3 = delta0 * e0.rho_reducing_mol_m3;
        let f = t_k / t0_k;
        let h = rho0_mol_m3 / rho_mol_m3;
        let rho_r = rho_mol_m3 / self.rho_reducing_mol_m3;
        let psi = self.psi.iter().rev().fold(0.0, |s, c| s * rho_r + c);
        let m0 = self.reference.molar_mass_kg_mol;
        let scale = (f * fluid.molar_mass_kg_mol / m0).sqrt() / h.cbrt().powi(2);
        let dense = self
            .reference_model
            .residual(&self.reference, t0_k, rho0_mol_m3 * psi);
        self.dilute.at(t_k) + scale * dense
    }

    /// `(τ, δ)` of the reference fluid where its residual Helmholtz energy and compressibility factor
    /// are those of the fluid. Newton's method with halved steps; where it ends without an answer,
    /// the state of equal reduced temperature and density, which is what it starts from.
    fn conformal_state(&self, fluid: &Fluid, tau: f64, delta: f64) -> (f64, f64) {
        let want = conformality(fluid, tau, delta).value;
        // in logarithms of tau and delta, so that both stay positive
        let (mut ln_tau, mut ln_delta) = (tau.ln(), delta.ln());
        let off = |ln_tau: f64, ln_delta: f64| {
            let c = conformality(&self.reference, ln_tau.exp(), ln_delta.exp());
            let r = [c.value[0] - want[0], c.value[1] - want[1]];
            (r, c.slopes, r[0].hypot(r[1]))
        };
        let (mut r, mut j, mut size) = off(ln_tau, ln_delta);
        for _ in 0..MAX_ITERATIONS {
            if size < TOLERANCE {
                return (ln_tau.exp(), ln_delta.exp());
            }
            let det = j[0][0] * j[1][1] - j[0][1] * j[1][0];
            let step_tau = -(j[1][1] * r[0] - j[0][1] * r[1]) / det;
            let step_delta = -(j[0][0] * r[1] - j[1][0] * r[0]) / det;
            let mut fraction = 1.0;
            let mut improved = false;
            for _ in 0..MAX_HALVINGS {
                let (t, d) = (
                    ln_tau + fraction * step_tau,
                    ln_delta + fraction * step_delta,
                );
                let next = off(t, d);
                if next.2 < size {
                    (ln_tau, ln_delta) = (t, d);
                    (r, j, size) = next;
                    improved = true;
                    break;
                }
                fraction *= 0.5;
            }
            if !improved {
                break;
            }
        }
        // round-off keeps a thin gas from the tolerance; a thousandth of it moves nothing
        if size < 1e3 * TOLERANCE {
            (ln_tau.exp(), ln_delta.exp())
        } else {
            (tau, delta)
        }
    }
}
