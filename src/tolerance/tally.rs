//! What the samples of one duty add up to: memory hangs on inputs and results, not on the number of samples.

use super::bands::Tally;
use super::drivers::Shares;
use super::exit::ExitTable;

/// A result that spreads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// Fuel flow, kg/s.
    Flow,
    /// Equivalence ratio.
    EquivalenceRatio,
    /// Heat set free, W.
    Heat,
    /// Exit temperature, K.
    Exit,
}

impl Quantity {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Flow, Self::EquivalenceRatio, Self::Heat, Self::Exit];
}

/// What one sample gives at one duty.
#[derive(Debug, Clone, Copy)]
pub(super) struct Outcome {
    pub(super) flow_kg_s: f64,
    pub(super) phi: f64,
    pub(super) heat_w: f64,
    pub(super) air_k: f64,
}

/// A sample: its draws, in the order of the inputs, and an outcome a duty.
#[derive(Debug)]
pub(super) struct Drawn {
    pub(super) draws: Vec<f64>,
    pub(super) outcomes: Box<[Option<Outcome>]>,
}

/// One result of a duty.
#[derive(Debug)]
pub(super) struct Tallied {
    pub(super) values: Tally,
    pub(super) shares: Shares,
}

impl Tallied {
    fn add(&mut self, sample: usize, draws: &[f64], value: f64) {
        let off = self.values.add(value);
        self.shares.add(sample, draws, off);
    }
}

/// One duty.
#[derive(Debug)]
pub(super) struct DutyTally {
    /// Place of the duty in a sample.
    duty: usize,
    /// In the order of [`Quantity::ALL`].
    pub(super) results: Vec<Tallied>,
    /// Ranges met: of the equivalence ratio, and of the temperature of the air, K.
    pub(super) phi: (f64, f64),
    pub(super) air_k: (f64, f64),
    pub(super) not_fed: usize,
    /// First sample without an answer.
    pub(super) first_bad: Option<usize>,
    /// Temperatures of the material limits, K, and the samples whose exit is hotter.
    pub(super) hotter: Vec<(f64, usize)>,
}

impl DutyTally {
    pub(super) fn new(duty: usize, inputs: usize, samples: usize, limits_k: &[f64]) -> Self {
        let result = |_| Tallied {
            values: Tally::default(),
            shares: Shares::new(inputs, samples),
        };
        Self {
            duty,
            results: Quantity::ALL.into_iter().map(result).collect(),
            phi: (f64::INFINITY, f64::NEG_INFINITY),
            air_k: (f64::INFINITY, f64::NEG_INFINITY),
            not_fed: 0,
            first_bad: None,
            hotter: limits_k.iter().map(|k| (*k, 0)).collect(),
        }
    }

    /// Adds all but the exit of samples from a number on.
    pub(super) fn add(&mut self, first: usize, drawn: &[Drawn]) {
        let widened = |(low, high): (f64, f64), x: f64| (low.min(x), high.max(x));
        for (i, sample) in drawn.iter().enumerate() {
            let Some(o) = &sample.outcomes[self.duty] else {
                self.not_fed += 1;
                self.first_bad.get_or_insert(first + i);
                continue;
            };
            self.phi = widened(self.phi, o.phi);
            self.air_k = widened(self.air_k, o.air_k);
            let values = [o.flow_kg_s, o.phi, o.heat_w];
            for (result, value) in self.results.iter_mut().zip(values) {
                result.add(first + i, &sample.draws, value);
            }
        }
    }

    /// Adds the exit of the same samples, read from a table over the ranges met.
    pub(super) fn add_exits(&mut self, first: usize, drawn: &[Drawn], table: &ExitTable) {
        let Some(exit) = self.results.last_mut() else {
            return;
        };
        for (i, sample) in drawn.iter().enumerate() {
            let Some(o) = &sample.outcomes[self.duty] else {
                continue;
            };
            let exit_k = table.exit_k(o.phi, o.air_k);
            exit.add(first + i, &sample.draws, exit_k);
            for (limit_k, over) in &mut self.hotter {
                *over += usize::from(exit_k > *limit_k);
            }
        }
    }
}
