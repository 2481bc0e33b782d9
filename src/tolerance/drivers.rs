//! What drives a spread: the share of a result's variance that one input explains by itself.

/// Blocks left out in turn for the error of a share.
const BLOCKS: usize = 20;
/// Samples in a bin at least; three numbers are fitted in each.
const BIN_SAMPLES: usize = 25;
/// Most bins.
const MOST_BINS: usize = 16;

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

/// Share of the variance of `y` that `x` explains by itself, from samples in which all inputs vary at once.
///
/// The samples are sorted by `x` into `m` bins of equal count; `E[y|x]` is a straight line in each.
/// `S = 1 − (SS_in/(n − 2m)) / (SS_all/(n − 1))`: the squared correlation ratio, freed of its bias by the
/// degrees of freedom that the lines take. Error: jackknife over 20 blocks of samples.
///
/// `None` where it cannot be said: under 100 samples, or no spread in `x` or `y`.
///
/// **Valid:** independent inputs. **Source:** correlation ratio `pearson1905`, its correction
/// `kelley1935`; first-order index `sobol1993`; jackknife over blocks, common practice.
///
/// ```
/// use fuelwright::tolerance::{Sampling, share};
/// let sampling = Sampling::new(5000, 1)?;
/// let draws = sampling.run(|d| [d.next(), d.next()], &mut |_| {});
/// let x: Vec<f64> = draws.iter().map(|d| d[0]).collect();
/// let y: Vec<f64> = draws.iter().map(|d| 2.0 * d[0] + d[1]).collect();
/// let s = share(&x, &y).expect("there is a spread");
/// assert!((s.value - 4.0 / 5.0).abs() < 4.0 * s.error); // 2²/(2² + 1²)
/// # Ok::<(), fuelwright::tolerance::SamplingError>(())
/// ```
pub fn share(x: &[f64], y: &[f64]) -> Option<Share> {
    (x.len() == y.len()).then(|| Bins::new(x)?.share(y))?
}

/// Samples of one input, sorted into bins once for all results that may hang on it.
#[derive(Debug)]
pub(super) struct Bins {
    /// Standardised.
    x: Vec<f32>,
    bin: Vec<u8>,
    number: usize,
}

impl Bins {
    /// `None` where [`share`] cannot be said for `x`.
    pub(super) fn new(x: &[f64]) -> Option<Self> {
        let n = x.len();
        if n < 100 {
            return None;
        }
        let number = (n / BIN_SAMPLES).min(MOST_BINS);
        let x = standardised(x)?;
        let mut order: Vec<u32> = (0..u32::try_from(n).ok()?).collect();
        order.sort_unstable_by(|&a, &b| x[a as usize].total_cmp(&x[b as usize]).then(a.cmp(&b)));
        let mut bin = vec![0; n];
        for (rank, &i) in order.iter().enumerate() {
            bin[i as usize] = u8::try_from(rank * number / n).unwrap_or(u8::MAX);
        }
        #[allow(clippy::cast_possible_truncation)] // seven digits are more than are shown
        let x = x.iter().map(|x| *x as f32).collect();
        Some(Self { x, bin, number })
    }

    /// [`share`] of a result.
    pub(super) fn share(&self, y: &[f64]) -> Option<Share> {
        let y = standardised(y)?;
        let bins = self.number;
        let mut sums = vec![[Sums::default(); MOST_BINS]; BLOCKS];
        for (i, ((x, y), bin)) in self.x.iter().zip(&y).zip(&self.bin).enumerate() {
            sums[i % BLOCKS][usize::from(*bin)].add(f64::from(*x), *y);
        }
        let all = sums
            .iter()
            .fold([Sums::default(); MOST_BINS], |mut all, block| {
                for (a, b) in all.iter_mut().zip(block) {
                    *a = a.plus(b, 1.0);
                }
                all
            });
        let value = explained(&all[..bins])?;
        let mut without = Vec::with_capacity(BLOCKS);
        for block in &sums {
            let mut rest = all;
            for (r, b) in rest.iter_mut().zip(block) {
                *r = r.plus(b, -1.0);
            }
            without.push(explained(&rest[..bins])?);
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

/// Values less their mean, over their standard deviation; `None` where all are the same but for rounding.
fn standardised(values: &[f64]) -> Option<Vec<f64>> {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let deviation = (values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / n).sqrt();
    (deviation > 1e-12 * mean.abs() && deviation > 0.0)
        .then(|| values.iter().map(|v| (v - mean) / deviation).collect())
}

fn explained(bins: &[Sums]) -> Option<f64> {
    let all = bins.iter().fold(Sums::default(), |all, b| all.plus(b, 1.0));
    let inside: f64 = bins.iter().map(Sums::about_line).sum();
    let free = all.n - 2.0 * bins.len() as f64;
    (free > 0.0 && all.total() > 0.0).then(|| 1.0 - (inside / free) / (all.total() / (all.n - 1.0)))
}

#[cfg(test)]
mod tests {
    use super::super::Sampling;
    use super::*;
    use std::f64::consts::PI;

    /// A normal draw: Box and Muller's pair, the first of it.
    fn normal(u: f64, v: f64) -> f64 {
        (-2.0 * u.ln()).sqrt() * (2.0 * PI * v).cos()
    }

    fn shares<const K: usize>(
        n: usize,
        seed: u64,
        draw: impl Fn(f64, f64) -> f64 + Sync,
        model: impl Fn(&[f64; K]) -> f64 + Sync,
    ) -> [Share; K] {
        let sampling = Sampling::new(n, seed).expect("in range");
        let samples = sampling.run(
            |d| {
                let mut x = [0.0; K];
                for x in &mut x {
                    *x = draw(d.next(), d.next());
                }
                (x, model(&x))
            },
            &mut |_| {},
        );
        let y: Vec<f64> = samples.iter().map(|s| s.1).collect();
        std::array::from_fn(|k| {
            let x: Vec<f64> = samples.iter().map(|s| s.0[k]).collect();
            share(&x, &y).expect("there is a spread")
        })
    }

    #[test]
    fn shares_of_a_sum_of_normal_inputs_are_their_squares() {
        // y = Σ a x with x standard normal: S_i = a_i²/Σa², by the definition of variance
        let a = [3.0, 2.0, 1.0, 0.0];
        let total: f64 = a.iter().map(|a| a * a).sum();
        for seed in 0..5 {
            let found = shares(20_000, seed, normal, |x: &[f64; 4]| {
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
        let even = |u: f64, _: f64| PI * (2.0 * u - 1.0);
        let found = shares(40_000, 9, even, |x: &[f64; 3]| {
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
        let of = |seed| {
            shares(2_000, seed, normal, |x: &[f64; 2]| {
                a[0] * x[0] + a[1] * x[1]
            })[1]
        };
        let found: Vec<Share> = (0..80).map(of).collect();
        let values: Vec<f64> = found.iter().map(|s| s.value).collect();
        let spread = super::super::band(&values)
            .expect("there are values")
            .deviation;
        let said = found.iter().map(|s| s.error).sum::<f64>() / 80.0;
        // the spread of 80 values is itself known to one part in √(2·79); four of those
        assert!(
            (said / spread - 1.0).abs() < 4.0 / 158.0_f64.sqrt(),
            "{said} {spread}"
        );
    }

    #[test]
    fn what_does_not_vary_has_no_share() {
        let x: Vec<f64> = (0..500).map(f64::from).collect();
        assert_eq!(share(&x, &[1.0; 500]), None);
        assert_eq!(share(&[1.0; 500], &x), None);
        assert_eq!(share(&x[..50], &x[..50]), None);
    }
}
