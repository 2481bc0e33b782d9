//! Quasi-Newton iterations: Broyden's update of an inverse Jacobian.

use nalgebra::DMatrix;

/// Broyden's first update of an inverse Jacobian `B` after a step `s` that changed the residuals by `d`:
/// `B += (s - B d) (sᵀ B) / (sᵀ B d)`. A step too skew to learn from changes nothing.
///
/// **Source:** `broyden1965`.
pub fn update_inverse(inverse: &mut DMatrix<f64>, s: &[f64], d: &[f64]) {
    let n = s.len();
    let bd: Vec<f64> = (0..n)
        .map(|a| (0..n).map(|b| inverse[(a, b)] * d[b]).sum())
        .collect();
    let sb: Vec<f64> = (0..n)
        .map(|b| (0..n).map(|a| s[a] * inverse[(a, b)]).sum())
        .collect();
    let scale: f64 = (0..n).map(|a| s[a] * bd[a]).sum();
    let whole: f64 = s.iter().map(|s| s * s).sum();
    // a step too small or too skew to learn from
    if scale.abs() <= 1e-2 * whole || !scale.is_finite() {
        return;
    }
    for a in 0..n {
        for b in 0..n {
            inverse[(a, b)] += (s[a] - bd[a]) * sb[b] / scale;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // The secant condition B d = s, which defines the update
    #[test]
    fn the_updated_inverse_reproduces_the_last_step() {
        let mut b = DMatrix::from_row_slice(2, 2, &[1.0, 0.2, -0.1, 0.5]);
        let (s, d) = ([0.3, -0.2], [0.25, -0.5]);
        update_inverse(&mut b, &s, &d);
        for row in 0..2 {
            let bd = b[(row, 0)] * d[0] + b[(row, 1)] * d[1];
            assert!((bd - s[row]).abs() < 1e-14);
        }
    }

    #[test]
    fn a_step_that_changed_nothing_teaches_nothing() {
        let mut b = DMatrix::identity(2, 2);
        update_inverse(&mut b, &[0.1, 0.1], &[0.0, 0.0]);
        assert_eq!(b, DMatrix::identity(2, 2));
    }
}
