//! The liquid: density from a polynomial and a bulk modulus, enthalpy and entropy by integration.

use crate::fuel::{Correlation, Polynomial};

/// Pressure the density and heat-capacity correlations hold at, Pa.
pub(super) const P_REFERENCE_PA: f64 = 101_325.0;

impl Polynomial {
    /// Value at `t_k` in K; the range is the caller's.
    pub fn at(&self, t_k: f64) -> f64 {
        self.c.iter().rev().fold(0.0, |sum, c| sum * t_k + c)
    }

    /// First and second derivative with respect to temperature.
    fn slopes(&self, t_k: f64) -> (f64, f64) {
        let (mut value, mut first, mut half_second) = (0.0, 0.0, 0.0);
        for c in self.c.iter().rev() {
            half_second = half_second * t_k + first;
            first = first * t_k + value;
            value = value * t_k + c;
        }
        (first, 2.0 * half_second)
    }

    /// `∫ P dT` from 0 to `t_k`.
    fn integral(&self, t_k: f64) -> f64 {
        let mut power = 1.0;
        let mut sum = 0.0;
        for (k, c) in (1_u32..).zip(&self.c) {
            power *= t_k;
            sum += c * power / f64::from(k);
        }
        sum
    }

    /// `∫ P/T dT` up to a constant.
    fn integral_over_t(&self, t_k: f64) -> f64 {
        let mut power = 1.0;
        let mut sum = self.c.first().map_or(0.0, |c| c * t_k.ln());
        for (k, c) in (1_u32..).zip(self.c.iter().skip(1)) {
            power *= t_k;
            sum += c * power / f64::from(k);
        }
        sum
    }
}

/// Properties of the liquid at one temperature and pressure.
///
/// With `v = v0(T) exp(-(p - p0)/K)` and `cp0(T)` at the reference pressure `p0`, everything else
/// follows exactly: `h = ∫cp0 dT + (v0 - T v0') F`, `s = ∫cp0/T dT - v0' F`, `cp = cp0 - T v0'' F`,
/// where `F = K (1 - exp(-(p - p0)/K))`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Liquid {
    pub(super) density_kg_m3: f64,
    pub(super) enthalpy_j_kg: f64,
    pub(super) entropy_j_kg_k: f64,
    pub(super) cp_j_kg_k: f64,
    /// Thermal expansion `α = v'/v`, 1/K.
    pub(super) expansion_per_k: f64,
    /// Isothermal bulk modulus, Pa.
    pub(super) bulk_modulus_pa: f64,
}

impl Liquid {
    pub(super) fn at(c: &Correlation, t_k: f64, p_pa: f64) -> Self {
        let k_pa = c.bulk_modulus_pa.value;
        let rho0 = c.density.at(t_k);
        let (rho1, rho2) = c.density.slopes(t_k);
        let v0 = 1.0 / rho0;
        let v1 = -rho1 * v0 * v0;
        let v2 = (2.0 * rho1 * rho1 * v0 - rho2) * v0 * v0;
        let squeeze = (p_pa - P_REFERENCE_PA) / k_pa;
        let f = -k_pa * (-squeeze).exp_m1();
        Self {
            density_kg_m3: rho0 * squeeze.exp(),
            enthalpy_j_kg: c.heat_capacity.integral(t_k) + (v0 - t_k * v1) * f,
            entropy_j_kg_k: c.heat_capacity.integral_over_t(t_k) - v1 * f,
            cp_j_kg_k: c.heat_capacity.at(t_k) - t_k * v2 * f,
            expansion_per_k: v1 / v0,
            bulk_modulus_pa: k_pa,
        }
    }

    /// Pressure, Pa, at which the liquid has a density.
    pub(super) fn pressure_pa(c: &Correlation, t_k: f64, rho_kg_m3: f64) -> f64 {
        P_REFERENCE_PA + c.bulk_modulus_pa.value * (rho_kg_m3 / c.density.at(t_k)).ln()
    }
}
