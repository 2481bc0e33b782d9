//! Liquid hole whose contracted jet reaches its vapour pressure.

use super::{DischargeError, Model};

const MODEL: Model = Model {
    name: "cavitating hole",
    source_key: "nurick1976",
};

/// Contraction of the jet behind a sharp edge, the middle of the published 0.61 to 0.64.
pub const SHARP_CONTRACTION: f64 = 0.62;

/// Cavitation number `K = (p1 − pv)/(p1 − p2)`; 1 where the back pressure is the vapour pressure.
///
/// * `p1`, `p2`, `pv` — pressure upstream, downstream and of saturation, all in one unit, absolute
///
/// **Valid:** `p1 > p2`, `p1 ≥ pv`, all finite and not negative.
/// **Source:** `nurick1976`.
///
/// # Errors
/// [`DischargeError::OutOfRange`].
pub fn cavitation_number(p1: f64, p2: f64, pv: f64) -> Result<f64, DischargeError> {
    let p1 = MODEL.inside("upstream pressure", p1, f64::MIN_POSITIVE, f64::MAX)?;
    let p2 = MODEL.inside("downstream pressure", p2, 0.0, p1 * (1.0 - 1e-12))?;
    let pv = MODEL.inside("vapour pressure", pv, 0.0, p1)?;
    Ok((p1 - pv) / (p1 - p2))
}

/// Cavitation number below which a hole cavitates: `K_crit = (C_d / C_c)²`.
///
/// * `full` — coefficient of the hole when it runs full
/// * `contraction` — contraction of the jet, [`SHARP_CONTRACTION`] for a sharp edge
///
/// **Valid:** `0.5 ≤ C_c ≤ 1`, `C_c ≤ C_d ≤ 1`.
/// **Source:** `nurick1976`.
///
/// # Errors
/// [`DischargeError::OutOfRange`].
pub fn critical_cavitation_number(full: f64, contraction: f64) -> Result<f64, DischargeError> {
    let c = MODEL.inside("contraction", contraction, 0.5, 1.0)?;
    let full = MODEL.inside("coefficient without cavitation", full, c, 1.0)?;
    Ok((full / c).powi(2))
}

/// Coefficient of a sharp-edged hole that may cavitate, referred to the whole drop `p1 − p2`.
///
/// `C_d = C_c √K` while `K < K_crit`, else the coefficient of the full hole. The flow of a
/// cavitating hole no longer answers to the back pressure: `ṁ = C_c A √(2ρ (p1 − pv))`.
/// * `full` — coefficient of the hole when it runs full
/// * `contraction` — contraction of the jet
/// * `k` — [`cavitation_number`]
///
/// **Valid:** sharp edge, `L/d` of about 3 to 20, `K ≥ 1`; below 1 the liquid flashes and another
/// law holds. The liquid may also leave the wall for good (hydraulic flip): then `C_d ≈ C_c`.
/// **Source:** `nurick1976`; ±5 % against measurement.
///
/// # Errors
/// [`DischargeError::OutOfRange`].
///
/// ```
/// use fuelwright::flow::discharge::cavitating_coefficient;
/// assert!((cavitating_coefficient(0.80, 0.62, 1.20)? - 0.679).abs() < 5e-4);
/// assert!((cavitating_coefficient(0.80, 0.62, 2.00)? - 0.80).abs() < 1e-12);
/// # Ok::<(), fuelwright::flow::discharge::DischargeError>(())
/// ```
pub fn cavitating_coefficient(full: f64, contraction: f64, k: f64) -> Result<f64, DischargeError> {
    let critical = critical_cavitation_number(full, contraction)?;
    let k = MODEL.inside("cavitation number", k, 1.0, f64::MAX)?;
    Ok(if k < critical {
        contraction * k.sqrt()
    } else {
        full
    })
}
