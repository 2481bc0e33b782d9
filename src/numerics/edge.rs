//! Root of a function that falls and may end, at an unknown edge, before it reaches zero.
//!
//! Flow through a row of parts is of this kind: what is left over at the end falls as flow rises, and
//! beyond some flow one part chokes and there is no value at all.

use std::fmt::Display;

/// What the function has at a point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Value<B> {
    /// A number.
    At(f64),
    /// Nothing: the point lies beyond the edge, with a guess of where the edge is (NaN: none) and why.
    Beyond {
        /// Guess of the edge.
        edge: f64,
        /// Why.
        why: B,
    },
}

/// Where the search ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Found<B> {
    /// A root.
    Root(f64),
    /// The function is still positive at the edge; the last point before it, and why it ends there.
    Edge {
        /// Last point with a value.
        x: f64,
        /// Why there is none beyond.
        why: B,
    },
    /// The function is positive at the highest point allowed.
    AboveTop,
    /// The function is not positive at the lowest point.
    BelowBottom,
}

/// A search that used up its steps.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("no answer after {iterations} steps, between {low:e} and {high:e}")]
pub struct NotSettled {
    /// Steps made.
    pub iterations: usize,
    /// Lower end of what was left.
    pub low: f64,
    /// Upper end of what was left.
    pub high: f64,
}

/// Most evaluations of one search.
pub const MAX_ITERATIONS: usize = 160;

/// Why [`falling_root`] gave nothing.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EdgeError<E: Display> {
    /// The function itself failed.
    #[error("{0}")]
    Function(E),
    /// Steps used up.
    #[error(transparent)]
    NotSettled(NotSettled),
}

impl<E: Display> EdgeError<E> {
    /// The function's own error, or `other` if the search used up its steps.
    pub fn or(self, other: E) -> E {
        match self {
            Self::Function(e) => e,
            Self::NotSettled(_) => other,
        }
    }
}

/// The root of a falling `f` in `low..=top`, or the edge beyond which it has no value.
///
/// From `low` (where `f` should be positive) and a first guess, it widens by doubling, then closes in by
/// the secant of the last two points, by inverse quadratic steps where three points allow, and by halving
/// whenever the bracket does not shrink. A guess of the edge is tried from both sides.
///
/// * `tolerance` — relative, on `x`
///
/// # Errors
/// [`EdgeError::Function`] if `f` fails; [`EdgeError::NotSettled`] after [`MAX_ITERATIONS`].
///
/// ```
/// use fuelwright::numerics::edge::{falling_root, Found, Value};
/// use std::convert::Infallible;
/// let f = |x: f64| Ok::<_, Infallible>(if x > 3.0 { Value::Beyond { edge: f64::NAN, why: () } } else { Value::At(4.0 - x * x) });
/// assert!(matches!(falling_root(f, 1e-6, 1.0, 1e6, 1e-12), Ok(Found::Root(x)) if (x - 2.0).abs() < 1e-9));
/// ```
pub fn falling_root<B, E: Display>(
    mut f: impl FnMut(f64) -> Result<Value<B>, E>,
    low: f64,
    guess: f64,
    top: f64,
    tolerance: f64,
) -> Result<Found<B>, EdgeError<E>> {
    let mut search = Search {
        a: (low, f64::NAN),
        before: None,
        b: None,
        why: None,
        tolerance,
    };
    match f(low).map_err(EdgeError::Function)? {
        Value::At(v) if v > 0.0 => search.a.1 = v,
        Value::At(v) if v >= 0.0 => return Ok(Found::Root(low)),
        Value::At(_) => return Ok(Found::BelowBottom),
        Value::Beyond { why, .. } => return Ok(Found::Edge { x: low, why }),
    }
    let mut x = guess.clamp(low * (1.0 + tolerance), top);
    let mut halve = 0_u32;
    let mut width = f64::INFINITY;
    let mut hint = f64::NAN;
    for _ in 0..MAX_ITERATIONS {
        match f(x).map_err(EdgeError::Function)? {
            Value::At(v) if v > 0.0 => {
                search.before = Some(search.a);
                search.a = (x, v);
                if x >= top {
                    return Ok(Found::AboveTop);
                }
            }
            Value::At(v) => {
                if v >= 0.0 {
                    return Ok(Found::Root(x));
                }
                search.b = Some((x, Some(v)));
                search.why = None;
            }
            Value::Beyond { edge, why } => {
                hint = edge;
                search.b = Some((x, None));
                search.why = Some(why);
            }
        }
        if let Some((b, fb)) = search.b {
            let left = b - search.a.0;
            if left <= tolerance * b {
                return Ok(match (search.why, fb) {
                    (Some(why), None) => Found::Edge { x: search.a.0, why },
                    _ => Found::Root(search.a.0),
                });
            }
            halve = if left > 0.5 * width { halve + 1 } else { 0 };
            width = left;
        }
        let next = search.next(hint, halve, top);
        // a step too small to matter: the root is here (a secant closes in from one side)
        if search.settled(next) && hint.is_nan() {
            return Ok(Found::Root(next));
        }
        hint = f64::NAN;
        x = next;
    }
    Err(EdgeError::NotSettled(NotSettled {
        iterations: MAX_ITERATIONS,
        low: search.a.0,
        high: search.b.map_or(top, |b| b.0),
    }))
}

struct Search<B> {
    /// Highest point with a positive value.
    a: (f64, f64),
    /// The one before.
    before: Option<(f64, f64)>,
    /// Lowest point with a negative value, or none beyond the edge.
    b: Option<(f64, Option<f64>)>,
    why: Option<B>,
    tolerance: f64,
}

impl<B> Search<B> {
    fn settled(&self, next: f64) -> bool {
        let here = (next - self.a.0).abs() <= 0.25 * self.tolerance * next;
        here && self.b.is_some_and(|(b, fb)| fb.is_some() && next < b)
    }

    fn next(&self, hint: f64, halve: u32, top: f64) -> f64 {
        let (a, fa) = self.a;
        let Some((b, fb)) = self.b else {
            // no upper end yet: the secant's root and a bit, at least doubling, at most tenfold
            let secant = self
                .before
                .map_or(f64::NAN, |(x, fx)| a + fa * (a - x) / (fx - fa));
            let far = if secant.is_finite() && secant > a {
                a + 1.02 * (secant - a)
            } else {
                2.0 * a
            };
            return far.clamp(1.01 * a, 10.0 * a).min(top);
        };
        let inside = |x: f64| x > a && x < b;
        if fb.is_none() && hint.is_finite() {
            let low = hint * (1.0 - 0.4 * self.tolerance);
            let high = hint * (1.0 + 0.4 * self.tolerance);
            if inside(low) {
                return low;
            }
            if inside(high) {
                return high;
            }
        }
        let middle = if a > 0.0 && b > 4.0 * a {
            (a * b).sqrt()
        } else {
            0.5 * (a + b)
        };
        if halve > 2 {
            return middle;
        }
        let guess = match (fb, self.before) {
            (Some(fb), Some((c, fc))) => {
                let q = inverse_quadratic((a, fa), (b, fb), (c, fc));
                if inside(q) {
                    q
                } else {
                    a + fa * (b - a) / (fa - fb)
                }
            }
            (Some(fb), None) => a + fa * (b - a) / (fa - fb),
            (None, Some((c, fc))) => a + fa * (a - c) / (fc - fa),
            (None, None) => f64::NAN,
        };
        if inside(guess) { guess } else { middle }
    }
}

fn inverse_quadratic((a, fa): (f64, f64), (b, fb): (f64, f64), (c, fc): (f64, f64)) -> f64 {
    a * fb * fc / ((fa - fb) * (fa - fc))
        + b * fa * fc / ((fb - fa) * (fb - fc))
        + c * fa * fb / ((fc - fa) * (fc - fb))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::convert::Infallible;

    type Out = Result<Value<&'static str>, Infallible>;

    #[test]
    fn a_root_before_the_edge_is_found_in_few_steps() {
        for root in [1e-5, 0.3, 2.0, 700.0] {
            let mut calls = 0;
            let f = |x: f64| -> Out {
                calls += 1;
                Ok(if x > 3.0 * root {
                    Value::Beyond {
                        edge: f64::NAN,
                        why: "ends",
                    }
                } else {
                    Value::At(1.0 - (x / root).powi(2))
                })
            };
            let found = falling_root(f, 1e-9, 0.1, 1e6, 1e-12).expect("settles");
            let Found::Root(x) = found else {
                panic!("{found:?}")
            };
            assert!((x / root - 1.0).abs() < 1e-10, "{x} {root}");
            assert!(calls < 60, "{calls}");
        }
    }

    #[test]
    fn an_edge_before_the_root_is_found_with_and_without_a_guess() {
        for guess in [f64::NAN, 1.5] {
            let mut calls = 0;
            let f = |x: f64| -> Out {
                calls += 1;
                Ok(if x > 1.5 {
                    Value::Beyond {
                        edge: guess,
                        why: "chokes",
                    }
                } else {
                    Value::At(4.0 - x * x)
                })
            };
            let found = falling_root(f, 1e-9, 1.0, 1e6, 1e-12).expect("settles");
            let Found::Edge { x, why } = found else {
                panic!("{found:?}")
            };
            assert_eq!(why, "chokes");
            assert!((x - 1.5).abs() < 1e-11, "{x}");
            assert!(calls < if guess.is_nan() { 70 } else { 12 }, "{calls}");
        }
    }

    #[test]
    fn the_ends_of_the_range_are_reported() {
        let rising = |_: f64| -> Out { Ok(Value::At(1.0)) };
        assert!(matches!(
            falling_root(rising, 1e-3, 1.0, 10.0, 1e-9),
            Ok(Found::AboveTop)
        ));
        let negative = |_: f64| -> Out { Ok(Value::At(-1.0)) };
        assert!(matches!(
            falling_root(negative, 1e-3, 1.0, 10.0, 1e-9),
            Ok(Found::BelowBottom)
        ));
    }
}
