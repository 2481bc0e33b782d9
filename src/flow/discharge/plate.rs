//! Orifice plates in a pipe by ISO 5167-2.

use super::{DischargeError, Model};
use crate::quantity::Length;

const MODEL: Model = Model {
    name: "orifice plate",
    source_key: "iso5167",
};

/// Where the pressure taps of an orifice plate sit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Taps {
    /// In the corners.
    Corner,
    /// One pipe diameter upstream, half a diameter downstream.
    DiameterAndHalf,
    /// 25.4 mm from each face.
    Flange,
}

/// Discharge coefficient of an orifice plate (Reader-Harris/Gallagher equation).
///
/// * `A = (19000β/Re)^0.8`, `M = 2 L2/(1−β)`
/// * body: `0.5961 + 0.0261β² − 0.216β⁸ + 0.000521(10⁶β/Re)^0.7 + (0.0188 + 0.0063A)β^3.5(10⁶/Re)^0.3`
/// * taps: `(0.043 + 0.080e^(−10 L1) − 0.123e^(−7 L1))(1 − 0.11A)β⁴/(1−β⁴) − 0.031(M − 0.8M^1.1)β^1.3`
/// * pipes under 71.12 mm: `0.011(0.75−β)(2.8 − D/25.4 mm)`
///
/// `C` is their sum.
/// * `beta` — orifice diameter over pipe diameter
/// * `pipe_diameter` — pipe diameter D
/// * `re` — Reynolds number of the pipe
/// * `taps` — place of the taps
///
/// **Valid:** D 50 mm to 1 m, orifice 12.5 mm or more, β 0.1 to 0.75, Re at least 5000 (corner and
/// D taps: 16000 β² past β 0.56; flange taps: 170 β² D/mm if more): **not for jets**.
/// Uncertainty 0.5 % (β 0.2 to 0.6).
/// **Source:** `iso5167`, coefficients and limits as carried by the fluids library.
///
/// # Errors
/// [`DischargeError::OutOfRange`].
///
/// ```
/// use fuelwright::flow::discharge::{Taps, orifice_plate};
/// use fuelwright::quantity::metres;
/// assert!((orifice_plate(0.5, metres(0.1), 1.0e5, Taps::Corner)? - 0.60687).abs() < 1e-5);
/// # Ok::<(), fuelwright::flow::discharge::DischargeError>(())
/// ```
pub fn orifice_plate(
    beta: f64,
    pipe_diameter: Length,
    re: f64,
    taps: Taps,
) -> Result<f64, DischargeError> {
    let beta = MODEL.inside("diameter ratio", beta, 0.1, 0.75)?;
    let d_m = MODEL.inside("pipe diameter in metres", pipe_diameter.value, 0.05, 1.0)?;
    MODEL.inside("orifice diameter in metres", beta * d_m, 0.0125, 0.75)?;
    let least = match taps {
        Taps::Corner | Taps::DiameterAndHalf if beta <= 0.56 => 5000.0,
        Taps::Corner | Taps::DiameterAndHalf => 16_000.0 * beta * beta,
        Taps::Flange => 5000_f64.max(170.0 * beta * beta * d_m * 1e3),
    };
    let re = MODEL.inside("Reynolds number", re, least, 1e8)?;
    Ok(reader_harris_gallagher(beta, d_m, re, taps))
}

/// The equation of [`orifice_plate`] without its limits, for searches that end inside them.
pub(crate) fn reader_harris_gallagher(beta: f64, d_m: f64, re: f64, taps: Taps) -> f64 {
    let (l1, l2) = match taps {
        Taps::Corner => (0.0, 0.0),
        Taps::DiameterAndHalf => (1.0, 0.47),
        Taps::Flange => (0.0254 / d_m, 0.0254 / d_m),
    };
    let a = (19_000.0 * beta / re).powf(0.8);
    let m = 2.0 * l2 / (1.0 - beta);
    let beta4 = beta.powi(4);
    let body = 0.5961 + 0.0261 * beta.powi(2) - 0.216 * beta.powi(8)
        + 0.000_521 * (1e6 * beta / re).powf(0.7)
        + (0.0188 + 0.0063 * a) * beta.powf(3.5) * (1e6 / re).powf(0.3);
    let upstream =
        (0.043 + 0.080 * (-10.0 * l1).exp() - 0.123 * (-7.0 * l1).exp()) * (1.0 - 0.11 * a) * beta4
            / (1.0 - beta4);
    let downstream = -0.031 * (m - 0.8 * m.powf(1.1)) * beta.powf(1.3);
    let small_pipe = if d_m < 0.071_12 {
        0.011 * (0.75 - beta) * (2.8 - d_m / 0.0254)
    } else {
        0.0
    };
    body + upstream + downstream + small_pipe
}

/// Expansibility factor of an orifice plate.
///
/// `ε = 1 − (0.351 + 0.256β⁴ + 0.93β⁸)(1 − (p2/p1)^(1/κ))`
/// * `beta` — orifice diameter over pipe diameter
/// * `r` — pressure ratio p2/p1
/// * `kappa` — isentropic exponent
///
/// **Valid:** β 0.1 to 0.75, `p2/p1 ≥ 0.75`, κ above 1.
/// **Source:** `iso5167`.
///
/// # Errors
/// [`DischargeError::OutOfRange`].
pub fn plate_expansibility(beta: f64, r: f64, kappa: f64) -> Result<f64, DischargeError> {
    let beta = MODEL.inside("diameter ratio", beta, 0.1, 0.75)?;
    let r = MODEL.inside("pressure ratio", r, 0.75, 1.0)?;
    let kappa = MODEL.inside("isentropic exponent", kappa, 1.0 + 1e-6, 100.0)?;
    Ok(1.0 - (0.351 + 0.256 * beta.powi(4) + 0.93 * beta.powi(8)) * (1.0 - r.powf(1.0 / kappa)))
}
