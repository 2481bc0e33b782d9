//! Flow of an ideal gas of constant heat capacity: the cross-check of the real-gas flow.

use super::{OrificeError, positive};
use crate::quantity::range;
use crate::quantity::{
    AbsolutePressure, GAS_CONSTANT_J_MOL_K, MassFlux, MolarMass, ThermodynamicTemperature,
    kilograms_per_square_metre_second,
};

fn checked_gamma(gamma: f64) -> Result<f64, OrificeError> {
    if gamma > 1.0 && gamma <= 5.0 / 3.0 {
        Ok(gamma)
    } else {
        Err(OrificeError::GammaOutOfRange { gamma })
    }
}

/// Pressure ratio at and below which an ideal gas chokes: `(2/(γ+1))^(γ/(γ−1))`.
///
/// **Valid:** `1 < γ ≤ 5/3`.
/// **Source:** one-dimensional isentropic flow; textbook knowledge.
///
/// # Errors
/// [`OrificeError::GammaOutOfRange`].
///
/// ```
/// use fuelwright::flow::orifice::ideal_critical_ratio;
/// assert!((ideal_critical_ratio(1.4)? - 0.528_282).abs() < 1e-6);
/// # Ok::<(), fuelwright::flow::orifice::OrificeError>(())
/// ```
pub fn ideal_critical_ratio(gamma: f64) -> Result<f64, OrificeError> {
    let gamma = checked_gamma(gamma)?;
    Ok((2.0 / (gamma + 1.0)).powf(gamma / (gamma - 1.0)))
}

/// Critical-flow function of an ideal gas: `C* = √γ (2/(γ+1))^((γ+1)/(2(γ−1)))`.
///
/// **Valid:** `1 < γ ≤ 5/3`.
/// **Source:** `iso9300`.
///
/// # Errors
/// [`OrificeError::GammaOutOfRange`].
///
/// ```
/// use fuelwright::flow::orifice::ideal_critical_flow_function;
/// assert!((ideal_critical_flow_function(1.4)? - 0.684_731).abs() < 1e-6);
/// # Ok::<(), fuelwright::flow::orifice::OrificeError>(())
/// ```
pub fn ideal_critical_flow_function(gamma: f64) -> Result<f64, OrificeError> {
    let gamma = checked_gamma(gamma)?;
    Ok(gamma.sqrt() * (2.0 / (gamma + 1.0)).powf((gamma + 1.0) / (2.0 * (gamma - 1.0))))
}

/// Mass flux of an ideal gas through an ideal hole, choked or not.
///
/// * choked: `G = p0 √(M/(Z R T0)) C*`
/// * else `G = p0 √(2γM/((γ−1) Z R T0) (r^(2/γ) − r^((γ+1)/γ)))`, `r = p/p0`
///
/// * `p0`, `t0` — at rest upstream
/// * `back` — pressure downstream
/// * `molar_mass` — of the gas
/// * `gamma` — heat-capacity ratio
/// * `z` — compressibility factor upstream
///
/// **Valid:** ideal gas (or one of constant Z), steady, no friction. With ideal-gas γ and Z = 1 it is 0
/// to 10 % below the real flow of LPG vapour near saturation.
/// **Source:** one-dimensional isentropic flow; textbook knowledge.
///
/// # Errors
/// [`OrificeError::GammaOutOfRange`], [`OrificeError::NotPositive`],
/// [`OrificeError::PressureNotPositive`], [`OrificeError::BackAboveSupply`].
///
/// ```
/// use fuelwright::flow::orifice::ideal_gas_flux;
/// use fuelwright::quantity::{kelvin, kilograms_per_mole, pascals_absolute};
/// let g = ideal_gas_flux(
///     pascals_absolute(3e5), kelvin(288.15), pascals_absolute(101_325.0),
///     kilograms_per_mole(0.044_096), 1.13, 1.0,
/// )?;
/// assert!((g.value - 816.7).abs() < 0.1);
/// # Ok::<(), fuelwright::flow::orifice::OrificeError>(())
/// ```
pub fn ideal_gas_flux(
    p0: AbsolutePressure,
    t0: ThermodynamicTemperature,
    back: AbsolutePressure,
    molar_mass: MolarMass,
    gamma: f64,
    z: f64,
) -> Result<MassFlux, OrificeError> {
    let (p0_pa, back_pa) = (positive(p0)?, positive(back)?);
    if back_pa >= p0_pa {
        return Err(OrificeError::BackAboveSupply {
            back_pa,
            supply_pa: p0_pa,
        });
    }
    let critical = ideal_critical_ratio(gamma)?;
    let t0_k = range::positive("temperature", t0.value)?;
    let m_kg_mol = range::positive("molar mass", molar_mass.value)?;
    let z = range::positive("compressibility factor", z)?;
    let scale = p0_pa * (m_kg_mol / (z * GAS_CONSTANT_J_MOL_K * t0_k)).sqrt();
    let r = back_pa / p0_pa;
    let g = if r <= critical {
        scale * ideal_critical_flow_function(gamma)?
    } else {
        scale
            * (2.0 * gamma / (gamma - 1.0) * (r.powf(2.0 / gamma) - r.powf((gamma + 1.0) / gamma)))
                .sqrt()
    };
    Ok(kilograms_per_square_metre_second(g))
}
