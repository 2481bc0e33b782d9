//! Two computations side by side.

use super::effort;
use std::panic::resume_unwind;
use std::thread::{Builder, ScopedJoinHandle, scope};

/// Both, the first on a second thread; one after the other where there is none to be had.
///
/// A pool of threads takes longer to start than what is shared here. Steps of iteration count on this thread wherever
/// they were taken.
///
/// # Panics
/// As either of them does.
///
/// ```
/// let (a, b) = fuelwright::numerics::beside::beside(|| 2 + 3, || "five");
/// assert_eq!((a, b), (5, "five"));
/// ```
pub fn beside<A: Send, B>(there: impl Fn() -> A + Sync, here: impl FnOnce() -> B) -> (A, B) {
    scope(|scope| {
        let thread = Builder::new().spawn_scoped(scope, || (there(), effort::done()));
        let here = here();
        let there = match thread.map(ScopedJoinHandle::join) {
            Ok(Ok((there, steps))) => {
                effort::add(steps);
                there
            }
            Ok(Err(panic)) => resume_unwind(panic),
            Err(_) => there(),
        };
        (there, here)
    })
}
