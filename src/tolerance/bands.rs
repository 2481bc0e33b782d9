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

/// Width of the steps that values are counted in, in their natural logarithm: a quantile is known to half of it, 5e-6.
const STEP: f64 = 1e-5;

/// Values of a result on the way to a [`Band`], in memory that hangs on their spread and not on their number.
///
/// ```
/// use fuelwright::tolerance::Tally;
/// let mut tally = Tally::default();
/// for v in 1..=1001 {
///     tally.add(f64::from(v));
/// }
/// let band = tally.band().expect("there are values");
/// assert!((band.low.value / 51.0 - 1.0).abs() < 5e-6 && (band.high.value / 951.0 - 1.0).abs() < 5e-6);
/// ```
#[derive(Debug, Clone, Default)]
pub struct Tally {
    /// The first value: sums are of what others are off from it, relative, and so keep their digits.
    reference: f64,
    count: usize,
    sum: f64,
    squares: f64,
    least: f64,
    most: f64,
    /// Step of the first of the counts.
    first: i64,
    counts: Vec<u32>,
}

impl Tally {
    /// Counts a value, above zero; gives what it is off from the first, relative.
    pub fn add(&mut self, value: f64) -> f64 {
        if self.count == 0 {
            (self.reference, self.least, self.most) = (value, value, value);
            self.first = step(value);
        }
        let off = value / self.reference - 1.0;
        self.count += 1;
        self.sum += off;
        self.squares += off * off;
        self.least = self.least.min(value);
        self.most = self.most.max(value);
        let step = step(value);
        if let Ok(before @ 1..) = usize::try_from(self.first - step) {
            // room for as many again, so that room is made seldom
            let room = before.max(self.counts.len());
            self.counts.splice(..0, std::iter::repeat_n(0, room));
            self.first -= i64::try_from(room).unwrap_or(i64::MAX);
        }
        let place = usize::try_from(step - self.first).unwrap_or(0);
        if place >= self.counts.len() {
            self.counts.resize(place + 1, 0);
        }
        self.counts[place] += 1;
        off
    }

    /// The band; `None` if there are fewer than two values.
    ///
    /// Quantile `p` of `n` sorted values: linear between the order statistics at `(n − 1) p`. Its interval:
    /// the order statistics at `n p ± 1.96 √(n p (1 − p))`, free of any assumption on the distribution.
    ///
    /// **Valid:** values above zero; quantiles to 5e-6, relative.
    /// **Source:** order-statistic interval, common practice; quantiles as `hyndman1996`, definition 7.
    pub fn band(&self) -> Option<Band> {
        if self.count < 2 {
            return None;
        }
        let n = self.count as f64;
        let ranks = Ranks::of(self);
        let variance = (self.squares - self.sum * self.sum / n).max(0.0) / (n - 1.0);
        Some(Band {
            count: self.count,
            mean: self.reference * (1.0 + self.sum / n),
            deviation: self.reference * variance.sqrt(),
            low: ranks.quantile(LOW),
            middle: ranks.quantile(0.5),
            high: ranks.quantile(HIGH),
        })
    }
}

/// Values by rank.
struct Ranks<'a> {
    tally: &'a Tally,
    /// How many values are in a step or below it.
    passed: Vec<u32>,
}

impl<'a> Ranks<'a> {
    fn of(tally: &'a Tally) -> Self {
        let mut sum = 0;
        let passed = tally.counts.iter().map(|count| {
            sum += count;
            sum
        });
        Self {
            passed: passed.collect(),
            tally,
        }
    }

    fn quantile(&self, p: f64) -> Quantile {
        let n = self.tally.count as f64;
        let half = TWO_SIDED_95 * (n * p * (1.0 - p)).sqrt();
        Quantile {
            value: self.at((n - 1.0) * p),
            least: self.at((n * p - half - 1.0).max(0.0).floor()),
            most: self.at((n * p + half).min(n - 1.0).ceil()),
        }
    }

    /// Value at a place between two sorted values.
    fn at(&self, place: f64) -> f64 {
        let below = self.ranked(place.floor());
        below + place.fract() * (self.ranked(place.ceil()) - below)
    }

    /// Value of a rank, from 0.
    fn ranked(&self, rank: f64) -> f64 {
        let step = self.passed.partition_point(|n| f64::from(*n) <= rank);
        let middle = ((self.tally.first as f64 + step as f64 + 0.5) * STEP).exp();
        middle.clamp(self.tally.least, self.tally.most)
    }
}

#[allow(clippy::cast_possible_truncation)] // the logarithm of what is above zero is below 745
fn step(value: f64) -> i64 {
    (value.ln() / STEP).floor() as i64
}

#[cfg(test)]
mod tests {
    use super::super::Sampling;
    use super::*;

    fn band(values: &[f64]) -> Option<Band> {
        let mut tally = Tally::default();
        for v in values {
            tally.add(*v);
        }
        tally.band()
    }

    #[test]
    fn the_order_of_values_changes_nothing_but_rounding() {
        let values: Vec<f64> = (1..=500).map(|i| f64::from(i * i) * 1e-6).collect();
        let up = band(&values).expect("there are values");
        let down = band(&values.into_iter().rev().collect::<Vec<_>>()).expect("there are values");
        assert_eq!(
            (up.low, up.middle, up.high),
            (down.low, down.middle, down.high)
        );
        assert!((up.deviation / down.deviation - 1.0).abs() < 1e-12);
    }

    #[test]
    fn one_value_many_times_has_no_spread() {
        let band = band(&[2.5; 300]).expect("there are values");
        assert!(band.deviation.abs() < 1e-15);
        assert!((band.high.most - band.low.least).abs() < 1e-15);
        assert!(super::tests::band(&[1.0]).is_none());
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
