//! A smooth function of many draws, fitted once and read many times.

use rayon::prelude::*;

/// `y = exp(a + Σ b_j s_j + Σ c_j s_j² + Σ d_jk s_j s_k)` with `s = 2u − 1`, from the ends of the draws `u`, and corners
/// where pairs are asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Surface {
    middle: f64,
    straight: Vec<f64>,
    bent: Vec<f64>,
    pairs: Vec<(usize, usize, f64)>,
}

impl Surface {
    /// Fits a positive function of `inputs` draws without pairs: its middle and both ends of each draw, which
    /// the surface meets exactly.
    ///
    /// **Source:** quadratic response surface, common practice (a textbook method).
    ///
    /// # Errors
    /// The first that the function gives, in the order of the points.
    pub fn fit<E: Send>(
        inputs: usize,
        function: impl Fn(&[f64]) -> Result<f64, E> + Sync,
    ) -> Result<Self, E> {
        let mut points = vec![vec![]];
        for j in 0..inputs {
            points.extend([vec![(j, 0.0)], vec![(j, 1.0)]]);
        }
        let ln = logarithms(inputs, &points, function)?;
        let ends = || ln[1..].chunks(2);
        Ok(Self {
            middle: ln[0],
            straight: ends().map(|e| (e[1] - e[0]) / 2.0).collect(),
            bent: ends().map(|e| f64::midpoint(e[0], e[1]) - ln[0]).collect(),
            pairs: Vec::new(),
        })
    }

    /// The same with all pairs of the inputs that move it most: two corners of each, met in the mean.
    ///
    /// # Errors
    /// As [`Self::fit`].
    pub fn with_pairs<E: Send>(
        mut self,
        most: usize,
        function: impl Fn(&[f64]) -> Result<f64, E> + Sync,
    ) -> Result<Self, E> {
        let inputs = self.straight.len();
        let mut order: Vec<usize> = (0..inputs).collect();
        order.sort_by(|&j, &k| self.straight[k].abs().total_cmp(&self.straight[j].abs()));
        order.truncate(most);
        let couples: Vec<(usize, usize)> = order
            .iter()
            .enumerate()
            .flat_map(|(i, &j)| order[i + 1..].iter().map(move |&k| (j, k)))
            .collect();
        let corners = couples.iter();
        let points: Vec<_> = corners
            .flat_map(|&(j, k)| [0.0, 1.0].map(|u| vec![(j, u), (k, u)]))
            .collect();
        let ln = logarithms(inputs, &points, function)?;
        let (middle, bent) = (self.middle, &self.bent);
        self.pairs = couples
            .iter()
            .zip(ln.chunks(2))
            .map(|(&(j, k), at)| {
                (
                    j,
                    k,
                    f64::midpoint(at[0], at[1]) - middle - bent[j] - bent[k],
                )
            })
            .collect();
        Ok(self)
    }

    /// The function at a point of the draws.
    pub fn at(&self, u: &[f64]) -> f64 {
        let s = |j: usize| 2.0 * u[j] - 1.0;
        let alone: f64 = (0..u.len())
            .map(|j| s(j) * (self.straight[j] + self.bent[j] * s(j)))
            .sum();
        let joint: f64 = self.pairs.iter().map(|&(j, k, d)| d * s(j) * s(k)).sum();
        (self.middle + alone + joint).exp()
    }
}

/// Logarithms of a function where some of its draws are moved from the middle.
fn logarithms<E: Send>(
    inputs: usize,
    points: &[Vec<(usize, f64)>],
    function: impl Fn(&[f64]) -> Result<f64, E> + Sync,
) -> Result<Vec<f64>, E> {
    let of = |moved: &Vec<(usize, f64)>| {
        let mut u = vec![0.5; inputs];
        for &(j, value) in moved {
            u[j] = value;
        }
        function(&u).map(f64::ln)
    };
    let values: Vec<Result<f64, E>> = points.par_iter().map(of).collect();
    values.into_iter().collect()
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
        let surface = Surface::fit(3, f).and_then(|s| s.with_pairs(3, f));
        let surface = surface.expect("cannot fail");
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
