//! Thin sharp-edged hole: contraction at low speed, and how it gives way to compressibility.

use super::bragg::bragg_coefficient;
use super::{DischargeError, Model};

const MODEL: Model = Model {
    name: "thin sharp hole",
    source_key: "jobson1955",
};
const LOW_SPEED: Model = Model {
    name: "thin sharp hole at low speed",
    source_key: "mcgreehan1988",
};
/// Reynolds number from which the fit of the low-speed contraction is published (`mcgreehan1988`).
pub(super) const THIN_FIT_FROM_RE: f64 = 1.0e4;
/// Contraction above which the closed form dips below its own low-speed value.
pub(super) const LARGEST_JOBSON_CONTRACTION: f64 = 0.65;
/// Critical pressure ratio of a gas with gamma 1.4, at which Bragg's table has its knee.
const CRITICAL_RATIO_AIR: f64 = 0.528_281_787_717_174;

/// Coefficient of a thin sharp hole at low speed (`p2/p1 → 1`).
///
/// `C_i = min(0.5885 + 372/Re, 0.65)`
/// * `re` — Reynolds number of the ideal velocity in the hole
///
/// **Valid:** from Re 10 000 up, where the published fit begins; below, it is carried on (3.9 % more at Re 6050) and
/// held at 0.65 down to Re 100 (our choice: measured coefficients of thin sharp holes stay between about
/// 0.60 and 0.73 there, from memory).
/// **Source:** `mcgreehan1988`.
///
/// # Errors
/// [`DischargeError::OutOfRange`].
///
/// ```
/// use fuelwright::flow::discharge::thin_hole_at_low_speed;
/// assert!((thin_hole_at_low_speed(1.0e4)? - 0.6257).abs() < 1e-4);
/// assert!(thin_hole_at_low_speed(10.0).is_err());
/// # Ok::<(), fuelwright::flow::discharge::DischargeError>(())
/// ```
pub fn thin_hole_at_low_speed(re: f64) -> Result<f64, DischargeError> {
    let re = LOW_SPEED.inside("Reynolds number", re, 100.0, f64::MAX)?;
    Ok((0.5885 + 372.0 / re).min(LARGEST_JOBSON_CONTRACTION))
}

/// Coefficient of a thin sharp hole that passes a gas, by Jobson's momentum balance.
///
/// With `f = 1/C_i − 1/(2 C_i²)`, `r = p2/p1`, `r* = (2/(γ+1))^(γ/(γ−1))`:
/// * `r ≥ r*`: `C_d = (1 − √(1 − 4 r^(2/γ) (1−r) f / Kn²)) / (2 f r^(1/γ))`,
///   `Kn² = 2γ/(γ−1) r^(2/γ) (1 − r^((γ−1)/γ))`
/// * `r < r*`: `C_d = (b − √(b² − 4 f K*² (1−r))) / (2 f K*²)`, `b = (γ+1) r* − r`,
///   `K*² = γ (2/(γ+1))^((γ+1)/(γ−1))`
///
/// A thin hole has no throat of fixed area: its flow keeps rising after the critical ratio.
/// * `c_i` — coefficient at low speed
/// * `r` — pressure downstream over pressure upstream
/// * `gamma` — isentropic exponent
///
/// **Valid:** sharp edge, thin plate, large space upstream, `0.5 < C_i ≤ 0.65`, `0 ≤ r ≤ 1`,
/// `1 < γ ≤ 5/3`.
/// **Source:** `jobson1955`; its limit `C_d → C_i` for `r → 1` is tested, and so is the published
/// table of `bragg1960`.
///
/// # Errors
/// [`DischargeError::OutOfRange`].
///
/// ```
/// use fuelwright::flow::discharge::thin_hole;
/// assert!((thin_hole(0.60, 0.5, 1.4)? - 0.7454).abs() < 1e-4);
/// # Ok::<(), fuelwright::flow::discharge::DischargeError>(())
/// ```
pub fn thin_hole(c_i: f64, r: f64, gamma: f64) -> Result<f64, DischargeError> {
    let c_i = MODEL.inside(
        "low-speed coefficient",
        c_i,
        0.5,
        LARGEST_JOBSON_CONTRACTION,
    )?;
    let r = MODEL.inside("pressure ratio", r, 0.0, 1.0)?;
    let gamma = MODEL.inside("isentropic exponent", gamma, 1.0 + 1e-6, 5.0 / 3.0 + 1e-9)?;
    if 1.0 - r < 1e-9 {
        return Ok(c_i);
    }
    let f = 1.0 / c_i - 0.5 / (c_i * c_i);
    let r_critical = critical_ratio(gamma);
    if r >= r_critical {
        let contracted = r.powf(1.0 / gamma);
        // Kn² / r^(2/γ), written with expm1 because it vanishes for r → 1
        let kn2 = -2.0 * gamma / (gamma - 1.0) * ((gamma - 1.0) / gamma * r.ln()).exp_m1();
        let under = 1.0 - 4.0 * (1.0 - r) * f / kn2;
        Ok((1.0 - under.max(0.0).sqrt()) / (2.0 * f * contracted))
    } else {
        let b = (gamma + 1.0) * r_critical - r;
        let k2 = gamma * (2.0 / (gamma + 1.0)).powf((gamma + 1.0) / (gamma - 1.0));
        let under = b * b - 4.0 * f * k2 * (1.0 - r);
        Ok((b - under.max(0.0).sqrt()) / (2.0 * f * k2))
    }
}

/// Coefficient of a thin hole of any low-speed coefficient that passes a gas.
///
/// Up to `C_i = 0.65` this is [`thin_hole`]; above, `C_i = 0.65` by [`thin_hole`] plus the
/// difference between the two rows of Bragg's table. The table is for γ = 1.4 and is entered at
/// the pressure ratio that lies as far from its critical ratio as `r` lies from that of the gas.
/// * `c_i` — coefficient at low speed, 0.5 to 1
/// * `r` — pressure downstream over pressure upstream
/// * `gamma` — isentropic exponent
///
/// **Valid:** as [`thin_hole`], `0.5 < C_i ≤ 1`.
/// **Source:** `jobson1955`, `bragg1960`; the shift with γ is our choice.
///
/// # Errors
/// [`DischargeError::OutOfRange`].
pub fn compressible_thin_hole(c_i: f64, r: f64, gamma: f64) -> Result<f64, DischargeError> {
    if c_i <= LARGEST_JOBSON_CONTRACTION {
        return thin_hole(c_i, r, gamma);
    }
    let base = thin_hole(LARGEST_JOBSON_CONTRACTION, r, gamma)?;
    let r_critical = critical_ratio(gamma);
    let r_air = if r >= r_critical {
        1.0 - (1.0 - r) * (1.0 - CRITICAL_RATIO_AIR) / (1.0 - r_critical)
    } else {
        r * CRITICAL_RATIO_AIR / r_critical
    };
    let rise =
        bragg_coefficient(c_i, r_air)? - bragg_coefficient(LARGEST_JOBSON_CONTRACTION, r_air)?;
    Ok((base + rise).clamp(c_i, 1.0))
}

/// `r* = (2/(γ+1))^(γ/(γ−1))`.
pub(super) fn critical_ratio(gamma: f64) -> f64 {
    (2.0 / (gamma + 1.0)).powf(gamma / (gamma - 1.0))
}
