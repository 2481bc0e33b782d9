//! The vapour: an ideal gas with the heat capacity of NASA polynomials.

use crate::fuel::Nasa;
use crate::quantity::GAS_CONSTANT_J_MOL_K;

/// Ideal gas, with its zero of enthalpy and entropy set by the liquid.
#[derive(Debug, Clone)]
pub(super) struct Vapour {
    nasa: Nasa,
    /// Gas constant, J/(kg K).
    pub(super) r_j_kg_k: f64,
    /// Per kg of the polynomials' own molecule, for heat capacity only.
    cp_r_j_kg_k: f64,
    t_zero_k: f64,
    p_zero_pa: f64,
    h_zero_j_kg: f64,
    s_zero_j_kg_k: f64,
}

impl Vapour {
    /// Ideal gas of molar mass `molar_mass_kg_mol` whose heat capacity per mass is that of the
    /// polynomials' molecule of `nasa_molar_mass_kg_mol`.
    pub(super) fn new(nasa: &Nasa, molar_mass_kg_mol: f64, nasa_molar_mass_kg_mol: f64) -> Self {
        Self {
            nasa: nasa.clone(),
            r_j_kg_k: GAS_CONSTANT_J_MOL_K / molar_mass_kg_mol,
            cp_r_j_kg_k: GAS_CONSTANT_J_MOL_K / nasa_molar_mass_kg_mol,
            t_zero_k: 0.0,
            p_zero_pa: 0.0,
            h_zero_j_kg: 0.0,
            s_zero_j_kg_k: 0.0,
        }
    }

    /// The same gas with enthalpy and entropy given at one state.
    pub(super) fn anchored(mut self, t_k: f64, p_pa: f64, h_j_kg: f64, s_j_kg_k: f64) -> Self {
        self.t_zero_k = t_k;
        self.p_zero_pa = p_pa;
        self.h_zero_j_kg = h_j_kg;
        self.s_zero_j_kg_k = s_j_kg_k;
        self
    }

    /// Temperatures of the polynomials, K.
    pub(super) fn range_k(&self) -> (f64, f64) {
        (self.nasa.t_k[0], self.nasa.t_k[2])
    }

    fn coefficients(&self, t_k: f64) -> &[f64; 7] {
        if t_k < self.nasa.t_k[1] {
            &self.nasa.low
        } else {
            &self.nasa.high
        }
    }

    pub(super) fn cp_j_kg_k(&self, t_k: f64) -> f64 {
        let a = self.coefficients(t_k);
        self.cp_r_j_kg_k * a[..5].iter().rev().fold(0.0, |sum, a| sum * t_k + a)
    }

    pub(super) fn enthalpy_j_kg(&self, t_k: f64) -> f64 {
        let absolute = |t: f64| {
            let a = self.coefficients(t);
            let sum = a[..5]
                .iter()
                .zip([1.0, 2.0, 3.0, 4.0, 5.0])
                .rev()
                .fold(0.0, |sum, (a, k)| sum * t + a / k);
            self.cp_r_j_kg_k * (sum * t + a[5])
        };
        self.h_zero_j_kg + absolute(t_k) - absolute(self.t_zero_k)
    }

    pub(super) fn entropy_j_kg_k(&self, t_k: f64, p_pa: f64) -> f64 {
        let absolute = |t: f64| {
            let a = self.coefficients(t);
            let sum = a[1..5]
                .iter()
                .zip([1.0, 2.0, 3.0, 4.0])
                .rev()
                .fold(0.0, |sum, (a, k)| sum * t + a / k);
            self.cp_r_j_kg_k * (a[0] * t.ln() + sum * t + a[6])
        };
        self.s_zero_j_kg_k + absolute(t_k)
            - absolute(self.t_zero_k)
            - self.r_j_kg_k * (p_pa / self.p_zero_pa).ln()
    }

    pub(super) fn density_kg_m3(&self, t_k: f64, p_pa: f64) -> f64 {
        p_pa / (self.r_j_kg_k * t_k)
    }
}
