//! Student's t, and the degrees of freedom of a combined uncertainty.

use super::root::brent;
use std::convert::Infallible;

/// Degrees of freedom from which t stays as it is: 1.2e-4 above that of the normal distribution.
const MANY: u32 = 10_000;
/// Largest t that is sought; with one degree of freedom beyond 99.999 %.
const MOST: f64 = 1e6;

/// Probability that Student's t lies within `±t`, with `nu` degrees of freedom.
///
/// With `θ = atan(t/√ν)`: for even ν `sin θ (1 + ½cos²θ + (1·3)/(2·4) cos⁴θ + …)` up to `cos^(ν−2)`, for odd ν
/// `(2/π)(θ + sin θ (cos θ + ⅔cos³θ + …))` up to the same.
///
/// **Valid:** `t` of zero or more, `nu` from 1; beyond 10 000 as for 10 000.
/// **Source:** Abramowitz and Stegun, 26.7.3 and 26.7.4, from memory; held to tables of t.
///
/// ```
/// use fuelwright::numerics::student::within;
/// // one degree of freedom is Cauchy's distribution: half of it lies within one
/// assert!((within(1.0, 1) - 0.5).abs() < 1e-12);
/// ```
pub fn within(t: f64, nu: u32) -> f64 {
    let nu = nu.clamp(1, MANY);
    let theta = (t / f64::from(nu).sqrt()).atan();
    let (sin, cos) = theta.sin_cos();
    let odd = nu % 2 == 1;
    let (mut term, mut sum, mut k) = if odd { (cos, 0.0, 3) } else { (1.0, 0.0, 2) };
    // terms in cos^(k − 2)
    while k <= nu {
        sum += term;
        let k_f = f64::from(k);
        term *= (k_f - 1.0) / k_f * cos * cos;
        k += 2;
    }
    if odd {
        2.0 / std::f64::consts::PI * (theta + sin * sum)
    } else {
        sin * sum
    }
}

/// The `t` within which Student's t lies with a probability.
///
/// **Valid:** `coverage` from 0 to 0.99999. **Source:** as [`within`].
///
/// ```
/// use fuelwright::numerics::student::quantile;
/// assert!((quantile(0.95, 10) - 2.228).abs() < 5e-4);
/// ```
pub fn quantile(coverage: f64, nu: u32) -> f64 {
    let off = |t: f64| Ok::<_, Infallible>(within(t, nu) - coverage);
    brent(off, 0.0, MOST, 1e-12).unwrap_or(MOST)
}

/// Effective degrees of freedom of a sum of independent contributions: `u⁴ / Σ(uᵢ⁴/νᵢ)`, cut down to a whole number.
///
/// * `parts` — standard uncertainty that each contributes, and its degrees of freedom (infinite: known for certain)
///
/// **Valid:** normal, independent contributions. **Source:** `jcgm100`, G.4.1 (Welch and Satterthwaite) and G.4.2.
pub fn effective_degrees(parts: &[(f64, f64)]) -> u32 {
    let square: f64 = parts.iter().map(|(u, _)| u * u).sum();
    let sum: f64 = parts.iter().map(|(u, nu)| u.powi(4) / nu).sum();
    let nu = (square * square / sum).min(f64::from(MANY));
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // within 1 and MANY
    let whole = nu.max(1.0).floor() as u32;
    whole
}
