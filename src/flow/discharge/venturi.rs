//! Critical-flow venturi nozzles.

use super::{DischargeError, Model};

const MODEL: Model = Model {
    name: "critical-flow nozzle",
    source_key: "iso9300",
};

/// Shape and make of a critical-flow nozzle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CriticalNozzle {
    /// Toroidal throat, turned to high accuracy.
    ToroidalAccurate,
    /// Toroidal throat, normally machined.
    ToroidalNormal,
    /// Cylindrical throat.
    Cylindrical,
}

/// Coefficient of a critical-flow nozzle.
///
/// `C_d = a − b Re^(−n)`: 0.9985, 3.412, 0.5 (toroidal, accurate); 0.9959, 2.720, 0.5 (toroidal,
/// normal); 0.9976, 0.1388, 0.2 (cylindrical).
/// * `re` — Reynolds number of throat diameter, flow and upstream viscosity, `4 ṁ/(π d μ0)`
///
/// **Valid:** choked gas; Re 2.1·10⁴ to 3.2·10⁷ (accurate and normal toroidal), 3.5·10⁵ to 1.1·10⁷
/// (cylindrical). Not for drilled jets.
/// **Source:** `iso9300`, from memory; the range of the cylindrical nozzle is confirmed.
///
/// # Errors
/// [`DischargeError::OutOfRange`].
///
/// ```
/// use fuelwright::flow::discharge::{CriticalNozzle, critical_nozzle};
/// assert!((critical_nozzle(CriticalNozzle::ToroidalNormal, 1.0e5)? - 0.9873).abs() < 1e-4);
/// # Ok::<(), fuelwright::flow::discharge::DischargeError>(())
/// ```
pub fn critical_nozzle(shape: CriticalNozzle, re: f64) -> Result<f64, DischargeError> {
    let (a, b, n, lower, upper) = match shape {
        CriticalNozzle::ToroidalAccurate => (0.9985, 3.412, 0.5, 2.1e4, 3.2e7),
        CriticalNozzle::ToroidalNormal => (0.9959, 2.720, 0.5, 2.1e4, 3.2e7),
        CriticalNozzle::Cylindrical => (0.9976, 0.1388, 0.2, 3.5e5, 1.1e7),
    };
    let re = MODEL.inside("Reynolds number", re, lower, upper)?;
    Ok(a - b * re.powf(-n))
}
