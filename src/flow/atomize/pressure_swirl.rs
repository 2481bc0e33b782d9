//! Drops of a pressure-swirl (simplex) nozzle.

use super::{AtomizeError, Correlation, DropSize, DropSizes, Liquid};
use crate::quantity::{MassDensity, MassRate, PressureDifference};

const LEFEBVRE: Correlation = Correlation {
    name: "Lefebvre pressure-swirl",
    source_key: "lefebvre1989",
    scatter: 0.3,
};
const JASUJA: Correlation = Correlation {
    name: "Jasuja pressure-swirl",
    source_key: "jasuja1979",
    scatter: 0.3,
};
const RADCLIFFE: Correlation = Correlation {
    name: "Radcliffe pressure-swirl",
    source_key: "radcliffe1960",
    scatter: 0.3,
};

/// Flow of one nozzle, kg/s, and pressure drop, Pa. Our choice around what such nozzles are made for; the
/// papers' own tables were not read.
const FLOW_KG_S: [f64; 2] = [1e-5, 0.5];
const DROP_PA: [f64; 2] = [5e4, 2e7];

impl Correlation {
    fn feed(self, flow: MassRate, drop: PressureDifference) -> Result<(f64, f64), AtomizeError> {
        Ok((
            self.inside("flow", "kg/s", flow.value, FLOW_KG_S)?,
            self.inside("pressure drop", "Pa", drop.pascals(), DROP_PA)?,
        ))
    }
}

/// Sauter mean diameter of a pressure-swirl nozzle.
///
/// `SMD = 2.25 σ^0.25 μ^0.25 ṁ^0.25 Δp^−0.5 ρ_A^−0.25`, SI
///
/// * `flow` — through one nozzle
/// * `drop` — liquid pressure drop
/// * `air_density` — of the gas sprayed into
///
/// **Valid:** light fuels, 0.5 bar to 200 bar, 0.01 g/s to 0.5 kg/s a nozzle (our choice); ±30 %.
/// **Source:** `lefebvre1989`.
///
/// # Errors
/// [`AtomizeError::OutOfRange`].
///
/// ```
/// use fuelwright::flow::atomize::{Liquid, pressure_swirl_lefebvre};
/// use fuelwright::quantity::*;
/// let kerosene = Liquid {
///     density: kilograms_per_cubic_metre(800.0),
///     viscosity: pascal_seconds(1.5e-3),
///     surface_tension: newtons_per_metre(0.026),
/// };
/// let drops = pressure_swirl_lefebvre(&kerosene, kilograms_per_second(3e-3), pascals_difference(1e6),
///     kilograms_per_cubic_metre(1.2))?;
/// assert!((drops.mean.value * 1e6 - 39.8).abs() < 0.1);
/// # Ok::<(), fuelwright::flow::atomize::AtomizeError>(())
/// ```
pub fn pressure_swirl_lefebvre(
    liquid: &Liquid,
    flow: MassRate,
    drop: PressureDifference,
    air_density: MassDensity,
) -> Result<DropSize, AtomizeError> {
    let (_, mu, sigma) = LEFEBVRE.liquid(liquid)?;
    let (flow_kg_s, drop_pa) = LEFEBVRE.feed(flow, drop)?;
    let rho_air = LEFEBVRE.air_density(air_density)?;
    Ok(LEFEBVRE.drop(2.25 * (sigma * mu * flow_kg_s / rho_air).powf(0.25) / drop_pa.sqrt()))
}

/// Sauter mean diameter of a pressure-swirl nozzle.
///
/// `SMD = 4.4 σ^0.6 ν^0.16 ṁ^0.22 Δp^−0.43`, SI
///
/// **Valid:** as [`pressure_swirl_lefebvre`]; made in air at 1 atm. **Source:** `jasuja1979`.
///
/// # Errors
/// [`AtomizeError::OutOfRange`].
pub fn pressure_swirl_jasuja(
    liquid: &Liquid,
    flow: MassRate,
    drop: PressureDifference,
) -> Result<DropSize, AtomizeError> {
    let (rho, mu, sigma) = JASUJA.liquid(liquid)?;
    let (flow_kg_s, drop_pa) = JASUJA.feed(flow, drop)?;
    Ok(JASUJA.drop(
        4.4 * sigma.powf(0.6) * (mu / rho).powf(0.16) * flow_kg_s.powf(0.22) / drop_pa.powf(0.43),
    ))
}

/// Sauter mean diameter of a pressure-swirl nozzle.
///
/// `SMD = 7.3 σ^0.6 ν^0.2 ṁ^0.25 Δp^−0.4`, SI
///
/// **Valid:** as [`pressure_swirl_lefebvre`]; made in air at 1 atm. **Source:** `radcliffe1960`.
///
/// # Errors
/// [`AtomizeError::OutOfRange`].
pub fn pressure_swirl_radcliffe(
    liquid: &Liquid,
    flow: MassRate,
    drop: PressureDifference,
) -> Result<DropSize, AtomizeError> {
    let (rho, mu, sigma) = RADCLIFFE.liquid(liquid)?;
    let (flow_kg_s, drop_pa) = RADCLIFFE.feed(flow, drop)?;
    Ok(RADCLIFFE.drop(
        7.3 * sigma.powf(0.6) * (mu / rho).powf(0.2) * flow_kg_s.powf(0.25) / drop_pa.powf(0.4),
    ))
}

/// All three correlations for a pressure-swirl nozzle, and their spread.
///
/// **Valid:** as [`pressure_swirl_lefebvre`]. **Source:** `lefebvre1989`, `jasuja1979`, `radcliffe1960`.
///
/// # Errors
/// [`AtomizeError::OutOfRange`].
pub fn pressure_swirl(
    liquid: &Liquid,
    flow: MassRate,
    drop: PressureDifference,
    air_density: MassDensity,
) -> Result<DropSizes, AtomizeError> {
    Ok(DropSizes::of(vec![
        pressure_swirl_lefebvre(liquid, flow, drop, air_density)?,
        pressure_swirl_jasuja(liquid, flow, drop)?,
        pressure_swirl_radcliffe(liquid, flow, drop)?,
    ]))
}
