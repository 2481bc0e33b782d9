//! Predictive viscosity of a gas or liquid from its critical constants alone.

use super::coefficients::Lists;
use super::dilute::lennard_jones_omega;
use crate::eos::EosError;
use crate::fuel::Equation;

/// Columns a0, a1 (times the acentric factor), a2 (times the reduced dipole to the fourth power), a3
/// (times the association factor) of table II of `chung1988`, as carried by `coolprop8`.
const A: [[f64; 4]; 10] = [
    [6.32402, 50.41190, -51.68010, 1189.02],
    [0.12102e-2, -0.11536e-2, -0.62571e-2, 0.37283e-1],
    [5.28346, 254.209, -168.481, 3898.27],
    [6.62263, 38.0957, -8.46414, 31.4178],
    [19.7454, 7.63034, -14.3544, 31.5267],
    [-1.89992, -12.5367, 4.98529, -18.1507],
    [24.2745, 3.44945, -11.2913, 69.3466],
    [0.79716, 1.11764, 0.12348e-1, -4.11661],
    [-0.23816, 0.67695e-1, -0.81630, 4.02528],
    [0.68629e-1, 0.34793, 0.59256, -0.72663],
];

/// Viscosity of the dilute gas, Pa s, from critical constants alone: of a molecule without dipole.
pub(in crate::eos) fn dilute_by_critical_constants(
    t_k: f64,
    e: &Equation,
    molar_mass_kg_mol: f64,
) -> f64 {
    let (t_c, rho_c) = (e.t_critical_k, e.rho_critical_mol_m3);
    Chung::of(t_c, rho_c, molar_mass_kg_mol, e.acentric, 0.0, 0.0).dilute(t_k)
}

/// Correlation of `chung1988`.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Chung {
    t_critical_k: f64,
    v_critical_cm3_mol: f64,
    molar_mass_g_mol: f64,
    /// Correction of the dilute gas for shape, polarity and association.
    f_c: f64,
    a: [f64; 10],
}

impl Chung {
    pub(super) fn read(lists: &Lists<'_>) -> Result<Self, EosError> {
        Ok(Self::of(
            lists.one("t_reducing_k")?,
            lists.one("rho_reducing_mol_m3")?,
            lists.one("dilute_molar_mass_kg_mol")?,
            lists.one("acentric")?,
            lists.one("dipole_debye")?,
            lists.one("association")?,
        ))
    }

    fn of(
        t_critical_k: f64,
        rho_critical_mol_m3: f64,
        molar_mass_kg_mol: f64,
        acentric: f64,
        dipole_debye: f64,
        association: f64,
    ) -> Self {
        let v_critical_cm3_mol = 1e6 / rho_critical_mol_m3;
        let dipole_r4 = (131.3 * dipole_debye / (v_critical_cm3_mol * t_critical_k).sqrt()).powi(4);
        Self {
            t_critical_k,
            v_critical_cm3_mol,
            molar_mass_g_mol: molar_mass_kg_mol * 1e3,
            f_c: 1.0 - 0.2756 * acentric + 0.059_035 * dipole_r4 + association,
            a: A.map(|[a0, a1, a2, a3]| a0 + a1 * acentric + a2 * dipole_r4 + a3 * association),
        }
    }

    fn t_star(&self, t_k: f64) -> f64 {
        1.2593 * t_k / self.t_critical_k
    }

    /// Viscosity of the dilute gas, Pa s.
    pub(super) fn dilute(&self, t_k: f64) -> f64 {
        let t_star = self.t_star(t_k);
        let omega = lennard_jones_omega(t_star)
            - 6.435e-4 * t_star.powf(0.14874) * (18.0323 * t_star.powf(-0.76830) - 7.27371).sin();
        // 4.0785e-5 gives poise
        4.0785e-6 * (self.molar_mass_g_mol * t_k).sqrt()
            / (self.v_critical_cm3_mol.cbrt().powi(2) * omega)
            * self.f_c
    }

    /// Viscosity, Pa s.
    pub(super) fn at(&self, t_k: f64, rho_mol_m3: f64) -> f64 {
        let a = &self.a;
        let y = rho_mol_m3 * self.v_critical_cm3_mol * 1e-6 / 6.0;
        if y <= 0.0 {
            return self.dilute(t_k);
        }
        let t_star = self.t_star(t_k);
        let g1 = (1.0 - 0.5 * y) / (1.0 - y).powi(3);
        let g2 = (a[0] * (1.0 - (-a[3] * y).exp()) / y + a[1] * g1 * (a[4] * y).exp() + a[2] * g1)
            / (a[0] * a[3] + a[1] + a[2]);
        let kinetic = self.dilute(t_k) * (1.0 / g2 + a[5] * y);
        // 36.344e-6 gives poise
        let potential = 3.6344e-6 * (self.molar_mass_g_mol * self.t_critical_k).sqrt()
            / self.v_critical_cm3_mol.cbrt().powi(2)
            * a[6]
            * y.powi(2)
            * g2
            * (a[7] + a[8] / t_star + a[9] / (t_star * t_star)).exp();
        kinetic + potential
    }
}
