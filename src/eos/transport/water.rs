//! Viscosity of water and steam.

use super::coefficients::Lists;
use crate::eos::EosError;

/// `η = η0 exp[ρr Σ h (1/Tr - 1)^i (ρr - 1)^j]`, `η0 = 100 µPa s √Tr / Σ h0_k Tr^-k`, without the critical
/// enhancement (`huber2009`).
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Water {
    t_reducing_k: f64,
    rho_reducing_kg_m3: f64,
    dilute_h: Vec<f64>,
    terms: Vec<[f64; 3]>,
}

impl Water {
    pub(super) fn read(lists: &Lists<'_>) -> Result<Self, EosError> {
        Ok(Self {
            t_reducing_k: lists.one("t_reducing_k")?,
            rho_reducing_kg_m3: lists.one("rho_reducing_kg_m3")?,
            dilute_h: lists.list("dilute_h")?.to_vec(),
            terms: lists.rows(["dense_h", "dense_i", "dense_j"])?,
        })
    }

    /// Viscosity of the dilute gas, Pa s.
    pub(super) fn dilute(&self, t_k: f64) -> f64 {
        let t_r = t_k / self.t_reducing_k;
        let sum = self.dilute_h.iter().rev();
        1e-4 * t_r.sqrt() / sum.fold(0.0, |sum, h| sum / t_r + h)
    }

    /// Viscosity, Pa s.
    pub(super) fn at(&self, t_k: f64, rho_mol_m3: f64, molar_mass_kg_mol: f64) -> f64 {
        let rho_r = rho_mol_m3 * molar_mass_kg_mol / self.rho_reducing_kg_m3;
        let (colder, denser) = (self.t_reducing_k / t_k - 1.0, rho_r - 1.0);
        let term = |[h, i, j]: &[f64; 3]| h * colder.powf(*i) * denser.powf(*j);
        let sum: f64 = self.terms.iter().map(term).sum();
        self.dilute(t_k) * (rho_r * sum).exp()
    }
}
