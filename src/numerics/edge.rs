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
pub const MAX_ITERATIONS: usize = 200;

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
/// From a first guess it steps up (or down) by the factor `stride`, doubling it each time, until `f`
/// changes sign or ends; then it closes in by the secant of the last two points, by inverse quadratic
/// steps where three points allow, and by halving whenever the bracket does not shrink. A guess of the
/// edge is tried from both sides.
///
/// * `low` — above zero; `f` is looked at there only if it is not positive anywhere above
/// * `guess`, `stride` — where to begin, and how far from it the root may be: 1.02 for a good guess, 2 for
///   a bad one
/// * `tolerance` — relative, on `x`
///
/// # Errors
/// [`EdgeError::Function`] if `f` fails; [`EdgeError::NotSettled`] after [`MAX_ITERATIONS`].
///
/// ```
/// use fuelwright::numerics::edge::{falling_root, Found, Range, Value};
/// use std::convert::Infallible;
/// let f = |x: f64| Ok::<_, Infallible>(if x > 3.0 { Value::Beyond { edge: f64::NAN, why: () } } else { Value::At(4.0 - x * x) });
/// let range = Range { low: 1e-6, guess: 1.0, stride: 2.0, top: 1e6 };
/// assert!(matches!(falling_root(f, range, 1e-12), Ok(Found::Root(x)) if (x - 2.0).abs() < 1e-9));
/// ```
pub fn falling_root<B, E: Display>(
    mut f: impl FnMut(f64) -> Result<Value<B>, E>,
    range: Range,
    tolerance: f64,
) -> Result<Found<B>, EdgeError<E>> {
    let mut search = Search {
        a: None,
        before: None,
        b: None,
        why: None,
        tolerance,
    };
    let mut stride = range.stride;
    let mut x = range.guess.clamp(range.low, range.top);
    let mut halve = 0_u32;
    let mut width = f64::INFINITY;
    let mut hint = f64::NAN;
    for _ in 0..MAX_ITERATIONS {
        match f(x).map_err(EdgeError::Function)? {
            Value::At(v) if v > 0.0 => {
                search.before = search.a;
                search.a = Some((x, v));
                if x >= range.top {
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
        let next = match (search.a, search.b) {
            (None, _) => {
                if x <= range.low {
                    return Ok(match search.why {
                        Some(why) => Found::Edge { x, why },
                        None => Found::BelowBottom,
                    });
                }
                let down = if hint.is_finite() && hint < x {
                    hint * (1.0 - 0.4 * tolerance)
                } else {
                    x / stride
                };
                stride *= stride;
                hint = f64::NAN;
                x = down.clamp(range.low, x);
                continue;
            }
            (Some((a, _)), None) => {
                let up = search.beyond(stride);
                stride *= stride;
                up.max(a * (1.0 + 4.0 * tolerance)).min(range.top)
            }
            (Some((a, _)), Some((b, fb))) => {
                let left = b - a;
                if left <= tolerance * b {
                    return Ok(match (search.why, fb) {
                        (Some(why), None) => Found::Edge { x: a, why },
                        _ => Found::Root(a),
                    });
                }
                halve = if left > 0.5 * width { halve + 1 } else { 0 };
                width = left;
                search.between(hint, halve)
            }
        };
        // a step too small to matter: the root is here (a secant closes in from one side)
        if search.settled(next) && hint.is_nan() {
            return Ok(Found::Root(next));
        }
        hint = f64::NAN;
        x = next;
    }
    Err(EdgeError::NotSettled(NotSettled {
        iterations: MAX_ITERATIONS,
        low: search.a.map_or(range.low, |a| a.0),
        high: search.b.map_or(range.top, |b| b.0),
    }))
}

/// Where to search.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// Lowest point, above zero.
    pub low: f64,
    /// Where to begin.
    pub guess: f64,
    /// First factor to step by, above 1.
    pub stride: f64,
    /// Highest point.
    pub top: f64,
}

struct Search<B> {
    /// Highest point with a positive value.
    a: Option<(f64, f64)>,
    /// The one before.
    before: Option<(f64, f64)>,
    /// Lowest point with a negative value, or none beyond the edge.
    b: Option<(f64, Option<f64>)>,
    why: Option<B>,
    tolerance: f64,
}

impl<B> Search<B> {
    fn settled(&self, next: f64) -> bool {
        let (Some((a, _)), Some((b, Some(_)))) = (self.a, self.b) else {
            return false;
        };
        (next - a).abs() <= 0.25 * self.tolerance * next && next < b
    }

    /// Next point up while there is no upper end: the secant's root and a bit, within the stride.
    fn beyond(&self, stride: f64) -> f64 {
        let (a, fa) = self.a.unwrap_or((f64::NAN, f64::NAN));
        let secant = self
            .before
            .map_or(f64::NAN, |(x, fx)| a + fa * (a - x) / (fx - fa));
        if secant.is_finite() && secant > a {
            let past = a + 1.05 * (secant - a);
            return past.clamp(a, a * stride.max(2.0));
        }
        a * stride
    }

    fn between(&self, hint: f64, halve: u32) -> f64 {
        let (Some((a, fa)), Some((b, fb))) = (self.a, self.b) else {
            return f64::NAN;
        };
        let inside = |x: f64| x > a && x < b;
        let middle = if a > 0.0 && b > 4.0 * a {
            (a * b).sqrt()
        } else {
            0.5 * (a + b)
        };
        if halve > 1 {
            return middle;
        }
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

    fn range(guess: f64) -> Range {
        Range {
            low: 1e-9,
            guess,
            stride: 2.0,
            top: 1e6,
        }
    }

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
            let found = falling_root(f, range(0.1), 1e-12).expect("settles");
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
            let found = falling_root(f, range(1.0), 1e-12).expect("settles");
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
        let narrow = Range {
            low: 1e-3,
            guess: 1.0,
            stride: 2.0,
            top: 10.0,
        };
        assert!(matches!(
            falling_root(rising, narrow, 1e-9),
            Ok(Found::AboveTop)
        ));
        let negative = |_: f64| -> Out { Ok(Value::At(-1.0)) };
        assert!(matches!(
            falling_root(negative, narrow, 1e-9),
            Ok(Found::BelowBottom)
        ));
    }
}
