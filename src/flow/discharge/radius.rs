//! Hole with a rounded inlet and some length: contraction, radius and reattachment in one form.

use super::{DischargeError, Model};

const MODEL: Model = Model {
    name: "radius and length",
    source_key: "mcgreehan1988",
};

/// Share of the contraction that is left by an inlet radius.
///
/// `f = 0.008 + 0.992 exp(−5.5 r/d − 3.5 (r/d)²)`
/// * `radius_over_diameter` — inlet radius over hole diameter, `r/d`
///
/// **Valid:** `0 ≤ r/d ≤ 1`; past 0.8 nothing is left to gain.
/// **Source:** `mcgreehan1988`.
///
/// # Errors
/// [`DischargeError::OutOfRange`].
pub fn radius_factor(radius_over_diameter: f64) -> Result<f64, DischargeError> {
    let r = MODEL.inside("inlet radius over diameter", radius_over_diameter, 0.0, 1.0)?;
    Ok(0.008 + 0.992 * (-5.5 * r - 3.5 * r * r).exp())
}

/// Share of the loss of a thin hole that is left when the hole has length.
///
/// `g = (1 + 1.3 exp(−1.606 λ²)) (0.435 + 0.021 λ) / (2.3 · 0.435)`, `λ = L/d` after the radius;
/// 1 for no length, 0.57 at 1, least near 1.8, then rising with wall friction.
/// * `length_over_diameter` — straight length over diameter
///
/// **Valid:** `0 ≤ L/d ≤ 10`.
/// **Source:** `mcgreehan1988`.
///
/// # Errors
/// [`DischargeError::OutOfRange`].
pub fn length_factor(length_over_diameter: f64) -> Result<f64, DischargeError> {
    let l = MODEL.inside("length over diameter", length_over_diameter, 0.0, 10.0)?;
    Ok((1.0 + 1.3 * (-1.606 * l * l).exp()) * (0.435 + 0.021 * l) / (2.3 * 0.435))
}

/// How far the jet of a short hole has reattached to its wall: 0 for no length, 1 from `L/d = 1` up.
///
/// `w = (1 − g(L/d)) / (1 − g(1))`, the growth of the coefficient in [`radius_and_length`]; it
/// does not depend on the Reynolds number or the radius.
///
/// **Valid:** `0 ≤ L/d ≤ 10`.
/// **Source:** `mcgreehan1988` for `g`; full reattachment at `L/d = 1` is our choice.
///
/// # Errors
/// [`DischargeError::OutOfRange`].
pub fn attachment(length_over_diameter: f64) -> Result<f64, DischargeError> {
    let g = length_factor(length_over_diameter)?;
    if length_over_diameter >= 1.0 {
        return Ok(1.0);
    }
    Ok((1.0 - g) / (1.0 - length_factor(1.0)?))
}

/// Coefficient at low speed of a hole with inlet radius and length.
///
/// `C1 = 0.5885 + 372/Re`, `C2 = 1 − f (1 − C1)`, `C_d = 1 − g (1 − C2)` with [`radius_factor`]
/// `f` and [`length_factor`] `g`.
/// * `re` — Reynolds number of the ideal velocity in the hole
/// * `radius_over_diameter` — inlet radius over diameter
/// * `length_over_diameter` — length after the radius over diameter
///
/// **Valid:** published for `Re ≥ 10 000`; carried on to 5000, below which `C1` rises without bound;
/// `r/d ≤ 1`, `L/d ≤ 10`; no compressibility, no cavitation. The paper has a factor `g(r/d)` more in the length term
/// of a rounded inlet: at most 0.2 % (r/d 0.3), left out.
/// **Source:** `mcgreehan1988`.
///
/// # Errors
/// [`DischargeError::OutOfRange`].
///
/// ```
/// use fuelwright::flow::discharge::radius_and_length;
/// assert!((radius_and_length(1.0e4, 0.0, 2.0)? - 0.8212).abs() < 1e-4);
/// assert!(radius_and_length(2.0e3, 0.0, 2.0).is_err());
/// # Ok::<(), fuelwright::flow::discharge::DischargeError>(())
/// ```
pub fn radius_and_length(
    re: f64,
    radius_over_diameter: f64,
    length_over_diameter: f64,
) -> Result<f64, DischargeError> {
    let re = MODEL.inside("Reynolds number", re, 5000.0, f64::MAX)?;
    let thin = 0.5885 + 372.0 / re;
    let rounded = 1.0 - radius_factor(radius_over_diameter)? * (1.0 - thin);
    Ok(1.0 - length_factor(length_over_diameter)? * (1.0 - rounded))
}
