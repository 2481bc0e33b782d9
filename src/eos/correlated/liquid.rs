//! The liquid: density from a polynomial and a bulk modulus, enthalpy and entropy by integration.

use crate::fuel::{Correlation, Polynomial};

/// Pressure the density and heat-capacity correlations hold at, Pa.
pub(super) const P_REFERENCE_PA: f64 = 101_325.0;

impl Polynomial {
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

/// Temperature of the bulk modulus in a fuel file, K.
pub(super) const T_MODULUS_K: f64 = 293.15;

/// Properties of the liquid at one temperature and pressure.
///
/// With `v = v0(T) exp(-x)`, `x = (p - p0)/K(T)`, `K = K0 exp(-(T - 293.15 K)/τ)` and `cp0(T)` at the reference
/// pressure `p0`, everything else follows exactly: `h = ∫cp0 dT + v0 F - T A`, `s = ∫cp0/T dT - A`,
/// `cp = cp0 - T B`, where `F = ∫e^-x dp = K (1 - e^-x)`, `G = ∫x e^-x dp`, `H = ∫x² e^-x dp`,
/// `A = ∫∂v/∂T dp = v0' F - v0 G/τ` and `B = ∂A/∂T = v0'' F - 2 v0' G/τ - v0 (G - H)/τ²`.
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
        let k_pa = modulus_pa(c, t_k);
        let softens = c.bulk_modulus_softens_k.map_or(0.0, f64::recip);
        let rho0 = c.density.at(t_k);
        let (rho1, rho2) = c.density.slopes(t_k);
        let v0 = 1.0 / rho0;
        let v1 = -rho1 * v0 * v0;
        let v2 = (2.0 * rho1 * rho1 * v0 - rho2) * v0 * v0;
        let x = (p_pa - P_REFERENCE_PA) / k_pa;
        let f = -k_pa * (-x).exp_m1();
        let g = f - k_pa * x * (-x).exp();
        let h = 2.0 * g - k_pa * x * x * (-x).exp();
        let a = v1 * f - v0 * g * softens;
        let b = v2 * f - 2.0 * v1 * g * softens - v0 * (g - h) * softens * softens;
        Self {
            density_kg_m3: rho0 * x.exp(),
            enthalpy_j_kg: c.heat_capacity.integral(t_k) + v0 * f - t_k * a,
            entropy_j_kg_k: c.heat_capacity.integral_over_t(t_k) - a,
            cp_j_kg_k: c.heat_capacity.at(t_k) - t_k * b,
            expansion_per_k: v1 / v0 - x * softens,
            bulk_modulus_pa: k_pa,
        }
    }

    /// Pressure, Pa, at which the liquid has a density.
    pub(super) fn pressure_pa(c: &Correlation, t_k: f64, rho_kg_m3: f64) -> f64 {
        P_REFERENCE_PA + modulus_pa(c, t_k) * (rho_kg_m3 / c.density.at(t_k)).ln()
    }
}

/// Isothermal bulk modulus, Pa.
fn modulus_pa(c: &Correlation, t_k: f64) -> f64 {
    let fall = c
        .bulk_modulus_softens_k
        .map_or(0.0, |tau| (t_k - T_MODULUS_K) / tau);
    c.bulk_modulus_pa.value * (-fall).exp()
}
