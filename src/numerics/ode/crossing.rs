//! Where in a step an event function falls through zero.

use super::{Problem, Work, interpolate};

/// An event is located to this part of the step.
const EVENT_TOLERANCE: f64 = 1e-12;
const EVENT_ITERATIONS: usize = 60;

/// Earliest event in the step, as a part of it. Uses `w.k[1]` as scratch.
pub(super) fn first_event<P: Problem>(
    problem: &mut P,
    t: f64,
    h: f64,
    w: &mut Work,
) -> Result<Option<(f64, usize)>, P::Error> {
    if w.g0.is_empty() {
        return Ok(None);
    }
    problem.events(t + h, &w.trial, &mut w.g1)?;
    let mut first: Option<(f64, usize)> = None;
    let mut g = vec![0.0; w.g0.len()];
    for index in 0..w.g0.len() {
        if !(w.g0[index] > 0.0 && w.g1[index] <= 0.0) {
            continue;
        }
        // Regula falsi, Illinois variant: keeps the bracket, needs no derivative
        let (mut a, mut fa, mut b, mut fb) = (0.0, w.g0[index], 1.0, w.g1[index]);
        let mut kept = 0;
        for _ in 0..EVENT_ITERATIONS {
            if b - a <= EVENT_TOLERANCE || fb == 0.0 {
                break;
            }
            let secant = b - fb * (b - a) / (fb - fa);
            let theta = if secant.is_finite() {
                secant.clamp(a, b)
            } else {
                0.5 * (a + b)
            };
            interpolate(&w.r, theta, &mut w.k[1]);
            problem.events(t + theta * h, &w.k[1], &mut g)?;
            if g[index] > 0.0 {
                (a, fa) = (theta, g[index]);
                if kept == -1 {
                    fb *= 0.5;
                }
                kept = -1;
            } else {
                // close enough on the far side: the value itself says so
                let done = g[index].abs() <= EVENT_TOLERANCE * w.g0[index].abs();
                (b, fb) = (theta, g[index]);
                if done {
                    break;
                }
                if kept == 1 {
                    fa *= 0.5;
                }
                kept = 1;
            }
        }
        if first.is_none_or(|(theta, _)| b < theta) {
            first = Some((b, index));
        }
    }
    Ok(first)
}
