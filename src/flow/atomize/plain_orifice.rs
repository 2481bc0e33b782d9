//! Drops of a plain round hole fed with liquid at pressure.

use super::{AtomizeError, Correlation, DropSize, DropSizes, Liquid};
use crate::quantity::{DynamicViscosity, Length, MassDensity, PressureDifference, Velocity};

const ELKOTB: Correlation = Correlation {
    name: "Elkotb plain-orifice",
    source_key: "elkotb1982",
    scatter: 0.4,
};
const HARMON: Correlation = Correlation {
    name: "Harmon plain-orifice",
    source_key: "harmon1955",
    scatter: 0.5,
};

/// Sauter mean diameter of a plain orifice.
///
/// `SMD = 3.08 ν^0.385 (σ ρ_L)^0.737 ρ_A^0.06 Δp^−0.54`, SI
///
/// **Valid:** made for diesel nozzles; used from 2 bar to 2000 bar (our choice), ±40 %. The units of the
/// original are taken as SI because that gives sensible drops; not confirmed in the paper.
/// **Source:** `elkotb1982`.
///
/// # Errors
/// [`AtomizeError::OutOfRange`].
pub fn plain_orifice_elkotb(
    liquid: &Liquid,
    drop: PressureDifference,
    air_density: MassDensity,
) -> Result<DropSize, AtomizeError> {
    let (rho, mu, sigma) = ELKOTB.liquid(liquid)?;
    let drop_pa = ELKOTB.inside("pressure drop", "Pa", drop.pascals(), [2e5, 2e8])?;
    let rho_air = ELKOTB.air_density(air_density)?;
    Ok(ELKOTB.drop(
        3.08 * (mu / rho).powf(0.385) * (sigma * rho).powf(0.737) * rho_air.powf(0.06)
            / drop_pa.powf(0.54),
    ))
}

/// Sauter mean diameter of a plain orifice.
///
/// `SMD = 3330 d^0.3 μ_L^0.07 ρ_L^−0.648 σ^−0.15 U_L^−0.55 μ_A^0.78 ρ_A^−0.052`, SI
///
/// * `diameter` — of the hole
/// * `velocity` — of the jet
///
/// **Valid:** holes from 0.1 mm to 5 mm, jets from 5 m/s to 200 m/s (our choice), ±50 %; drops grow as
/// surface tension falls, against all other experience.
/// **Source:** `harmon1955`.
///
/// # Errors
/// [`AtomizeError::OutOfRange`].
pub fn plain_orifice_harmon(
    liquid: &Liquid,
    diameter: Length,
    velocity: Velocity,
    air_density: MassDensity,
    air_viscosity: DynamicViscosity,
) -> Result<DropSize, AtomizeError> {
    let (rho, mu, sigma) = HARMON.liquid(liquid)?;
    let d_m = HARMON.inside("hole diameter", "m", diameter.value, [1e-4, 5e-3])?;
    let u_m_s = HARMON.inside("jet velocity", "m/s", velocity.value, [5.0, 200.0])?;
    let rho_air = HARMON.air_density(air_density)?;
    let mu_air = HARMON.inside("air viscosity", "Pa s", air_viscosity.value, [1e-5, 1e-4])?;
    Ok(HARMON.drop(
        3330.0 * d_m.powf(0.3) * mu.powf(0.07) * mu_air.powf(0.78)
            / (rho.powf(0.648) * sigma.powf(0.15) * u_m_s.powf(0.55) * rho_air.powf(0.052)),
    ))
}

/// Both correlations for a plain orifice, and their spread; the jet's velocity is `√(2 Δp/ρ)`.
///
/// **Valid:** as [`plain_orifice_elkotb`] and [`plain_orifice_harmon`].
/// **Source:** `elkotb1982`, `harmon1955`.
///
/// # Errors
/// [`AtomizeError::OutOfRange`].
pub fn plain_orifice(
    liquid: &Liquid,
    diameter: Length,
    drop: PressureDifference,
    air_density: MassDensity,
    air_viscosity: DynamicViscosity,
) -> Result<DropSizes, AtomizeError> {
    let elkotb = plain_orifice_elkotb(liquid, drop, air_density)?;
    let u_m_s = (2.0 * drop.pascals() / liquid.density.value).sqrt();
    let velocity = crate::quantity::metres_per_second(u_m_s);
    let harmon = plain_orifice_harmon(liquid, diameter, velocity, air_density, air_viscosity)?;
    Ok(DropSizes::of(vec![elkotb, harmon]))
}
