//! Long sharp-edged hole at low Reynolds numbers.

use super::{DischargeError, Model};

const MODEL: Model = Model {
    name: "long hole",
    source_key: "lichtarowicz1965",
};

/// Coefficient of a long square-edged hole without cavitation.
///
/// `1/C_d = 1/C_u + (20/Re)(1 + 2.25 L/d) − 0.005 (L/d) / (1 + 7.5 (log10(0.00015 Re))²)`,
/// `C_u = 0.827 − 0.0085 L/d`
/// * `re` — Reynolds number of the ideal velocity `√(2 Δp/ρ)` in the hole
/// * `length_over_diameter` — `L/d`
///
/// **Valid:** `10 ≤ Re ≤ 2·10⁴`, `2 ≤ L/d ≤ 10`, liquids (and gases at low speed).
/// **Source:** `lichtarowicz1965`.
///
/// # Errors
/// [`DischargeError::OutOfRange`].
///
/// ```
/// use fuelwright::flow::discharge::long_hole;
/// assert!((long_hole(1.0e3, 4.0)? - 0.6860).abs() < 1e-4);
/// # Ok::<(), fuelwright::flow::discharge::DischargeError>(())
/// ```
pub fn long_hole(re: f64, length_over_diameter: f64) -> Result<f64, DischargeError> {
    let re = MODEL.inside("Reynolds number", re, 10.0, 2.0e4)?;
    let l = MODEL.inside("length over diameter", length_over_diameter, 2.0, 10.0)?;
    let ultimate = 0.827 - 0.0085 * l;
    let hump = 1.0 + 7.5 * (0.000_15 * re).log10().powi(2);
    Ok(1.0 / (1.0 / ultimate + 20.0 / re * (1.0 + 2.25 * l) - 0.005 * l / hump))
}
