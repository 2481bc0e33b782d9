//! Bubble and dew points of one composition that were asked for, with the reason where there is none.

use crate::eos::EosError;
use crate::eos::blend_equilibrium::Split;
use crate::numerics::effort;
use std::collections::VecDeque;
use std::sync::{Mutex, PoisonError};

/// Most that are kept of a composition; the oldest goes first.
const KEPT: usize = 64;

/// What was asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Asked {
    /// Bubble (`true`) or dew point at a temperature, K.
    AtTemperature(f64, bool),
    /// The same at a pressure, Pa.
    AtPressure(f64, bool),
}

/// The last points of one composition.
///
/// A search is a function of composition and question alone, so it does not matter to any answer who asked before;
/// only the time it takes. The steps it took are counted again with each answer, so that no allowance hangs on it
/// either.
#[derive(Debug, Default)]
pub(super) struct Remembered(Mutex<VecDeque<Answer>>);

/// A question, its answer, and the steps it took to find.
#[derive(Debug, Clone)]
struct Answer {
    asked: Asked,
    found: Result<Split, EosError>,
    steps: u64,
}

impl Remembered {
    /// The answer to a question, from memory if it was asked before.
    pub(super) fn or_find(
        &self,
        asked: Asked,
        find: impl FnOnce() -> Result<Split, EosError>,
    ) -> Result<Split, EosError> {
        let kept = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = kept().iter().find(|a| a.asked == asked) {
            effort::add(known.steps);
            return known.found.clone();
        }
        let before = effort::done();
        let found = find();
        let answer = Answer {
            asked,
            found: found.clone(),
            steps: effort::done() - before,
        };
        let mut kept = kept();
        if kept.len() >= KEPT {
            kept.pop_front();
        }
        kept.push_back(answer);
        found
    }
}
