//! Small dense systems of linear equations, on the stack.

/// A pivot below this share of its scaled diagonal counts as zero: the equation adds nothing.
pub const SMALLEST_PIVOT: f64 = 1e-15;

/// Solves `A x = b` for `R` right-hand sides at once: Gaussian elimination with partial pivoting.
///
/// Rows and columns are first scaled by `1/√|a_ii|`, so that unknowns of very different size do not
/// spoil the choice of pivots. An equation that turns out to depend on the others is left out and
/// its unknown set to zero, so that a consistent but rank-deficient system gets one of its solutions.
///
/// * `a` — the matrix by rows; overwritten
/// * `b` — right-hand sides, one array each; overwritten by the solutions
///
/// **Valid:** finite entries; `N` up to a dozen or so (cost grows as `N³`).
/// **Source:** textbook elimination, no single source.
///
/// ```
/// use fuelwright::numerics::linear::solve;
/// let mut a = [[2.0, 1.0], [1.0, 3.0]];
/// let mut b = [[3.0, 5.0]];
/// solve(&mut a, &mut b);
/// assert!((b[0][0] - 0.8).abs() < 1e-12 && (b[0][1] - 1.4).abs() < 1e-12);
/// ```
pub fn solve<const N: usize, const R: usize>(a: &mut [[f64; N]; N], b: &mut [[f64; N]; R]) {
    let mut scale = [1.0; N];
    for i in 0..N {
        let d = a[i][i].abs();
        if d > 0.0 {
            scale[i] = 1.0 / d.sqrt();
        }
    }
    for i in 0..N {
        for j in 0..N {
            a[i][j] *= scale[i] * scale[j];
        }
        for rhs in b.iter_mut() {
            rhs[i] *= scale[i];
        }
    }
    let mut dependent = [false; N];
    for k in 0..N {
        let best = (k..N)
            .max_by(|&i, &j| a[i][k].abs().total_cmp(&a[j][k].abs()))
            .unwrap_or(k);
        if a[best][k].abs() < SMALLEST_PIVOT {
            dependent[k] = true;
            continue;
        }
        a.swap(k, best);
        for rhs in b.iter_mut() {
            rhs.swap(k, best);
        }
        let row = a[k];
        for i in k + 1..N {
            let factor = a[i][k] / row[k];
            for j in k..N {
                a[i][j] -= factor * row[j];
            }
            for rhs in b.iter_mut() {
                rhs[i] -= factor * rhs[k];
            }
        }
    }
    for rhs in b.iter_mut() {
        for k in (0..N).rev() {
            let known: f64 = (k + 1..N).map(|j| a[k][j] * rhs[j]).sum();
            rhs[k] = if dependent[k] {
                0.0
            } else {
                (rhs[k] - known) / a[k][k]
            };
        }
        for (x, s) in rhs.iter_mut().zip(scale) {
            *x *= s;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::solve;
    use proptest::prelude::*;

    #[test]
    fn a_dependent_equation_does_not_spoil_the_others() {
        let mut a = [[1.0, 1.0, 0.0], [1.0, 1.0, 0.0], [0.0, 0.0, 2.0]];
        let mut b = [[3.0, 3.0, 8.0]];
        solve(&mut a, &mut b);
        assert!((b[0][0] + b[0][1] - 3.0).abs() < 1e-12);
        assert!((b[0][2] - 4.0).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn solutions_satisfy_their_equations(
            entries in prop::array::uniform16(-1.0..1.0_f64),
            x in prop::array::uniform4(-1e3..1e3_f64),
            magnitude in prop::array::uniform4(-6.0..6.0_f64),
        ) {
            // symmetric, diagonally dominant, with unknowns of very different size
            let mut a = [[0.0; 4]; 4];
            for i in 0..4 {
                for j in 0..4 {
                    let s = 10_f64.powf(magnitude[i] + magnitude[j]);
                    a[i][j] = s * if i == j { 5.0 } else { entries[4 * i.min(j) + i.max(j)] };
                }
            }
            let x: Vec<f64> = x.iter().zip(magnitude).map(|(x, m)| x / 10_f64.powf(m)).collect();
            let mut b = [[0.0; 4]];
            for i in 0..4 {
                b[0][i] = (0..4).map(|j| a[i][j] * x[j]).sum();
            }
            solve(&mut a, &mut b);
            for i in 0..4 {
                let size = 1e3 / 10_f64.powf(magnitude[i]);
                prop_assert!((b[0][i] - x[i]).abs() < 1e-10 * size, "{} {}", b[0][i], x[i]);
            }
        }
    }
}
