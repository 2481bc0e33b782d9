//! Kinematic viscosity of a petroleum liquid between two measured points: Walther's line, ASTM D341.

use crate::fuel::WaltherLine;

/// `Z = ν + 0.7 + exp(-1.47 - 1.84 ν - 0.51 ν²)`, ν in mm²/s.
fn z_of(nu_mm2_s: f64) -> f64 {
    nu_mm2_s + 0.7 + (-1.47 - 1.84 * nu_mm2_s - 0.51 * nu_mm2_s * nu_mm2_s).exp()
}

/// `log10 log10 Z` of a kinematic viscosity, the measure that blends add; not finite for what is too thin.
pub(super) fn log_log_z(nu_mm2_s: f64) -> f64 {
    z_of(nu_mm2_s).log10().log10()
}

/// Line through two measured viscosities: intercept `A` and slope `B` of
/// `log10 log10 Z = A - B log10 T`, `Z = ν + 0.7 + exp(-1.47 - 1.84 ν - 0.51 ν²)`.
///
/// * `(t_k, nu_mm2_s)` — temperature, K, and kinematic viscosity, mm²/s, of each point
///
/// **Valid:** 0.21 to 2e7 mm²/s and from a liquid's wax point to where it boils; between the points.
/// **Errors:** none; NaN or infinity for points at one temperature.
/// **Source:** `astm-d341` (form from memory).
///
/// ```
/// use fuelwright::eos::correlated::walther::{line_through, kinematic_viscosity};
/// let (a, b) = line_through((253.15, 4.50), (313.15, 1.30));
/// assert!((kinematic_viscosity(a, b, 293.15) * 1e6 - 1.785).abs() < 0.004);
/// ```
pub fn line_through(first: (f64, f64), second: (f64, f64)) -> (f64, f64) {
    let point = |(t_k, nu): (f64, f64)| (t_k.log10(), log_log_z(nu));
    let ((x1, y1), (x2, y2)) = (point(first), point(second));
    let slope = (y1 - y2) / (x2 - x1);
    (y1 + slope * x1, slope)
}

/// Kinematic viscosity, m²/s, on the line `log10 log10 Z = a - b log10 T`:
/// `ν = Z' - exp(-0.7487 - 3.295 Z' + 0.6119 Z'² - 0.3193 Z'³)` mm²/s, `Z' = Z - 0.7`.
///
/// * `a`, `b` — intercept and slope
/// * `t_k` — temperature, K
///
/// **Valid:** as [`line_through`].
/// **Errors:** none; the range is the caller's.
/// **Source:** `astm-d341` (form from memory).
pub fn kinematic_viscosity(a: f64, b: f64, t_k: f64) -> f64 {
    let z = 10.0_f64.powf(10.0_f64.powf(a - b * t_k.log10())) - 0.7;
    let correction = (-0.7487 - 3.295 * z + 0.6119 * z * z - 0.3193 * z.powi(3)).exp();
    (z - correction) * 1e-6
}

impl WaltherLine {
    /// Kinematic viscosity, m²/s, at `t_k` in K; the range is the caller's.
    pub fn kinematic_viscosity_m2_s(&self, t_k: f64) -> f64 {
        kinematic_viscosity(self.a, self.b, t_k)
    }
}
