//! A smooth function of many draws, fitted once and read many times.

use rayon::prelude::*;

/// `y = exp(a + Σ b_j s_j + Σ c_j s_j² + Σ d_jk s_j s_k)` with `s = 2u − 1`, from the ends and corners of the
/// draws `u`.
#[derive(Debug, Clone, PartialEq)]
pub struct Surface {
    middle: f64,
    straight: Vec<f64>,
    bent: Vec<f64>,
    /// Pairs in the order (0,1), (0,2), ... (1,2), ...
    pairs: Vec<f64>,
}

impl Surface {
    /// Fits a positive function of `inputs` draws: its middle, both ends of each draw, and two corners of
    /// each pair, which the surface meets exactly or, for the corners, in the mean.
    ///
    /// **Source:** quadratic response surface, common practice (a textbook method).
    ///
    /// # Errors
    /// The first that the function gives, in the order of the points.
    pub fn fit<E: Send>(
        inputs: usize,
        function: impl Fn(&[f64]) -> Result<f64, E> + Sync,
    ) -> Result<Self, E> {
        let middle = vec![0.5; inputs];
        let with = |at: &[(usize, f64)]| {
            let mut u = middle.clone();
            for &(j, value) in at {
                u[j] = value;
            }
            u
        };
        let mut points = vec![middle.clone()];
        for j in 0..inputs {
            points.extend([with(&[(j, 0.0)]), with(&[(j, 1.0)])]);
        }
        let couples: Vec<(usize, usize)> = (0..inputs)
            .flat_map(|j| (j + 1..inputs).map(move |k| (j, k)))
            .collect();
        for &(j, k) in &couples {
            points.extend([0.0, 1.0].map(|u| with(&[(j, u), (k, u)])));
        }
        let values: Vec<Result<f64, E>> = points.par_iter().map(|u| function(u)).collect();
        let values: Vec<f64> = values.into_iter().collect::<Result<_, E>>()?;
        let ln = |i: usize| values[i].ln();
        let a = ln(0);
        let straight: Vec<f64> = (0..inputs)
            .map(|j| (ln(2 + 2 * j) - ln(1 + 2 * j)) / 2.0)
            .collect();
        let bent: Vec<f64> = (0..inputs)
            .map(|j| f64::midpoint(ln(2 + 2 * j), ln(1 + 2 * j)) - a)
            .collect();
        let first = 1 + 2 * inputs;
        let pairs = couples
            .iter()
            .enumerate()
            .map(|(i, &(j, k))| {
                f64::midpoint(ln(first + 2 * i), ln(first + 2 * i + 1)) - a - bent[j] - bent[k]
            })
            .collect();
        Ok(Self {
            middle: a,
            straight,
            bent,
            pairs,
        })
    }

    /// The function at a point of the draws.
    pub fn at(&self, u: &[f64]) -> f64 {
        let mut sum = self.middle;
        let mut pair = self.pairs.iter();
        for (j, u_j) in u.iter().enumerate() {
            let s = 2.0 * u_j - 1.0;
            sum += s * (self.straight[j] + self.bent[j] * s);
            for u_k in &u[j + 1..] {
                sum += pair.next().map_or(0.0, |d| d * s * (2.0 * u_k - 1.0));
            }
        }
        sum.exp()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::convert::Infallible;

    #[test]
    fn what_is_quadratic_in_its_logarithm_is_met_exactly() {
        let f = |u: &[f64]| -> Result<f64, Infallible> {
            let s: Vec<f64> = u.iter().map(|u| 2.0 * u - 1.0).collect();
            let ln = 0.3 + 0.1 * s[0] - 0.2 * s[1] + 0.05 * s[2] + 0.02 * s[0] * s[0]
                - 0.03 * s[1] * s[1]
                + 0.04 * s[0] * s[1]
                - 0.01 * s[1] * s[2];
            Ok(ln.exp())
        };
        let surface = Surface::fit(3, f).expect("cannot fail");
        for u in [[0.1, 0.9, 0.4], [0.77, 0.2, 0.0], [1.0, 1.0, 1.0]] {
            let want = f(&u).expect("cannot fail");
            assert!((surface.at(&u) / want - 1.0).abs() < 1e-13);
        }
    }

    #[test]
    fn a_failure_is_handed_on() {
        let f = |u: &[f64]| if u[0] > 0.9 { Err("too far") } else { Ok(1.0) };
        assert_eq!(Surface::fit(2, f), Err("too far"));
    }

    #[test]
    fn a_function_of_nothing_is_its_one_value() {
        let surface = Surface::fit(0, |_| Ok::<_, Infallible>(4.0)).expect("cannot fail");
        assert!((surface.at(&[]) - 4.0).abs() < 1e-15);
    }
}
