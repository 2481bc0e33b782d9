//! What drives a spread: the share of a result's variance that one input explains by itself.

use super::sampling::FEWEST;

/// Blocks left out in turn for the error of a share.
const BLOCKS: usize = 20;
/// Samples in a bin at least; three numbers are fitted in each.
const BIN_SAMPLES: usize = 25;
/// Most bins.
const MOST_BINS: usize = 16;
/// Deviation that rounding gives to a result of about one.
const ROUNDING: f64 = 1e-12;

/// First-order share of variance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// `Var(E[y|x]) / Var(y)`; about 0 for an input without effect, by chance also just below.
    pub value: f64,
    /// Its standard error.
    pub error: f64,
}

/// Sums of the samples of one bin in one block.
#[derive(Debug, Clone, Copy, Default)]
struct Sums {
    n: f64,
    x: f64,
    y: f64,
    xx: f64,
    xy: f64,
    yy: f64,
}

impl Sums {
    fn add(&mut self, x: f64, y: f64) {
        self.n += 1.0;
        self.x += x;
        self.y += y;
        self.xx += x * x;
        self.xy += x * y;
        self.yy += y * y;
    }
    fn plus(&self, o: &Self, sign: f64) -> Self {
        Self {
            n: self.n + sign * o.n,
            x: self.x + sign * o.x,
            y: self.y + sign * o.y,
            xx: self.xx + sign * o.xx,
            xy: self.xy + sign * o.xy,
            yy: self.yy + sign * o.yy,
        }
    }
    /// Squares about the mean.
    fn total(&self) -> f64 {
        (self.yy - self.y * self.y / self.n).max(0.0)
    }
    /// Squares about the straight line of best fit.
    fn about_line(&self) -> f64 {
        let xx = self.xx - self.x * self.x / self.n;
        let xy = self.xy - self.x * self.y / self.n;
        let explained = if xx > 0.0 { xy * xy / xx } else { 0.0 };
        (self.total() - explained).max(0.0)
    }
}

/// Shares of the variance of a result that each of its inputs explains by itself, from samples in which all vary at once.
///
/// Each input is evenly drawn from 0 to 1, in `m` bins of equal width; `E[y|x]` is a straight line in each.
/// `S = 1 − (SS_in/(n − 2m)) / (SS_all/(n − 1))`: the squared correlation ratio, freed of its bias by the
/// degrees of freedom that the lines take. Error: jackknife over 20 blocks of samples.
///
/// **Valid:** independent inputs, evenly drawn. **Source:** correlation ratio `pearson1905`, its correction
/// `kelley1935`; first-order index `sobol1993`; jackknife over blocks, common practice.
///
/// ```
/// use fuelwright::tolerance::{Sampling, Shares};
/// let sampling = Sampling::new(5000, 1)?;
/// let draws = sampling.run(|d| [d.next(), d.next()], &mut |_| {});
/// let mut shares = Shares::new(2, draws.len());
/// draws.iter().enumerate().for_each(|(i, x)| shares.add(i, x, 2.0 * x[0] + x[1]));
/// let s = shares.of(0).expect("there is a spread");
/// assert!((s.value - 4.0 / 5.0).abs() < 4.0 * s.error); // 2²/(2² + 1²)
/// # Ok::<(), fuelwright::tolerance::SamplingError>(())
/// ```
#[derive(Debug, Clone)]
pub struct Shares {
    bins: usize,
    count: usize,
    /// Of each input.
    sums: Vec<Box<[[Sums; MOST_BINS]; BLOCKS]>>,
}

impl Shares {
    /// No samples yet, of that many to come.
    pub fn new(inputs: usize, samples: usize) -> Self {
        Self {
            bins: (samples / BIN_SAMPLES).clamp(1, MOST_BINS),
            count: 0,
            sums: vec![Box::new([[Sums::default(); MOST_BINS]; BLOCKS]); inputs],
        }
    }

    /// Adds a sample by its number: the draws of the inputs, and the result.
    ///
    /// The result may be shifted and scaled; near zero on the mean it keeps its digits.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0 to 1, by the caller
    pub fn add(&mut self, sample: usize, draws: &[f64], result: f64) {
        self.count += 1;
        for (sums, u) in self.sums.iter_mut().zip(draws) {
            let bin = ((u * self.bins as f64) as usize).min(self.bins - 1);
            sums[sample % BLOCKS][bin].add(u - 0.5, result);
        }
    }

    /// Share of an input; `None` where it cannot be said: under 100 samples, or no spread in the result.
    pub fn of(&self, input: usize) -> Option<Share> {
        if self.count < FEWEST {
            return None;
        }
        let sums = &self.sums[input];
        let all = sums
            .iter()
            .fold([Sums::default(); MOST_BINS], |mut all, block| {
                for (a, b) in all.iter_mut().zip(block) {
                    *a = a.plus(b, 1.0);
                }
                all
            });
        let value = explained(&all[..self.bins])?;
        let mut without = Vec::with_capacity(BLOCKS);
        for block in sums.iter() {
            let mut rest = all;
            for (r, b) in rest.iter_mut().zip(block) {
                *r = r.plus(b, -1.0);
            }
            without.push(explained(&rest[..self.bins])?);
        }
        let blocks = BLOCKS as f64;
        let mean = without.iter().sum::<f64>() / blocks;
        let squares: f64 = without.iter().map(|v| (v - mean).powi(2)).sum();
        Some(Share {
            value,
            error: ((blocks - 1.0) / blocks * squares).sqrt(),
        })
    }
}

fn explained(bins: &[Sums]) -> Option<f64> {
    let filled = || bins.iter().filter(|b| b.n > 1.5);
    let all = filled().fold(Sums::default(), |all, b| all.plus(b, 1.0));
    let inside: f64 = filled().map(Sums::about_line).sum();
    let free = all.n - 2.0 * filled().count() as f64;
    // what rounding leaves of a result that does not vary is no spread
    let spread = all.total() > all.n * ROUNDING * ROUNDING;
    (free > 0.0 && spread).then(|| 1.0 - (inside / free) / (all.total() / (all.n - 1.0)))
}

#[cfg(test)]
mod tests {
    use super::super::Sampling;
    use super::*;
    use std::f64::consts::PI;

    /// Even from −1 to 1.
    fn even(u: f64) -> f64 {
        2.0 * u - 1.0
    }

    /// Of a model of draws from −1 to 1.
    fn shares<const K: usize>(
        n: usize,
        seed: u64,
        model: impl Fn(&[f64; K]) -> f64 + Sync,
    ) -> [Share; K] {
        let sampling = Sampling::new(n, seed).expect("in range");
        let samples = sampling.run(
            |d| {
                let u: [f64; K] = std::array::from_fn(|_| d.next());
                (u, model(&u.map(even)))
            },
            &mut |_| {},
        );
        let mut shares = Shares::new(K, n);
        for (i, (u, y)) in samples.iter().enumerate() {
            shares.add(i, u, *y);
        }
        std::array::from_fn(|k| shares.of(k).expect("there is a spread"))
    }

    #[test]
    fn shares_of_a_sum_are_the_squares_of_its_weights() {
        // y = Σ a x with all x alike: S_i = a_i²/Σa², by the definition of variance
        let a = [3.0, 2.0, 1.0, 0.0];
        let total: f64 = a.iter().map(|a| a * a).sum();
        for seed in 0..5 {
            let found = shares(20_000, seed, |x: &[f64; 4]| {
                x.iter().zip(a).map(|(x, a)| a * x).sum()
            });
            for (s, a) in found.iter().zip(a) {
                let off = (s.value - a * a / total).abs();
                // four standard errors; that of a null effect is itself rough, so a floor of 0.002
                assert!(
                    off < 4.0 * s.error.max(0.0005),
                    "{s:?}, want {}",
                    a * a / total
                );
            }
        }
    }

    #[test]
    fn shares_of_the_ishigami_function_are_those_of_its_paper() {
        // y = sin x1 + 7 sin² x2 + 0.1 x3⁴ sin x1 on −π to π (Ishigami and Homma 1990); the variances are
        // integrals done by hand: V1 = (1 + b π⁴/5)²/2, V2 = a²/8, V = V1 + V2 + 8 b² π⁸/225
        let (a, b) = (7.0, 0.1);
        let v1 = 0.5 * (1.0 + b * PI.powi(4) / 5.0).powi(2);
        let v2 = a * a / 8.0;
        let all = v1 + v2 + 8.0 * b * b * PI.powi(8) / 225.0;
        let found = shares(40_000, 9, |x: &[f64; 3]| {
            let x = x.map(|x| PI * x);
            x[0].sin() + a * x[1].sin().powi(2) + b * x[2].powi(4) * x[0].sin()
        });
        for (s, want) in found.iter().zip([v1 / all, v2 / all, 0.0]) {
            // lines in 16 bins leave a little of a sine unexplained: (π/16)⁴/180 of its variance, under 1e-5
            assert!((s.value - want).abs() < 4.0 * s.error, "{s:?}, want {want}");
        }
    }

    #[test]
    fn the_error_is_that_of_repeated_runs() {
        let a = [2.0, 1.0];
        let of = |seed| shares(2_000, seed, |x: &[f64; 2]| a[0] * x[0] + a[1] * x[1])[1];
        let found: Vec<Share> = (0..80).map(of).collect();
        let values: Vec<f64> = found.iter().map(|s| s.value).collect();
        let mean = values.iter().sum::<f64>() / 80.0;
        let spread = (values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / 79.0).sqrt();
        let said = found.iter().map(|s| s.error).sum::<f64>() / 80.0;
        // the spread of 80 values is itself known to one part in √(2·79); four of those
        assert!(
            (said / spread - 1.0).abs() < 4.0 / 158.0_f64.sqrt(),
            "{said} {spread}"
        );
    }

    #[test]
    fn what_does_not_vary_has_no_share() {
        let of = |n: usize, y: fn(f64) -> f64| {
            let mut shares = Shares::new(1, n);
            for i in 0..n {
                let u = (i as f64 + 0.5) / n as f64;
                shares.add(i, &[u], y(u));
            }
            shares.of(0)
        };
        assert_eq!(of(500, |_| 1.0), None);
        assert_eq!(of(50, |u| u), None);
        assert!(of(500, |u| u).is_some());
    }
}
