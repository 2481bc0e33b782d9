//! Shares of the parts of a blend, and means by them.

use crate::fuel::Fuel;

/// Mean of a property by shares; what has none is not asked.
pub(super) fn by(shares: &[f64], of: &dyn Fn(usize) -> f64) -> f64 {
    let present = shares.iter().enumerate().filter(|(_, s)| **s > 0.0);
    present.map(|(i, s)| s * of(i)).sum()
}

/// Shares by volume at 15 °C from shares by mass.
pub(super) fn volumes_of(fuels: &[&Fuel], w: &[f64]) -> Vec<f64> {
    let densities = fuels.iter().map(|f| f.liquid_density_15c_kg_m3());
    let each = w.iter().zip(densities);
    let volumes: Vec<f64> = each
        .map(|(w, rho)| w / rho.unwrap_or(f64::INFINITY))
        .collect();
    let volume: f64 = volumes.iter().sum();
    volumes.iter().map(|v| v / volume).collect()
}
