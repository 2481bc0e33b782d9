//! Drops of airblast nozzles: fast air shatters the liquid.

use super::{AtomizeError, Correlation, DropSize, Liquid};
use crate::quantity::{Length, MassDensity, Ratio, Velocity};

const PLAIN_JET: Correlation = Correlation {
    name: "Rizk-Lefebvre plain-jet airblast",
    source_key: "rizk-lefebvre-1984",
    scatter: 0.3,
};
const PREFILMING: Correlation = Correlation {
    name: "El-Shanawany-Lefebvre prefilming airblast",
    source_key: "el-shanawany-lefebvre-1980",
    scatter: 0.3,
};

/// Air that atomizes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirStream {
    /// Density.
    pub density: MassDensity,
    /// Velocity relative to the liquid.
    pub velocity: Velocity,
    /// Mass of atomizing air over mass of liquid.
    pub air_liquid_ratio: Ratio,
}

impl Correlation {
    /// Density, velocity and `1 + 1/ALR`, checked.
    fn air(self, air: &AirStream) -> Result<(f64, f64, f64), AtomizeError> {
        let (u, alr) = (air.velocity.value, air.air_liquid_ratio.value);
        Ok((
            self.air_density(air.density)?,
            self.inside("air velocity", "m/s", u, [10.0, 250.0])?,
            1.0 + 1.0 / self.inside("air-liquid ratio", "", alr, [0.3, 50.0])?,
        ))
    }
}

/// Sauter mean diameter of a plain-jet airblast nozzle.
///
/// `SMD/d = 0.48 (σ/(ρ_A U² d))^0.4 (1 + 1/ALR)^0.4 + 0.15 (μ²/(σ ρ_L d))^0.5 (1 + 1/ALR)`
///
/// * `diameter` — of the liquid hole
///
/// **Valid:** 10 m/s to 250 m/s, air-liquid ratio 0.3 to 50, holes from 0.1 mm to 5 mm (our choice); ±30 %.
/// **Source:** `rizk-lefebvre-1984`.
///
/// # Errors
/// [`AtomizeError::OutOfRange`].
pub fn plain_jet_airblast(
    liquid: &Liquid,
    diameter: Length,
    air: &AirStream,
) -> Result<DropSize, AtomizeError> {
    let (rho, mu, sigma) = PLAIN_JET.liquid(liquid)?;
    let (rho_air, u_m_s, mixing) = PLAIN_JET.air(air)?;
    let d_m = PLAIN_JET.inside("hole diameter", "m", diameter.value, [1e-4, 5e-3])?;
    let inverse_weber = sigma / (rho_air * u_m_s * u_m_s * d_m);
    let ohnesorge = mu / (sigma * rho * d_m).sqrt();
    Ok(PLAIN_JET
        .drop(d_m * (0.48 * (inverse_weber * mixing).powf(0.4) + 0.15 * ohnesorge * mixing)))
}

/// Sauter mean diameter of a prefilming airblast nozzle.
///
/// `SMD/D = (1 + 1/ALR) [0.33 (σ/(ρ_A U² D))^0.6 (ρ_L/ρ_A)^0.1 + 0.068 (μ²/(ρ_L σ D))^0.5]`
///
/// * `diameter` — of the lip that the film leaves
///
/// **Valid:** 10 m/s to 250 m/s, air-liquid ratio 0.3 to 50, lips from 3 mm to 100 mm (our choice); ±30 %.
/// **Source:** `el-shanawany-lefebvre-1980`.
///
/// # Errors
/// [`AtomizeError::OutOfRange`].
pub fn prefilming_airblast(
    liquid: &Liquid,
    diameter: Length,
    air: &AirStream,
) -> Result<DropSize, AtomizeError> {
    let (rho, mu, sigma) = PREFILMING.liquid(liquid)?;
    let (rho_air, u_m_s, mixing) = PREFILMING.air(air)?;
    let d_m = PREFILMING.inside("lip diameter", "m", diameter.value, [3e-3, 0.1])?;
    let inverse_weber = sigma / (rho_air * u_m_s * u_m_s * d_m);
    let ohnesorge = mu / (sigma * rho * d_m).sqrt();
    Ok(PREFILMING.drop(
        d_m * mixing
            * (0.33 * inverse_weber.powf(0.6) * (rho / rho_air).powf(0.1) + 0.068 * ohnesorge),
    ))
}
