//! Relief devices: area for gas, and flashing two-phase flow by the omega method; of a real fluid in `fluid`.

mod fluid;

pub use fluid::{
    LETTERS, Letter, ReliefError, ReliefFlux, ReliefLaw, air_by_volume, next_letter, relief_flux,
};

use crate::quantity::range::{OutOfRange, in_range};
use crate::quantity::{
    AbsolutePressure, Area, GAS_CONSTANT_J_MOL_K, MassDensity, MassFlux, MassRate, MolarMass,
    ThermodynamicTemperature, kilograms_per_square_metre_second, square_metres,
};

/// Gas at a relief device, at relieving conditions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReliefGas {
    /// Relieving pressure: set pressure and overpressure.
    pub pressure: AbsolutePressure,
    /// Relieving temperature.
    pub temperature: ThermodynamicTemperature,
    /// Compressibility factor.
    pub compressibility: f64,
    /// Molar mass.
    pub molar_mass: MolarMass,
    /// Ideal-gas heat-capacity ratio.
    pub gamma: f64,
}

/// Factors of a relief device.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReliefFactors {
    /// Discharge coefficient; 0.975 for a first sizing of a relief valve.
    pub discharge: f64,
    /// Correction for back pressure; 1 for a conventional valve in critical flow.
    pub back_pressure: f64,
    /// Correction for a rupture disk upstream; 1 without.
    pub combination: f64,
}

impl ReliefFactors {
    /// All of them together: `Kd Kb Kc`.
    ///
    /// # Errors
    /// [`OutOfRange`].
    pub fn product(&self) -> Result<f64, OutOfRange> {
        let kd = in_range("discharge coefficient", self.discharge, 0.01..=1.0)?;
        let kb = in_range("back pressure factor", self.back_pressure, 0.01..=1.0)?;
        let kc = in_range("combination factor", self.combination, 0.01..=1.0)?;
        Ok(kd * kb * kc)
    }
}

/// Mass flux of a perfect gas from rest through an ideal nozzle to a back pressure.
fn gas_flux(gas: &ReliefGas, back_pa: f64) -> Result<f64, OutOfRange> {
    let p = in_range(
        "relieving pressure in Pa",
        gas.pressure.pascals(),
        1.0..=1e9,
    )?;
    let t = in_range(
        "relieving temperature in K",
        gas.temperature.value,
        20.0..=3000.0,
    )?;
    let z = in_range("compressibility factor", gas.compressibility, 0.1..=3.0)?;
    let m = in_range("molar mass in kg/mol", gas.molar_mass.value, 1e-3..=2.0)?;
    let k = in_range("heat-capacity ratio", gas.gamma, 1.001..=2.0)?;
    let ratio = in_range(
        "back pressure over relieving pressure",
        back_pa / p,
        0.0..=1.0,
    )?;
    let critical = (2.0 / (k + 1.0)).powf(k / (k - 1.0));
    let r = ratio.max(critical);
    let shape = 2.0 * k / (k - 1.0) * (r.powf(2.0 / k) - r.powf((k + 1.0) / k));
    Ok(p * (m / (z * GAS_CONSTANT_J_MOL_K * t) * shape).sqrt())
}

/// Area a relief device needs for a gas.
///
/// `A = W/(Kd Kb Kc G)` with `G` the flux of a perfect gas through a nozzle, choked below
/// `(2/(k+1))^(k/(k−1))`; the standard's C and F2 are this in its units.
///
/// **Valid:** gas well away from condensing, `Z` 0.8 to 1.1 or so. **Errors:** [`OutOfRange`].
/// **Source:** `api520`.
///
/// # Errors
/// [`OutOfRange`] for a value out of range.
///
/// ```
/// use fuelwright::flow::relief::{relief_area, ReliefFactors, ReliefGas};
/// use fuelwright::quantity::*;
/// let gas = ReliefGas {
///     pressure: pascals_absolute(670e3),
///     temperature: kelvin(348.0),
///     compressibility: 0.90,
///     molar_mass: kilograms_per_mole(0.051),
///     gamma: 1.11,
/// };
/// let factors = ReliefFactors { discharge: 0.975, back_pressure: 1.0, combination: 1.0 };
/// let flow = kilograms_per_second(24_270.0 / 3600.0);
/// let area = relief_area(&gas, flow, pascals_absolute(101_325.0), &factors)?;
/// assert!((area.value * 1e6 - 3699.0).abs() < 4.0);
/// # Ok::<(), fuelwright::quantity::range::OutOfRange>(())
/// ```
pub fn relief_area(
    gas: &ReliefGas,
    flow: MassRate,
    back: AbsolutePressure,
    factors: &ReliefFactors,
) -> Result<Area, OutOfRange> {
    let w = in_range("mass flow in kg/s", flow.value, 0.0..=1e6)?;
    Ok(square_metres(
        w / (factors.product()? * gas_flux(gas, back.pascals())?),
    ))
}

/// The omega parameter of a flashing fluid, from its density at rest and at nine tenths of the pressure
/// (after an isentropic or, nearly the same, an isenthalpic flash): `ω = 9 (ρ0/ρ9 − 1)`.
///
/// **Valid:** two-phase or saturated at rest. **Errors:** [`OutOfRange`].
/// **Source:** `leung1986`, `api520`.
///
/// # Errors
/// [`OutOfRange`] if density does not fall.
pub fn omega(at_rest: MassDensity, at_nine_tenths: MassDensity) -> Result<f64, OutOfRange> {
    let w = 9.0 * (at_rest.value / at_nine_tenths.value - 1.0);
    in_range("omega", w, 1e-6..=1e3)
}

/// Critical pressure ratio of the omega method: the root of
/// `η² + (ω² − 2ω)(1 − η)² + 2ω² ln η + 2ω² (1 − η) = 0`.
///
/// **Valid:** ω above 0. **Errors:** [`OutOfRange`]. **Source:** `leung1986`.
///
/// # Errors
/// [`OutOfRange`] for an omega that is not positive.
pub fn omega_critical_ratio(omega: f64) -> Result<f64, OutOfRange> {
    let w = in_range("omega", omega, 1e-6..=1e3)?;
    let f = |eta: f64| {
        eta * eta + (w * w - 2.0 * w) * (1.0 - eta).powi(2) + 2.0 * w * w * (eta.ln() + (1.0 - eta))
    };
    // f rises from minus infinity to 1 in (0, 1)
    let (mut low, mut high) = (1e-12_f64, 1.0_f64);
    for _ in 0..120 {
        let middle = 0.5 * (low + high);
        if f(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok(0.5 * (low + high))
}

/// Mass flux of a flashing fluid to a back pressure, homogeneous equilibrium by the omega method.
///
/// `G = √(p0 ρ0) √(−2 [ω ln η + (ω − 1)(1 − η)]) / (ω (1/η − 1) + 1)`, η the critical ratio or, above it,
/// `p_back/p0`.
///
/// **Valid:** as [`omega`]. **Errors:** [`OutOfRange`]. **Source:** `leung1986`, `api520`.
///
/// # Errors
/// [`OutOfRange`] for a value out of range.
pub fn omega_flux(
    pressure: AbsolutePressure,
    density: MassDensity,
    omega: f64,
    back: AbsolutePressure,
) -> Result<MassFlux, OutOfRange> {
    let p0 = in_range("relieving pressure in Pa", pressure.pascals(), 1.0..=1e9)?;
    let ratio = in_range(
        "back pressure over relieving pressure",
        back.pascals() / p0,
        0.0..=1.0,
    )?;
    let eta = omega_critical_ratio(omega)?.max(ratio);
    let top = (-2.0 * (omega * eta.ln() + (omega - 1.0) * (1.0 - eta)))
        .max(0.0)
        .sqrt();
    let flux = (p0 * density.value).sqrt() * top / (omega * (1.0 / eta - 1.0) + 1.0);
    Ok(kilograms_per_square_metre_second(flux))
}
