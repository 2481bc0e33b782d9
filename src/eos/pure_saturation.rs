//! Saturation line of a pure fluid: equal pressure and Gibbs energy by Newton in both densities.

use super::mixture::{MixIsotherm, Mixed, Model};
use crate::fuel::AncillaryCurve;
use crate::numerics::exponential::exponentials;

/// Relative change of both densities at which the iteration has converged.
const TOLERANCE: f64 = 1e-13;
/// Steps before it gives up.
const MAX_STEPS: usize = 40;

/// Terms of a start curve that are raised to their powers together; more than most have.
const CURVE_TERMS: usize = 8;

/// Value of a start curve at a temperature.
pub fn ancillary(curve: &AncillaryCurve, t_k: f64) -> f64 {
    let ln_theta = (1.0 - t_k / curve.t_reducing_k).max(0.0).ln();
    let mut sum: f64 = curve
        .n
        .chunks(CURVE_TERMS)
        .zip(curve.t.chunks(CURVE_TERMS))
        .map(|(n, t)| {
            let mut powers = [0.0; CURVE_TERMS];
            for (power, t) in powers.iter_mut().zip(t) {
                *power = t * ln_theta;
            }
            exponentials(&mut powers[..t.len()]);
            n.iter()
                .zip(powers)
                .map(|(n, power)| n * power)
                .sum::<f64>()
        })
        .sum();
    if curve.using_tau_r {
        sum *= curve.t_reducing_k / t_k;
    }
    curve.reducing * if curve.linear { 1.0 + sum } else { sum.exp() }
}

/// Pressure, Pa, liquid and vapour density, mol/m³.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PureSaturation {
    /// Pressure, Pa.
    pub p_pa: f64,
    /// Liquid density, mol/m³.
    pub liquid_mol_m3: f64,
    /// Vapour density, mol/m³.
    pub vapour_mol_m3: f64,
}

/// Saturation at a temperature below critical, from a start if there is a good one; `None` if the
/// iteration failed.
pub fn at_temperature(
    model: &Model,
    mixed: &Mixed,
    iso: &MixIsotherm,
    start: Option<&PureSaturation>,
) -> Option<PureSaturation> {
    if let Some(s) = start
        && let Some(found) = iterate(model, mixed, iso, s.liquid_mol_m3, s.vapour_mol_m3)
    {
        return Some(found);
    }
    let curves = &model.fluids()[0].equation.ancillary;
    let t_k = iso.t_k;
    let liquid = ancillary(&curves.liquid_density, t_k);
    let vapour = ancillary(&curves.vapour_density, t_k);
    iterate(model, mixed, iso, liquid, vapour).or_else(|| {
        // near the critical point the start curves may cross the spinodal: spread them
        (1..6).find_map(|k| {
            let spread = 1.0 + 0.02 * f64::from(k);
            iterate(model, mixed, iso, liquid * spread, vapour / spread)
        })
    })
}

fn iterate(
    model: &Model,
    mixed: &Mixed,
    iso: &MixIsotherm,
    liquid: f64,
    vapour: f64,
) -> Option<PureSaturation> {
    let rho_r = mixed.rho_r_mol_m3;
    let (mut dl, mut dv) = (liquid / rho_r, vapour / rho_r);
    for step in 0..MAX_STEPS {
        let [al, d_l, dd_l] = model.residual_in_delta(mixed, iso, dl * rho_r);
        let [av, d_v, dd_v] = model.residual_in_delta(mixed, iso, dv * rho_r);
        // J = δ(1 + δα_δ) is pressure, K = δα_δ + α + ln δ is Gibbs energy; K' = J'/δ
        let (jl, jv) = (dl * (1.0 + d_l), dv * (1.0 + d_v));
        let (kl, kv) = (d_l + al + dl.ln(), d_v + av + dv.ln());
        let (jl1, jv1) = (1.0 + 2.0 * d_l + dd_l, 1.0 + 2.0 * d_v + dd_v);
        if !(jl1 > 0.0 && jv1 > 0.0) {
            return None;
        }
        let (f, g) = (jv - jl, kv - kl);
        let (kl1, kv1) = (jl1 / dl, jv1 / dv);
        // jl1 Δl - jv1 Δv = f ; kl1 Δl - kv1 Δv = g
        let det = -jl1 * kv1 + jv1 * kl1;
        let mut change_l = (-f * kv1 + jv1 * g) / det;
        let mut change_v = (jl1 * g - kl1 * f) / det;
        if !(change_l.is_finite() && change_v.is_finite()) {
            return None;
        }
        let limit = (change_l.abs() / (0.2 * dl)).max(change_v.abs() / (0.5 * dv));
        if limit > 1.0 {
            change_l /= limit;
            change_v /= limit;
        }
        dl += change_l;
        dv += change_v;
        if dl - dv <= 1e-7 * dl {
            return None;
        }
        let size = (change_l / dl).abs().max((change_v / dv).abs());
        if size <= TOLERANCE || (step > 8 && size <= 1e-9) {
            let [_, d_v, _] = model.residual_in_delta(mixed, iso, dv * rho_r);
            return Some(PureSaturation {
                p_pa: dv * rho_r * model.r() * iso.t_k * (1.0 + d_v),
                liquid_mol_m3: dl * rho_r,
                vapour_mol_m3: dv * rho_r,
            });
        }
    }
    None
}
