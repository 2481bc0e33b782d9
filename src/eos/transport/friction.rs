//! Friction theory: viscosity from the repulsive and attractive parts of the pressure.

use super::coefficients::Lists;
use super::dilute::Dilute;
use crate::eos::EosError;
use crate::eos::helmholtz::Fluid;

/// Correlation of `quinones2006`: friction with the ideal, attractive and repulsive pressures, each
/// coefficient `(A0 + A1 (e^τ - 1) + A2 (e^τ² - 1)) τ^N`.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Friction {
    pub(super) dilute: Dilute,
    t_reducing_k: f64,
    attractive: [f64; 3],
    attractive2: [f64; 3],
    repulsive: [f64; 3],
    repulsive2: [f64; 3],
    ideal: [f64; 3],
    ideal2: [f64; 3],
}

impl Friction {
    pub(super) fn read(lists: &Lists<'_>, molar_mass_kg_mol: f64) -> Result<Self, EosError> {
        Ok(Self {
            dilute: Dilute::read(lists, molar_mass_kg_mol)?,
            t_reducing_k: lists.one("t_reducing_k")?,
            attractive: lists.array("attractive")?,
            attractive2: lists.array("attractive_squared")?,
            repulsive: lists.array("repulsive")?,
            repulsive2: lists.array("repulsive_squared")?,
            ideal: lists.array("ideal")?,
            ideal2: lists.array("ideal_squared")?,
        })
    }

    /// Viscosity, Pa s, with pressures from the fluid's own equation of state.
    pub(super) fn at(&self, fluid: &Fluid, t_k: f64, rho_mol_m3: f64) -> f64 {
        let tau = self.t_reducing_k / t_k;
        let psi = [1.0, tau.exp() - 1.0, (tau * tau).exp() - 1.0];
        let k = |a: &[f64; 3], power: i32| -> f64 {
            a.iter().zip(&psi).map(|(a, psi)| a * psi).sum::<f64>() * tau.powi(power)
        };
        let e = &fluid.equation;
        let eos_tau = e.t_reducing_k / t_k;
        let alpha = fluid.residual_at(rho_mol_m3 / e.rho_reducing_mol_m3, eos_tau);
        // the correlation takes pressures in bar
        let p_ideal_bar = rho_mol_m3 * e.gas_constant_j_mol_k * t_k / 1e5;
        let p_bar = p_ideal_bar * (1.0 + alpha.d);
        let p_repulsive_bar = p_ideal_bar * (1.0 + alpha.d - alpha.dt);
        let p_attractive_bar = p_bar - p_repulsive_bar;
        let excess_bar = p_repulsive_bar - p_ideal_bar;
        self.dilute.at(t_k)
            + k(&self.attractive, 1) * p_attractive_bar
            + k(&self.repulsive, 1) * excess_bar
            + k(&self.ideal, 1) * p_ideal_bar
            + k(&self.attractive2, 3) * p_attractive_bar.powi(2)
            + k(&self.repulsive2, 3) * excess_bar.powi(2)
            + k(&self.ideal2, 3) * p_ideal_bar.powi(2)
    }
}
