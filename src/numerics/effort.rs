//! How much iterating a thread has done, and what a search may still do.
//!
//! Searches stand within searches, each with its own limit of steps, and the limits multiply. What bounds the whole
//! is an allowance on the innermost steps: they are counted where they are taken, and the outer searches look at the
//! count. It hangs on the work alone and on no clock: the same question ends the same way everywhere.

use std::cell::Cell;

thread_local! {
    static DONE: Cell<u64> = const { Cell::new(0) };
}

/// Steps that this thread has taken so far.
pub fn done() -> u64 {
    DONE.get()
}

/// Counts steps.
pub fn add(steps: u64) {
    DONE.set(DONE.get() + steps);
}

/// Does something without counting it: what is computed once for all who ask, whoever comes first.
pub fn uncounted<T>(f: impl FnOnce() -> T) -> T {
    let before = done();
    let result = f();
    DONE.set(before);
    result
}

/// What a search may still do; it stays on its thread.
///
/// ```
/// use fuelwright::numerics::effort::{Allowance, add};
/// let allowance = Allowance::of(10);
/// add(9);
/// assert!(!allowance.is_spent());
/// add(1);
/// assert!(allowance.is_spent());
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Allowance {
    start: u64,
    most: u64,
}

impl Allowance {
    /// So many steps from now on.
    pub fn of(most: u64) -> Self {
        Self {
            start: done(),
            most,
        }
    }
    /// Whether there is nothing left of it.
    pub fn is_spent(&self) -> bool {
        done().saturating_sub(self.start) >= self.most
    }
    /// Steps it was given.
    pub fn most(&self) -> u64 {
        self.most
    }
}
