//! The polynomial through points.

/// Coefficients, lowest power first, of the polynomial through values at points: Newton's divided differences, multiplied out.
///
/// **Valid:** points that differ; a dozen at most. **Source:** textbook, no single source.
///
/// ```
/// use fuelwright::numerics::polynomial::through;
/// let [c, b, a] = through(&[0.0, 1.0, 3.0], [2.0, 3.0, 11.0]);
/// assert!((c - 2.0).abs() < 1e-14 && b.abs() < 1e-14 && (a - 1.0).abs() < 1e-14);
/// ```
pub fn through<const N: usize>(points: &[f64; N], mut values: [f64; N]) -> [f64; N] {
    for order in 1..N {
        for k in (order..N).rev() {
            values[k] = (values[k] - values[k - 1]) / (points[k] - points[k - order]);
        }
    }
    let mut powers = [0.0; N];
    for (value, point) in values.iter().zip(points).rev() {
        for j in (1..N).rev() {
            powers[j] = powers[j - 1] - point * powers[j];
        }
        powers[0] = value - point * powers[0];
    }
    powers
}
