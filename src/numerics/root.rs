//! Roots of one equation: bracketed Brent, and Newton kept inside a bracket.
//!
//! The function may fail: it returns `Result<f64, E>`, and its error comes back as
//! [`RootError::Function`]. A function that cannot fail is written `|x| Ok::<_, Infallible>(…)`.

use std::fmt::Display;

/// Most evaluations of one root search.
pub const MAX_ITERATIONS: usize = 200;
/// Most steps of [`expand_bracket`].
pub const MAX_EXPANSIONS: usize = 60;
/// Factor by which [`expand_bracket`] lengthens its step each time.
pub const EXPANSION_FACTOR: f64 = 1.6;

/// Why a solver found no root; carries its last state.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum RootFailure {
    /// The ends do not enclose a root.
    #[error("no change of sign between {a:e} (f = {fa:e}) and {b:e} (f = {fb:e})")]
    NoSignChange {
        /// One end.
        a: f64,
        /// Value there.
        fa: f64,
        /// Other end.
        b: f64,
        /// Value there.
        fb: f64,
    },
    /// The function gave NaN or infinity, or an end is no finite number.
    #[error("the function is not finite at {x:e} (f = {fx:e})")]
    NotFinite {
        /// Where.
        x: f64,
        /// Value there.
        fx: f64,
    },
    /// The iteration cap was reached.
    #[error("no root after {iterations} steps; last at {x:e} (f = {fx:e}) between {a:e} and {b:e}")]
    NotConverged {
        /// Steps made.
        iterations: usize,
        /// Last point.
        x: f64,
        /// Value there.
        fx: f64,
        /// One end of the last bracket.
        a: f64,
        /// Other end of the last bracket.
        b: f64,
    },
}

/// A root search that ended without a root.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum RootError<E: Display> {
    /// The function itself failed.
    #[error("{0}")]
    Function(E),
    /// The solver gave up.
    #[error(transparent)]
    Solver(#[from] RootFailure),
}

impl<E: Display> RootError<E> {
    /// The caller's own error: the function's as it is, the solver's through `convert`.
    ///
    /// ```
    /// use fuelwright::numerics::root::{brent, RootError};
    /// let r = brent(|x| Ok::<f64, String>(x * x + 1.0), 0.0, 1.0, 1e-9);
    /// let text = r.map_err(|e| e.or_from(|failure| failure.to_string()));
    /// assert!(text.unwrap_err().starts_with("no change of sign"));
    /// ```
    pub fn or_from(self, convert: impl FnOnce(RootFailure) -> E) -> E {
        match self {
            Self::Function(e) => e,
            Self::Solver(failure) => convert(failure),
        }
    }
}

fn finite<E: Display>(x: f64, fx: f64) -> Result<f64, RootError<E>> {
    if x.is_finite() && fx.is_finite() {
        Ok(fx)
    } else {
        Err(RootFailure::NotFinite { x, fx }.into())
    }
}

/// Resolution of `x`: the tolerance asked, but never finer than f64 holds.
fn resolution(tolerance: f64, x: f64) -> f64 {
    tolerance.abs() + 2.0 * f64::EPSILON * x.abs()
}

/// Root of `f` between `a` and `b` by Brent's method: inverse quadratic interpolation, secant and
/// bisection, always inside the bracket.
///
/// * `a`, `b` — ends, in any order; `f` must change sign between them (a zero at an end is a root)
/// * `tolerance` — the root is within this of the answer, in units of `x`
///
/// **Valid:** `f` continuous in the bracket; with a jump the place of the jump is returned.
/// **Errors:** [`RootFailure`], or the function's own.
/// **Source:** `brent1973`.
///
/// # Errors
/// [`RootError::Function`] if `f` fails, [`RootError::Solver`] if there is no sign change, a value is
/// not finite, or the iteration cap is reached.
///
/// ```
/// use fuelwright::numerics::root::brent;
/// use std::convert::Infallible;
/// let x = brent(|x: f64| Ok::<_, Infallible>(x.cos() - x), 0.0, 1.0, 1e-12)?;
/// assert!((x.cos() - x).abs() < 1e-12);
/// # Ok::<(), fuelwright::numerics::root::RootError<Infallible>>(())
/// ```
pub fn brent<E: Display>(
    mut f: impl FnMut(f64) -> Result<f64, E>,
    a: f64,
    b: f64,
    tolerance: f64,
) -> Result<f64, RootError<E>> {
    let mut eval = |x: f64| finite(x, f(x).map_err(RootError::Function)?);
    let fa = eval(a)?;
    let fb = eval(b)?;
    brent_from(eval, (a, fa), (b, fb), tolerance)
}

/// The end of a bracket that is the root.
fn root_at_end((a, fa): (f64, f64), (b, fb): (f64, f64)) -> Result<Option<f64>, RootFailure> {
    if is_zero(fa) {
        return Ok(Some(a));
    }
    if is_zero(fb) {
        return Ok(Some(b));
    }
    if same_sign(fa, fb) {
        return Err(RootFailure::NoSignChange { a, fa, b, fb });
    }
    Ok(None)
}

/// [`brent`] when the values at both ends are already known.
///
/// # Errors
/// As [`brent`].
pub(crate) fn brent_from<E: Display>(
    mut eval: impl FnMut(f64) -> Result<f64, RootError<E>>,
    (mut a, mut fa): (f64, f64),
    (mut b, mut fb): (f64, f64),
    tolerance: f64,
) -> Result<f64, RootError<E>> {
    if let Some(end) = root_at_end((a, fa), (b, fb))? {
        return Ok(end);
    }
    // b is the best point, c the other end of the bracket, a the previous b
    let (mut c, mut fc) = (a, fa);
    let mut step = b - a;
    let mut previous_step = step;
    for _ in 0..MAX_ITERATIONS {
        if fc.abs() < fb.abs() {
            (a, fa) = (b, fb);
            (b, fb) = (c, fc);
            (c, fc) = (a, fa);
        }
        let tol = 0.5 * resolution(tolerance, b);
        let half = 0.5 * (c - b);
        if half.abs() <= tol || is_zero(fb) {
            return Ok(b);
        }
        if previous_step.abs() >= tol && fa.abs() > fb.abs() {
            let s = fb / fa;
            let (mut p, mut q) = if is_zero(a - c) {
                (2.0 * half * s, 1.0 - s)
            } else {
                let (q, r) = (fa / fc, fb / fc);
                (
                    s * (2.0 * half * q * (q - r) - (b - a) * (r - 1.0)),
                    (q - 1.0) * (r - 1.0) * (s - 1.0),
                )
            };
            if p > 0.0 {
                q = -q;
            }
            p = p.abs();
            if 2.0 * p < (3.0 * half * q - (tol * q).abs()).min((previous_step * q).abs()) {
                previous_step = step;
                step = p / q;
            } else {
                step = half;
                previous_step = half;
            }
        } else {
            step = half;
            previous_step = half;
        }
        (a, fa) = (b, fb);
        b += if step.abs() > tol {
            step
        } else {
            tol.copysign(half)
        };
        fb = eval(b)?;
        if same_sign(fb, fc) {
            (c, fc) = (a, fa);
            step = b - a;
            previous_step = step;
        }
    }
    Err(RootFailure::NotConverged {
        iterations: MAX_ITERATIONS,
        x: b,
        fx: fb,
        a: c,
        b,
    }
    .into())
}

/// Root of `f` between `a` and `b` by Newton's method; a step that would leave the bracket, or that
/// does not halve it fast enough, is replaced by bisection.
///
/// * `f` — returns value and derivative
/// * `start` — first guess; the middle is taken if it lies outside the bracket
/// * `tolerance` — the last step is smaller than this, in units of `x`
///
/// **Valid:** `f` continuous in the bracket, with a change of sign.
/// **Errors:** [`RootFailure`], or the function's own.
/// **Source:** `brent1973` (bracketing); Newton's method is textbook knowledge.
///
/// # Errors
/// As [`brent`].
///
/// ```
/// use fuelwright::numerics::root::newton;
/// use std::convert::Infallible;
/// let x = newton(|x: f64| Ok::<_, Infallible>((x * x - 2.0, 2.0 * x)), 0.0, 2.0, 1.0, 1e-14)?;
/// assert!((x - 2.0_f64.sqrt()).abs() < 1e-14);
/// # Ok::<(), fuelwright::numerics::root::RootError<Infallible>>(())
/// ```
pub fn newton<E: Display>(
    mut f: impl FnMut(f64) -> Result<(f64, f64), E>,
    a: f64,
    b: f64,
    start: f64,
    tolerance: f64,
) -> Result<f64, RootError<E>> {
    let mut eval = |x: f64| {
        let (fx, slope) = f(x).map_err(RootError::Function)?;
        Ok::<_, RootError<E>>((finite(x, fx)?, slope))
    };
    let (fa, fb) = (eval(a)?.0, eval(b)?.0);
    if let Some(end) = root_at_end((a, fa), (b, fb))? {
        return Ok(end);
    }
    // f is negative at `low` and positive at `high`, whichever is larger
    let (mut low, mut high) = if fa < 0.0 { (a, b) } else { (b, a) };
    let inside = (a.min(b)..=a.max(b)).contains(&start);
    let mut x = if inside { start } else { 0.5 * (a + b) };
    let mut step_before_last = (b - a).abs();
    let mut last_step = step_before_last;
    let mut fx = fa;
    for _ in 0..MAX_ITERATIONS {
        let (value, slope) = eval(x)?;
        fx = value;
        if is_zero(fx) {
            return Ok(x);
        }
        if fx < 0.0 {
            low = x;
        } else {
            high = x;
        }
        let newton_x = x - fx / slope;
        let in_bracket = (newton_x - low) * (newton_x - high) < 0.0;
        let next = if in_bracket && 2.0 * (newton_x - x).abs() < step_before_last {
            newton_x
        } else {
            0.5 * (low + high)
        };
        step_before_last = last_step;
        last_step = (next - x).abs();
        x = next;
        if last_step <= resolution(tolerance, x) {
            return Ok(x);
        }
    }
    Err(RootFailure::NotConverged {
        iterations: MAX_ITERATIONS,
        x,
        fx,
        a: low,
        b: high,
    }
    .into())
}

/// A bracket with a change of sign, found by walking from `start` both ways with growing steps.
///
/// * `step` — first step; each next one is [`EXPANSION_FACTOR`] longer
/// * `limits` — never leaves these
///
/// **Valid:** any continuous `f`; a pair of roots closer than the step can be missed.
/// **Errors:** [`RootFailure::NoSignChange`] at the widest bracket tried.
/// **Source:** common practice, no source.
///
/// # Errors
/// As [`brent`].
///
/// ```
/// use fuelwright::numerics::root::{brent, expand_bracket};
/// use std::convert::Infallible;
/// let f = |x: f64| Ok::<_, Infallible>(x.ln() - 3.0);
/// let (a, b) = expand_bracket(f, 1.0, 0.5, (1e-6, 1e6))?;
/// assert!((brent(f, a, b, 1e-9)? - 3.0_f64.exp()).abs() < 1e-8);
/// # Ok::<(), fuelwright::numerics::root::RootError<Infallible>>(())
/// ```
pub fn expand_bracket<E: Display>(
    mut f: impl FnMut(f64) -> Result<f64, E>,
    start: f64,
    step: f64,
    limits: (f64, f64),
) -> Result<(f64, f64), RootError<E>> {
    let mut eval = |x: f64| finite(x, f(x).map_err(RootError::Function)?);
    let start = start.clamp(limits.0, limits.1);
    let f_start = eval(start)?;
    if is_zero(f_start) {
        return Ok((start, start));
    }
    let (mut low, mut f_low) = (start, f_start);
    let (mut high, mut f_high) = (start, f_start);
    let mut step = step.abs();
    for _ in 0..MAX_EXPANSIONS {
        if high < limits.1 {
            let next = (high + step).min(limits.1);
            let f_next = eval(next)?;
            if !same_sign(f_high, f_next) {
                return Ok((high, next));
            }
            (high, f_high) = (next, f_next);
        }
        if low > limits.0 {
            let next = (low - step).max(limits.0);
            let f_next = eval(next)?;
            if !same_sign(f_low, f_next) {
                return Ok((next, low));
            }
            (low, f_low) = (next, f_next);
        }
        if low <= limits.0 && high >= limits.1 {
            break;
        }
        step *= EXPANSION_FACTOR;
    }
    Err(RootFailure::NoSignChange {
        a: low,
        fa: f_low,
        b: high,
        fb: f_high,
    }
    .into())
}

/// Exactly zero (either sign).
fn is_zero(x: f64) -> bool {
    x.abs() <= 0.0
}

/// Both above or both below zero.
fn same_sign(a: f64, b: f64) -> bool {
    (a > 0.0 && b > 0.0) || (a < 0.0 && b < 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::convert::Infallible;

    // functions of the tests cannot fail, the solvers take ones that can
    #[allow(clippy::unnecessary_wraps)]
    fn ok(x: f64) -> Result<f64, Infallible> {
        Ok(x)
    }

    proptest! {
        #[test]
        fn brent_finds_the_root_of_a_cubic(r in -50.0..50.0_f64, k in 0.01..100.0_f64,
                                           left in 0.1..80.0_f64, right in 0.1..80.0_f64) {
            // k > 0 makes the cubic monotone, so r is its only root
            let f = |x: f64| ok((x - r).powi(3) + k * (x - r));
            let x = brent(f, r - left, r + right, 1e-10).expect("bracketed");
            prop_assert!((x - r).abs() <= 1.1e-10 + 1e-14 * r.abs());
        }

        #[test]
        fn brent_takes_the_ends_in_either_order(r in -5.0..5.0_f64) {
            let f = |x: f64| ok(x.exp() - r.exp());
            let up = brent(f, -6.0, 7.0, 1e-12).expect("bracketed");
            let down = brent(f, 7.0, -6.0, 1e-12).expect("bracketed");
            prop_assert!((up - r).abs() < 1e-11 && (down - r).abs() < 1e-11);
        }

        #[test]
        fn brent_never_leaves_the_bracket(a in -10.0..0.0_f64, b in 1.0..10.0_f64) {
            let f = |x: f64| {
                assert!((a..=b).contains(&x));
                ok((5.0 * x).tanh() - 0.3)
            };
            prop_assert!(brent(f, a, b, 1e-9).is_ok());
        }

        #[test]
        fn newton_agrees_with_brent(c in 0.01..1e3_f64, start in -10.0..2e3_f64) {
            let b = brent(|x: f64| ok(x * x - c), 0.0, 2e3, 1e-12).expect("bracketed");
            let n = newton(|x: f64| Ok::<_, Infallible>((x * x - c, 2.0 * x)), 0.0, 2e3, start, 1e-12)
                .expect("bracketed");
            prop_assert!((b - n).abs() < 1e-11 * (1.0 + b));
        }

        #[test]
        fn newton_survives_a_flat_start(r in -3.0..3.0_f64) {
            // arctan sends plain Newton away from a far start
            let f = |x: f64| Ok::<_, Infallible>(((x - r).atan(), 1.0 / (1.0 + (x - r).powi(2))));
            let x = newton(f, -1e3, 1e3, 900.0, 1e-12).expect("bracketed");
            prop_assert!((x - r).abs() < 1e-11);
        }

        #[test]
        fn an_expanded_bracket_encloses_the_root(r in -1e3..1e3_f64, start in -1e3..1e3_f64) {
            let f = |x: f64| ok(x - r);
            let (a, b) = expand_bracket(f, start, 0.7, (-2e3, 2e3)).expect("root inside the limits");
            prop_assert!(a <= r && r <= b);
        }

        #[test]
        fn no_input_panics_or_gives_nan(a in any::<f64>(), b in any::<f64>(), tol in any::<f64>()) {
            let by_brent = brent(|x: f64| ok(x.powi(3) - 2.0), a, b, tol);
            let f = |x: f64| Ok::<_, Infallible>((x.powi(3) - 2.0, 3.0 * x * x));
            let by_newton = newton(f, a, b, 0.0, tol);
            prop_assert!([by_brent, by_newton].into_iter().flatten().all(f64::is_finite));
        }
    }

    #[test]
    fn a_missing_sign_change_reports_both_ends() {
        let e = brent(|x: f64| ok(x * x + 1.0), 1.0, 2.0, 1e-9).expect_err("no root");
        let RootError::Solver(RootFailure::NoSignChange { a, fa, b, fb }) = e else {
            panic!("{e}");
        };
        for (got, want) in [(a, 1.0), (fa, 2.0), (b, 2.0), (fb, 5.0)] {
            assert!((got - want).abs() < 1e-15);
        }
    }

    #[test]
    fn the_error_of_the_function_comes_back_as_it_is() {
        let f = |x: f64| {
            if x > 0.4 && x < 0.6 {
                Err("hole in the domain")
            } else {
                Ok(x - 0.5)
            }
        };
        let e = brent(f, 0.0, 1.0, 1e-9).expect_err("the function fails at its root");
        assert_eq!(e, RootError::Function("hole in the domain"));
    }

    #[test]
    fn a_value_that_is_not_finite_is_an_error() {
        let e = brent(|x: f64| ok((x - 0.25).sqrt()), 0.0, 1.0, 1e-9).expect_err("NaN at 0");
        assert!(matches!(
            e,
            RootError::Solver(RootFailure::NotFinite { .. })
        ));
    }

    #[test]
    fn a_root_at_an_end_is_a_root() {
        let x = brent(|x: f64| ok(x - 1.0), 1.0, 2.0, 1e-9).expect("root at the end");
        assert!((x - 1.0).abs() < 1e-15);
    }
}
