//! Draws of a Monte-Carlo run: each sample has a generator of its own, so that neither the number of
//! threads nor their order changes a digit.

use crate::quantity::told::errors;
use chacha20::ChaCha8Rng;
use chacha20::rand_core::{Rng, SeedableRng};
use rayon::prelude::*;
use std::ops::Range;

/// Fewest samples: fewer say little about a tail of 5 %.
pub const FEWEST: usize = 100;
/// Most samples: more change no digit that is shown.
pub const MOST: usize = 1_000_000;
/// Samples worked on between two words about progress.
const CHUNK: usize = 500;
/// Samples kept at a time.
const ROUND: usize = 20_000;

/// How many samples, and where their draws begin.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sampling {
    samples: usize,
    seed: u64,
}

errors! {
    /// Why there is no sampling.
    #[derive(Eq)]
    pub enum SamplingError {
        Samples { samples: usize, fewest: usize, most: usize } =>
            "{samples} samples: {fewest} to {most} are possible; fewer say little about a tail of 5 %, more change no digit that is shown";
    }
}

impl Sampling {
    /// That many samples from a seed.
    ///
    /// # Errors
    /// [`SamplingError`].
    ///
    /// ```
    /// use fuelwright::tolerance::Sampling;
    /// assert!(Sampling::new(10_000, 1).is_ok());
    /// assert!(Sampling::new(3, 1).is_err());
    /// ```
    pub fn new(samples: usize, seed: u64) -> Result<Self, SamplingError> {
        if (FEWEST..=MOST).contains(&samples) {
            Ok(Self { samples, seed })
        } else {
            Err(SamplingError::Samples {
                samples,
                fewest: FEWEST,
                most: MOST,
            })
        }
    }

    /// How many.
    pub fn samples(&self) -> usize {
        self.samples
    }

    /// Seed.
    pub fn seed(&self) -> u64 {
        self.seed
    }

    /// Runs a model on every sample, in parallel, and gives its answers in the order of the samples.
    ///
    /// The model is given the draws of its sample. `progress` is told, on the calling thread, how many
    /// samples are done.
    ///
    /// ```
    /// use fuelwright::tolerance::Sampling;
    /// let sampling = Sampling::new(1000, 7)?;
    /// let sums = sampling.run(|draws| draws.next() + draws.next(), &mut |_| {});
    /// let mean: f64 = sums.iter().sum::<f64>() / 1000.0;
    /// assert!((mean - 1.0).abs() < 0.05);
    /// # Ok::<(), fuelwright::tolerance::SamplingError>(())
    /// ```
    pub fn run<T: Send>(
        &self,
        model: impl Fn(&mut Draws) -> T + Sync,
        progress: &mut dyn FnMut(usize),
    ) -> Vec<T> {
        self.part(0..self.samples, &model, progress)
    }

    /// The same for some of the samples.
    pub(super) fn part<T: Send>(
        &self,
        samples: Range<usize>,
        model: &(impl Fn(&mut Draws) -> T + Sync),
        progress: &mut dyn FnMut(usize),
    ) -> Vec<T> {
        let mut answers = Vec::with_capacity(samples.len());
        let mut first = samples.start;
        while first < samples.end {
            let last = (first + CHUNK).min(samples.end);
            let of = |i: usize| model(&mut Draws::new(self.seed, i as u64));
            answers.par_extend((first..last).into_par_iter().map(of));
            progress(last);
            first = last;
        }
        answers
    }

    /// All samples in rounds that fit in memory.
    pub(super) fn rounds(&self) -> impl Iterator<Item = Range<usize>> + use<> {
        let all = self.samples;
        (0..all)
            .step_by(ROUND)
            .map(move |first| first..(first + ROUND).min(all))
    }
}

/// Draws of one sample: evenly spread over 0 to 1.
#[derive(Debug)]
pub struct Draws(ChaCha8Rng);

impl Draws {
    /// Draws of a sample: the stream of its number.
    ///
    /// **Source:** `bernstein2008-chacha`, eight rounds.
    pub fn new(seed: u64, sample: u64) -> Self {
        let mut generator = ChaCha8Rng::seed_from_u64(seed);
        generator.set_stream(sample);
        Self(generator)
    }

    /// The next draw, above 0 and below 1.
    #[allow(clippy::should_implement_trait)] // an iterator that never ends would say less
    pub fn next(&mut self) -> f64 {
        const STEP: f64 = 1.0 / (1_u64 << 52) as f64;
        // the middle of one of 2^52 steps: never an end
        ((self.0.next_u64() >> 12) as f64 + 0.5) * STEP
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_number_of_threads_changes_no_digit() {
        let sampling = Sampling::new(3_217, 42).expect("in range");
        let run = |threads: usize| {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
            pool.expect("a pool of threads")
                .install(|| sampling.run(|d| [d.next().to_bits(), d.next().to_bits()], &mut |_| {}))
        };
        let one = run(1);
        for threads in [2, 3, 8] {
            assert_eq!(one, run(threads));
        }
    }

    #[test]
    fn samples_and_seeds_have_draws_of_their_own() {
        let first = |seed, sample| Draws::new(seed, sample).next().to_bits();
        assert_eq!(first(1, 0), first(1, 0));
        assert_ne!(first(1, 0), first(1, 1));
        assert_ne!(first(1, 0), first(2, 0));
    }

    #[test]
    fn draws_are_evenly_spread() {
        // moments of the even distribution on 0 to 1: 1/2, 1/12; bounds: four standard errors
        let sampling = Sampling::new(100_000, 3).expect("in range");
        let x = sampling.run(Draws::next, &mut |_| {});
        let n = x.len() as f64;
        let mean = x.iter().sum::<f64>() / n;
        let variance = x.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / n;
        assert!((mean - 0.5).abs() < 4.0 * (1.0 / 12.0 / n).sqrt(), "{mean}");
        assert!(
            (variance - 1.0 / 12.0).abs() < 4.0 * (1.0 / 180.0 / n).sqrt(),
            "{variance}"
        );
        assert!(x.iter().all(|x| *x > 0.0 && *x < 1.0));
    }

    #[test]
    fn progress_is_told_up_to_the_last_sample() {
        let mut told = Vec::new();
        let sampling = Sampling::new(1_234, 0).expect("in range");
        sampling.run(|_| (), &mut |n| told.push(n));
        assert_eq!(told.last(), Some(&1_234));
        assert!(told.windows(2).all(|w| w[0] < w[1]));
    }
}
