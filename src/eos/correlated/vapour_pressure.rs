//! Vapour pressure of a liquid by correlation: Wagner's 3-6 form and Antoine's.

use crate::fuel::{SourceKey, VapourPressure};

/// Vapour pressure, Pa, by Wagner's equation in its 3-6 form.
///
/// `ln(p/pc) = (a τ + b τ^1.5 + c τ³ + d τ⁶) / (1 - τ)`, `τ = 1 - T/Tc`
///
/// * `coefficients` — a, b, c, d
/// * `t_critical_k`, `p_critical_pa` — critical point of the fit
/// * `t_k` — temperature, at most the critical one; NaN above it
///
/// **Valid:** the range of the fit, commonly from a reduced temperature of 0.5 to the critical point.
/// **Errors:** none; the range is the caller's.
/// **Source:** `mcgarry1983`.
///
/// ```
/// use fuelwright::eos::correlated::vapour_pressure::wagner36;
/// // propane at 15 °C
/// let p_pa = wagner36(&[-6.67833, 1.15437, -1.64984, -2.70017], 369.82, 4_255_760.0, 288.15);
/// assert!((p_pa / 7.3051e5 - 1.0).abs() < 1e-4);
/// ```
pub fn wagner36(coefficients: &[f64; 4], t_critical_k: f64, p_critical_pa: f64, t_k: f64) -> f64 {
    let [a, b, c, d] = coefficients;
    let tau = 1.0 - t_k / t_critical_k;
    let top = a * tau + b * tau.powf(1.5) + c * tau.powi(3) + d * tau.powi(6);
    p_critical_pa * (top / (1.0 - tau)).exp()
}

/// Vapour pressure, Pa, by Antoine's equation `log10(p/Pa) = a - b/(T + c)`, T in K.
///
/// **Valid:** the range of the fit.
/// **Errors:** none; the range is the caller's.
/// **Source:** the key beside the coefficients.
pub fn antoine(a: f64, b: f64, c: f64, t_k: f64) -> f64 {
    10.0_f64.powf(a - b / (t_k + c))
}

impl VapourPressure {
    /// Vapour pressure, Pa, at `t_k` in K; the range is the caller's.
    pub fn at(&self, t_k: f64) -> f64 {
        match self {
            Self::Wagner36 {
                a,
                b,
                c,
                d,
                t_critical_k,
                p_critical_pa,
                ..
            } => wagner36(&[*a, *b, *c, *d], *t_critical_k, *p_critical_pa, t_k),
            Self::Antoine { a, b, c, .. } => antoine(*a, *b, *c, t_k),
        }
    }
    /// Relative uncertainty, as a fraction.
    pub fn uncertainty(&self) -> f64 {
        match self {
            Self::Wagner36 { uncertainty, .. } | Self::Antoine { uncertainty, .. } => *uncertainty,
        }
    }
    /// Where the coefficients are from.
    pub fn source(&self) -> &SourceKey {
        match self {
            Self::Wagner36 { source, .. } | Self::Antoine { source, .. } => source,
        }
    }
}
