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

/// Relative distance of the last two points from which the interpolation is believed.
const CLOSING: f64 = 1e-4;
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
/// changes sign or ends; then it closes in as Brent's method does: by the inverse quadratic through the
/// last three points, by their secant, and by halving whenever the bracket does not shrink. A guess of the
/// edge is tried from both sides.
///
/// * `low` — above zero; `f` is looked at there only if it is not positive anywhere above
/// * `guess`, `stride` — where to begin, and how far from it the root may be: 1.02 for a good guess, 2 for
///   a bad one
/// * `tolerance` — relative, on `x`
///
/// **Source:** `brent1973`, from memory; the edge is our addition.
///
/// # Errors
/// [`EdgeError::Function`] if `f` fails; [`EdgeError::NotSettled`] after [`MAX_ITERATIONS`].
///
/// ```
/// use fuelwright::numerics::edge::{falling_root, Found, Range, Value};
/// use std::convert::Infallible;
/// let f = |x: f64| Ok::<_, Infallible>(if x > 3.0 { Value::Beyond { edge: f64::NAN, why: () } } else { Value::At(4.0 - x * x) });
/// let range = Range { low: 1e-6, guess: 1.0, stride: 2.0, top: 1e6, flat: 0.0 };
/// assert!(matches!(falling_root(f, range, 1e-12), Ok(Found::Root(x)) if (x - 2.0).abs() < 1e-9));
/// ```
pub fn falling_root<B, E: Display>(
    mut f: impl FnMut(f64) -> Result<Value<B>, E>,
    range: Range,
    tolerance: f64,
) -> Result<Found<B>, EdgeError<E>> {
    let mut search = Search::new(tolerance);
    let mut stride = range.stride;
    let mut x = range.guess.clamp(range.low, range.top);
    for _ in 0..MAX_ITERATIONS {
        match f(x).map_err(EdgeError::Function)? {
            Value::At(v) if v.abs() <= range.flat => return Ok(Found::Root(x)),
            Value::At(v) => search.value(x, v),
            Value::Beyond { edge, why } => search.beyond(x, edge, why),
        }
        match (search.below, search.above) {
            (None, _) if x <= range.low => return Ok(search.nothing_below(x)),
            (Some(_), None) if x >= range.top => return Ok(Found::AboveTop),
            (Some(a), Some(b)) if b - a <= tolerance * b => return Ok(search.closed(a)),
            _ => {}
        }
        if let Some(root) = search.settled() {
            return Ok(Found::Root(root));
        }
        x = search.next(stride).clamp(range.low, range.top);
        if search.below.is_none() || search.above.is_none() {
            stride *= stride;
        }
    }
    Err(EdgeError::NotSettled(NotSettled {
        iterations: MAX_ITERATIONS,
        low: search.below.unwrap_or(range.low),
        high: search.above.unwrap_or(range.top),
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
    /// A value of `f` not larger than this counts as zero.
    pub flat: f64,
}

impl Range {
    /// The range of the square.
    #[must_use]
    pub fn squared(self) -> Self {
        Self {
            low: self.low * self.low,
            guess: self.guess * self.guess,
            stride: self.stride * self.stride,
            top: self.top * self.top,
            flat: self.flat,
        }
    }
}

impl<B> Value<B> {
    /// The same for a search over the square of what the edge is told in.
    #[must_use]
    pub fn edge_squared(self) -> Self {
        match self {
            Self::Beyond { edge, why } => Self::Beyond {
                edge: edge * edge,
                why,
            },
            at @ Self::At(_) => at,
        }
    }
}

struct Search<B> {
    /// Highest point with a positive value.
    below: Option<f64>,
    /// Lowest point with a negative value or none.
    above: Option<f64>,
    /// Why there is no value at `above`.
    why: Option<B>,
    /// The last three points with a value, newest first.
    points: [(f64, f64); 3],
    known: usize,
    /// Guess of the edge, until it has been tried.
    hint: f64,
    /// Where the edge was last guessed, and how far from there.
    last_guess: Option<(f64, f64)>,
    /// Steps since the bracket last halved, and its width then.
    slow: u32,
    width: f64,
    tolerance: f64,
}

impl<B> Search<B> {
    fn new(tolerance: f64) -> Self {
        Self {
            below: None,
            above: None,
            why: None,
            points: [(f64::NAN, f64::NAN); 3],
            known: 0,
            hint: f64::NAN,
            last_guess: None,
            slow: 0,
            width: f64::INFINITY,
            tolerance,
        }
    }

    fn value(&mut self, x: f64, v: f64) {
        self.points = [(x, v), self.points[0], self.points[1]];
        self.known = (self.known + 1).min(3);
        if v > 0.0 {
            self.below = Some(x);
        } else {
            self.above = Some(x);
            self.why = None;
        }
        self.measure();
    }

    /// A guess of the edge is itself better, the nearer it is asked: two of them tell by a secant where guess and point meet.
    fn beyond(&mut self, x: f64, edge: f64, why: B) {
        self.above = Some(x);
        self.why = Some(why);
        let (off, before) = (edge - x, self.last_guess);
        let met = before.map_or(f64::NAN, |(x0, off0)| x - off * (x - x0) / (off - off0));
        let inside = met > self.below.unwrap_or(0.0) && met < x;
        self.hint = if inside { met } else { edge };
        if edge.is_finite() {
            self.last_guess = Some((x, off));
        }
        self.measure();
    }

    fn measure(&mut self) {
        if let (Some(a), Some(b)) = (self.below, self.above) {
            if b - a > 0.5 * self.width {
                self.slow += 1;
            } else {
                self.slow = 0;
                self.width = b - a;
            }
            if self.width.is_infinite() {
                self.width = b - a;
            }
        }
    }

    /// The root, once both sides have a value and the inverse quadratic through the last three points moves it
    /// no more: the bracket need not be closed from its far side then.
    fn settled(&self) -> Option<f64> {
        let (a, b) = (self.below?, self.above?);
        if self.known < 3 || self.why.is_some() {
            return None;
        }
        let (x, last) = (self.interpolated(), self.points[0].0);
        let still = (x - last).abs() <= 0.5 * self.tolerance * last;
        let closing = (last - self.points[1].0).abs() <= CLOSING * last;
        (still && closing && x >= a && x <= b).then_some(x)
    }

    fn closed(self, a: f64) -> Found<B> {
        match self.why {
            Some(why) => Found::Edge { x: a, why },
            None => Found::Root(a),
        }
    }

    fn nothing_below(self, x: f64) -> Found<B> {
        match self.why {
            Some(why) => Found::Edge { x, why },
            None => Found::BelowBottom,
        }
    }

    fn next(&mut self, stride: f64) -> f64 {
        let hint = std::mem::replace(&mut self.hint, f64::NAN);
        match (self.below, self.above) {
            (None, Some(b)) => {
                let guess = if hint.is_finite() && hint < b {
                    hint * (1.0 - 0.4 * self.tolerance)
                } else {
                    self.interpolated()
                };
                // down, by at most the stride and at least a little
                if guess.is_finite() && guess > 0.0 {
                    guess.clamp(b / (stride * stride), b * (1.0 - 4.0 * self.tolerance))
                } else {
                    b / stride
                }
            }
            (Some(a), None) => {
                let guess = self.interpolated();
                if guess.is_finite() && guess > a {
                    (a + 1.02 * (guess - a))
                        .clamp(a * (1.0 + 4.0 * self.tolerance), a * stride * stride)
                } else {
                    a * stride
                }
            }
            (Some(a), Some(b)) => self.inside(a, b, hint),
            (None, None) => f64::NAN,
        }
    }

    fn inside(&mut self, a: f64, b: f64, hint: f64) -> f64 {
        let middle = if b > 4.0 * a {
            (a * b).sqrt()
        } else {
            0.5 * (a + b)
        };
        if self.slow > 2 {
            self.slow = 1;
            return middle;
        }
        if self.why.is_some() && hint.is_finite() {
            for side in [-0.4, 0.4] {
                let x = hint * (1.0 + side * self.tolerance);
                if x > a && x < b {
                    return x;
                }
            }
        }
        let guess = self.interpolated();
        if !(guess > a && guess < b) {
            return middle;
        }
        // next to an end, look just beyond the tolerance: that closes the bracket from the other side
        let reach = 0.7 * self.tolerance * b;
        guess.clamp(a + reach.min(0.5 * (b - a)), b - reach.min(0.5 * (b - a)))
    }

    /// Root of the inverse quadratic through the last three points, or of the secant of the last two.
    fn interpolated(&self) -> f64 {
        let [(a, fa), (b, fb), (c, fc)] = self.points;
        if self.known < 2 {
            return f64::NAN;
        }
        let secant = a - fa * (a - b) / (fa - fb);
        if self.known < 3 {
            return secant;
        }
        let quadratic = a * fb * fc / ((fa - fb) * (fa - fc))
            + b * fa * fc / ((fb - fa) * (fb - fc))
            + c * fa * fb / ((fc - fa) * (fc - fb));
        let (low, high) = (
            self.below.unwrap_or(0.0),
            self.above.unwrap_or(f64::INFINITY),
        );
        if quadratic > low && quadratic < high {
            quadratic
        } else {
            secant
        }
    }
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
            flat: 0.0,
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
    fn guesses_that_close_in_slowly_are_drawn_together() {
        let mut calls = 0;
        // each guess leaves two thirds of the way
        let f = |x: f64| -> Out {
            calls += 1;
            Ok(if x > 1.5 {
                Value::Beyond {
                    edge: x - 0.3 * (x - 1.5) - 0.1 * (x - 1.5).powi(2),
                    why: "chokes",
                }
            } else {
                Value::At(4.0 - x * x)
            })
        };
        let found = falling_root(f, range(1.0), 1e-12).expect("settles");
        let Found::Edge { x, .. } = found else {
            panic!("{found:?}")
        };
        assert!((x - 1.5).abs() < 1e-11, "{x}");
        assert!(calls < 25, "{calls}");
    }

    #[test]
    fn the_ends_of_the_range_are_reported() {
        let rising = |_: f64| -> Out { Ok(Value::At(1.0)) };
        let narrow = Range {
            low: 1e-3,
            guess: 1.0,
            stride: 2.0,
            top: 10.0,
            flat: 0.0,
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
