//! Thick sharp-edged hole that chokes on gas.

use super::{DischargeError, Model};

const MODEL: Model = Model {
    name: "choked thick hole",
    source_key: "wardsmith1979",
};

/// Coefficient of a square-edged cylindrical hole at and below the critical pressure ratio.
///
/// `C_d* = 0.839`, nearly independent of Reynolds number and length.
/// * `length_over_diameter` — `L/d`
///
/// **Valid:** choked gas, `1 ≤ L/d ≤ 7`.
/// **Source:** `wardsmith1979`; the figure is from memory, that such a range exists stands in the
/// abstract. Practice takes 0.82 to 0.85 for drilled gas jets.
///
/// # Errors
/// [`DischargeError::OutOfRange`].
///
/// ```
/// use fuelwright::flow::discharge::choked_thick_hole;
/// assert!((choked_thick_hole(3.0)? - 0.839).abs() < 1e-12);
/// assert!(choked_thick_hole(0.2).is_err());
/// # Ok::<(), fuelwright::flow::discharge::DischargeError>(())
/// ```
pub fn choked_thick_hole(length_over_diameter: f64) -> Result<f64, DischargeError> {
    MODEL.inside("length over diameter", length_over_diameter, 1.0, 7.0)?;
    Ok(0.839)
}
