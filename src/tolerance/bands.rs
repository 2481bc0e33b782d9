//! From the values of many samples to a band: quantiles, each with the error that sampling leaves.

/// Spread of a result over its samples.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Samples that have a value.
    pub count: usize,
    /// Mean.
    pub mean: f64,
    /// Standard deviation.
    pub deviation: f64,
    /// Value that 5 % of the samples stay below.
    pub low: Quantile,
    /// Value that half of them stay below.
    pub middle: Quantile,
    /// Value that 95 % of them stay below.
    pub high: Quantile,
}

/// A quantile and where it lies with 95 % confidence.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quantile {
    /// The quantile of the samples.
    pub value: f64,
    /// Lower end of its confidence interval.
    pub least: f64,
    /// Upper end.
    pub most: f64,
}

/// Ends of the band.
pub const LOW: f64 = 0.05;
/// Ends of the band.
pub const HIGH: f64 = 0.95;
/// Standard deviations to either side that hold 95 % of a normal distribution.
const TWO_SIDED_95: f64 = 1.959964;

/// The band of some values; `None` if there are fewer than two.
///
/// Quantile `p` of `n` sorted values: linear between the order statistics at `(n − 1) p`. Its interval:
/// the order statistics at `n p ± 1.96 √(n p (1 − p))`, free of any assumption on the distribution.
///
/// **Source:** order-statistic interval, common practice; quantiles as `hyndman1996`, definition 7.
///
/// ```
/// use fuelwright::tolerance::band;
/// let values: Vec<f64> = (0..=1000).map(f64::from).collect();
/// let band = band(&values).expect("there are values");
/// assert!((band.low.value - 50.0).abs() < 1e-9 && (band.high.value - 950.0).abs() < 1e-9);
/// ```
pub fn band(values: &[f64]) -> Option<Band> {
    let n = values.len();
    if n < 2 {
        return None;
    }
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let count = n as f64;
    let mean = values.iter().sum::<f64>() / count;
    let squares: f64 = values.iter().map(|x| (x - mean).powi(2)).sum();
    Some(Band {
        count: n,
        mean,
        deviation: (squares / (count - 1.0)).sqrt(),
        low: quantile(&sorted, LOW),
        middle: quantile(&sorted, 0.5),
        high: quantile(&sorted, HIGH),
    })
}

fn quantile(sorted: &[f64], p: f64) -> Quantile {
    let n = sorted.len() as f64;
    let half = TWO_SIDED_95 * (n * p * (1.0 - p)).sqrt();
    Quantile {
        value: at(sorted, (n - 1.0) * p),
        least: at(sorted, (n * p - half - 1.0).max(0.0).floor()),
        most: at(sorted, (n * p + half).min(n - 1.0).ceil()),
    }
}

/// Value at a place between two sorted values.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0 to the length, by the caller
fn at(sorted: &[f64], place: f64) -> f64 {
    let last = sorted.len() - 1;
    let below = (place as usize).min(last);
    let above = (below + 1).min(last);
    sorted[below] + (place - below as f64) * (sorted[above] - sorted[below])
}

#[cfg(test)]
mod tests {
    use super::super::Sampling;
    use super::*;

    #[test]
    fn one_value_many_times_has_no_spread() {
        let band = band(&[2.5; 300]).expect("there are values");
        assert!(band.deviation.abs() < 1e-15);
        assert!((band.high.most - band.low.least).abs() < 1e-15);
        assert!(super::band(&[1.0]).is_none());
    }

    #[test]
    fn quantiles_of_even_draws_are_known() {
        let draws = Sampling::new(40_000, 11)
            .expect("in range")
            .run(super::super::Draws::next, &mut |_| {});
        let band = band(&draws).expect("there are values");
        for (q, p) in [(band.low, 0.05), (band.middle, 0.5), (band.high, 0.95)] {
            let four_sigma = 4.0 * (p * (1.0 - p) / 40_000_f64).sqrt();
            assert!((q.value - p).abs() < four_sigma, "{q:?}");
            assert!(q.least < q.value && q.value < q.most, "{q:?}");
        }
    }

    #[test]
    fn intervals_hold_the_true_quantile_as_often_as_they_say() {
        // 400 runs of 500 samples: 95 % of the intervals, give or take four standard errors
        let runs = 400;
        let held = (0..runs)
            .filter(|seed| {
                let draws = Sampling::new(500, *seed)
                    .expect("in range")
                    .run(super::super::Draws::next, &mut |_| {});
                let q = band(&draws).expect("there are values").high;
                q.least <= 0.95 && 0.95 <= q.most
            })
            .count();
        let share = held as f64 / runs as f64;
        let error = (0.95 * 0.05 / runs as f64).sqrt();
        assert!(share > 0.95 - 4.0 * error, "{share}");
    }

    #[test]
    fn the_error_of_a_mean_falls_with_the_root_of_the_samples() {
        // spread of the mean over 60 seeds, at n and at 16 n: a fourth, give or take four standard errors
        // of a ratio of two standard deviations of 60 values each
        let spread = |n: usize| {
            let means: Vec<f64> = (0..60)
                .map(|seed| {
                    let x = Sampling::new(n, seed)
                        .expect("in range")
                        .run(super::super::Draws::next, &mut |_| {});
                    x.iter().sum::<f64>() / n as f64
                })
                .collect();
            band(&means).expect("there are values").deviation
        };
        let ratio = spread(200) / spread(3_200);
        let error = 4.0 * (2.0_f64 / (2.0 * 59.0)).sqrt();
        assert!((ratio / 4.0 - 1.0).abs() < error, "{ratio}");
    }
}
