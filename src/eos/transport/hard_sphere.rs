//! Methanol: Stockmayer gas with virial terms, crossing over to dense hard spheres.

use super::coefficients::Lists;
use super::dilute::{AVOGADRO_PER_MOL, InitialDensity, lennard_jones_omega};
use crate::eos::EosError;
use std::f64::consts::PI;

/// Correlation of `xiang2006`.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct HardSphere {
    sigma_m: f64,
    epsilon_k: f64,
    /// Reduced dipole moment of the Stockmayer potential (-).
    dipole: f64,
    molar_mass_g_mol: f64,
    t_critical_k: f64,
    rho_critical_kg_m3: f64,
    second: InitialDensity,
    third: [f64; 2],
    /// Factors and exponents of the dipole's part of the collision integral.
    omega: [f64; 7],
    /// Diameter of the spheres at unit reduced size, m.
    diameter_m: f64,
    /// Powers of 1/Tr, from 0.
    diameter_d: Vec<f64>,
    /// Powers of the reduced density, from 1.
    diameter_e: Vec<f64>,
}

impl HardSphere {
    pub(super) fn read(lists: &Lists<'_>) -> Result<Self, EosError> {
        Ok(Self {
            sigma_m: lists.one("sigma_m")?,
            epsilon_k: lists.one("epsilon_over_k_k")?,
            dipole: lists.one("reduced_dipole")?,
            molar_mass_g_mol: lists.one("dilute_molar_mass_kg_mol")? * 1e3,
            t_critical_k: lists.one("t_reducing_k")?,
            rho_critical_kg_m3: lists.one("rho_reducing_kg_m3")?,
            second: InitialDensity::read(lists)?
                .ok_or_else(|| lists.refuse("coefficient list `initial_b` is missing".into()))?,
            third: lists.array("third_virial_c")?,
            omega: lists.array("dipole_omega")?,
            diameter_m: lists.one("hard_sphere_diameter_m")?,
            diameter_d: lists.list("diameter_d")?.to_vec(),
            diameter_e: lists.list("diameter_e")?.to_vec(),
        })
    }

    /// Viscosity of the dilute gas, Pa s.
    pub(super) fn dilute(&self, t_k: f64) -> f64 {
        let t_star = t_k / self.epsilon_k;
        let o = &self.omega;
        let dipole_part =
            o[1] * t_star.powf(o[2]) + o[3] * (o[4] * t_star).exp() + o[5] * (o[6] * t_star).exp();
        let omega = lennard_jones_omega(t_star)
            * (1.0 + self.dipole.powi(2) / (1.0 + o[0] * self.dipole.powi(6)) * dipole_part);
        2.66957e-26 * (self.molar_mass_g_mol * t_k).sqrt() / (self.sigma_m.powi(2) * omega)
    }

    /// Viscosity, Pa s.
    pub(super) fn at(&self, t_k: f64, rho_mol_m3: f64, molar_mass_kg_mol: f64) -> f64 {
        let t_star = t_k / self.epsilon_k;
        let t_r = t_k / self.t_critical_k;
        let rho_r = rho_mol_m3 * molar_mass_kg_mol / self.rho_critical_kg_m3;
        let volume = AVOGADRO_PER_MOL * self.sigma_m.powi(3);
        let third =
            volume.powi(2) * self.third[0] * t_star.powi(3) * (self.third[1] / t_star.sqrt()).exp();
        let gas = 1.0 + rho_mol_m3 * (self.second.at(t_k) + third * rho_mol_m3);

        let in_t = self.diameter_d.iter().rev().fold(0.0, |s, d| s / t_r + d);
        let in_rho = self
            .diameter_e
            .iter()
            .rev()
            .fold(0.0, |s, e| (s + e) * rho_r);
        let diameter_m = self.diameter_m * (in_t + in_rho);
        let b = 2.0 * PI * AVOGADRO_PER_MOL * diameter_m.powi(3) / 3.0;
        let b_rho = b * rho_mol_m3;
        let zeta = b_rho / 4.0;
        let contact = (1.0 - 0.5 * zeta) / (1.0 - zeta).powi(3);
        let spheres = 1.0 / contact + 0.8 * b_rho + 0.761 * contact * b_rho.powi(2);

        let f = 1.0 / (1.0 + (5.0 * (rho_r - 1.0)).exp());
        self.dilute(t_k) * (f * gas + (1.0 - f) * spheres)
    }
}
