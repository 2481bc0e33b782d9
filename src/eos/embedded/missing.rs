//! Bubble and dew points that are not there, remembered with the reason.

use crate::eos::EosError;
use crate::numerics::effort;
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

/// The points of one composition that were sought in vain.
///
/// A search is a function of composition and question alone, so it does not matter to any answer who asked before;
/// only the time it takes to say no. The steps it took are counted again with each no, so that no allowance hangs on
/// it either.
#[derive(Debug, Default)]
pub(super) struct Missing(Mutex<Vec<No>>);

/// A question, why the answer was no, and the steps it took to find out.
#[derive(Debug, Clone)]
struct No {
    asked: Asked,
    why: EosError,
    steps: u64,
}

impl Missing {
    /// The answer to a question, from memory if it was no.
    pub(super) fn or_find<T>(
        &self,
        asked: Asked,
        find: impl FnOnce() -> Result<T, EosError>,
    ) -> Result<T, EosError> {
        let known = |kept: &[No]| kept.iter().find(|no| no.asked == asked).cloned();
        if let Some(no) = known(&self.0.lock().unwrap_or_else(PoisonError::into_inner)) {
            effort::add(no.steps);
            return Err(no.why);
        }
        let before = effort::done();
        find().inspect_err(|why| {
            let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            if known(&kept).is_none() {
                if kept.len() >= KEPT {
                    kept.remove(0);
                }
                kept.push(No {
                    asked,
                    why: why.clone(),
                    steps: effort::done() - before,
                });
            }
        })
    }
}
