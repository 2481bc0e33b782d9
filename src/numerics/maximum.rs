//! Greatest value of a function on an interval: golden section with parabolic steps.

use super::root::{RootError, RootFailure};
use std::fmt::Display;

/// Most evaluations of one search.
pub const MAX_EVALUATIONS: usize = 100;
/// `(3 − √5)/2`, the golden section.
const GOLDEN: f64 = 0.381_966_011_250_105_1;

/// Place and value of the greatest value of `f` between `a` and `b` by Brent's method without
/// derivatives.
///
/// * `a`, `b` — ends, `a < b`; an end itself is approached, never evaluated
/// * `tolerance` — the place is within this, in units of `x`; finer than the square root of the noise
///   of `f` is not to be had
///
/// **Valid:** `f` with a single hump in the interval.
/// **Source:** `brent1973`.
///
/// # Errors
/// [`RootError::Function`] if `f` fails, [`RootError::Solver`] if a value is not finite or the
/// evaluation cap is reached.
///
/// ```
/// use fuelwright::numerics::maximum::maximum;
/// use std::convert::Infallible;
/// let (x, fx) = maximum(|x: f64| Ok::<_, Infallible>(x.sin()), 0.0, 3.0, 1e-8)?;
/// assert!((x - std::f64::consts::FRAC_PI_2).abs() < 1e-7 && (fx - 1.0).abs() < 1e-12);
/// # Ok::<(), fuelwright::numerics::root::RootError<Infallible>>(())
/// ```
pub fn maximum<E: Display>(
    mut f: impl FnMut(f64) -> Result<f64, E>,
    a: f64,
    b: f64,
    tolerance: f64,
) -> Result<(f64, f64), RootError<E>> {
    let mut eval = |x: f64| {
        let fx = f(x).map_err(RootError::Function)?;
        if x.is_finite() && fx.is_finite() {
            Ok(fx)
        } else {
            Err(RootError::Solver(RootFailure::NotFinite { x, fx }))
        }
    };
    let (mut low, mut high) = (a, b);
    // best, second best and the second best before
    let mut x = low + GOLDEN * (high - low);
    let mut fx = eval(x)?;
    let (mut w, mut fw, mut v, mut fv) = (x, fx, x, fx);
    let (mut step, mut before_last): (f64, f64) = (0.0, 0.0);
    for _ in 0..MAX_EVALUATIONS {
        let middle = 0.5 * (low + high);
        let tol = tolerance.abs() + 1e-10 * x.abs();
        if (x - middle).abs() <= 2.0 * tol - 0.5 * (high - low) {
            return Ok((x, fx));
        }
        let mut golden = true;
        if before_last.abs() > tol {
            // parabola through x, w and v
            let r = (x - w) * (fx - fv);
            let q = (x - v) * (fx - fw);
            let p = (x - v) * q - (x - w) * r;
            let q = 2.0 * (q - r);
            let (p, q) = if q > 0.0 { (-p, q) } else { (p, -q) };
            if p.abs() < (0.5 * q * before_last).abs() && p > q * (low - x) && p < q * (high - x) {
                before_last = step;
                step = p / q;
                let next = x + step;
                if next - low < 2.0 * tol || high - next < 2.0 * tol {
                    step = tol.copysign(middle - x);
                }
                golden = false;
            }
        }
        if golden {
            before_last = if x < middle { high - x } else { low - x };
            step = GOLDEN * before_last;
        }
        let next = x + if step.abs() >= tol {
            step
        } else {
            tol.copysign(step)
        };
        let f_next = eval(next)?;
        if f_next >= fx {
            if next < x {
                high = x;
            } else {
                low = x;
            }
            (v, fv) = (w, fw);
            (w, fw) = (x, fx);
            (x, fx) = (next, f_next);
        } else {
            if next < x {
                low = next;
            } else {
                high = next;
            }
            if f_next >= fw || same(w, x) {
                (v, fv) = (w, fw);
                (w, fw) = (next, f_next);
            } else if f_next >= fv || same(v, x) || same(v, w) {
                (v, fv) = (next, f_next);
            }
        }
    }
    Err(RootFailure::NotConverged {
        iterations: MAX_EVALUATIONS,
        x,
        fx,
        a: low,
        b: high,
    }
    .into())
}

/// Most evaluations of [`peak_near`].
const PEAK_EVALUATIONS: usize = 24;

/// Product of the distances to both neighbours, over that of step and tolerance, within which a hump some ten steps
/// wide is a parabola to the tolerance.
const NARROW: f64 = 20.0;

/// Place of the top of a smooth hump that is known to be near: vertices of parabolas through the best point
/// and its neighbours. `None` where the top is not inside `range` or the parabolas do not close in.
///
/// * `start`, `step` — where the hump is, about, and how far from it the first neighbours lie
/// * `tolerance` — on the place
///
/// **Valid:** `f` smooth, with one hump in `range`; three points from `start − step` to `start + step` lie
/// inside. **Source:** successive parabolic interpolation; textbook knowledge.
///
/// # Errors
/// Those of `f`.
///
/// ```
/// use fuelwright::numerics::maximum::peak_near;
/// use std::convert::Infallible;
/// let top = peak_near(|x: f64| Ok::<_, Infallible>(x.sin()), 1.4, 0.1, (0.0, 3.0), 1e-7)?;
/// assert!((top.expect("a top") - std::f64::consts::FRAC_PI_2).abs() < 1e-6);
/// # Ok::<(), Infallible>(())
/// ```
pub fn peak_near<E>(
    mut f: impl FnMut(f64) -> Result<f64, E>,
    start: f64,
    step: f64,
    range: (f64, f64),
    tolerance: f64,
) -> Result<Option<f64>, E> {
    // three points, rising
    let mut near = [start - step, start, start + step].map(|x| (x, f64::NAN));
    for point in &mut near {
        point.1 = f(point.0)?;
    }
    for _ in 3..PEAK_EVALUATIONS {
        let [(a, fa), (b, fb), (c, fc)] = near;
        if !(fa.is_finite() && fb.is_finite() && fc.is_finite()) {
            return Ok(None);
        }
        if fb < fa || fb < fc {
            // the top is outside: go on that way, twice as far
            let left = fa > fc;
            let x = if left {
                a - 2.0 * (b - a)
            } else {
                c + 2.0 * (c - b)
            };
            if !(x > range.0 && x < range.1) {
                return Ok(None);
            }
            let point = (x, f(x)?);
            near = if left {
                [point, near[0], near[1]]
            } else {
                [near[1], near[2], point]
            };
            continue;
        }
        let (low, high) = ((b - a) * (fb - fc), (c - b) * (fb - fa));
        let shift = 0.5 * ((c - b) * high - (b - a) * low) / (low + high);
        // a small shift tells the place only where the hump is a parabola between the neighbours
        if shift.abs() <= tolerance && (b - a) * (c - b) <= NARROW * step * tolerance {
            return Ok(Some(b));
        }
        let x = b + shift;
        if !(x > a && x < c) {
            return Ok(None);
        }
        let point = (x, f(x)?);
        near = match (x < b, point.1 > fb) {
            (true, true) => [near[0], point, near[1]],
            (true, false) => [point, near[1], near[2]],
            (false, true) => [near[1], point, near[2]],
            (false, false) => [near[0], near[1], point],
        };
    }
    Ok(None)
}

/// The same point.
fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= 0.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::convert::Infallible;

    proptest! {
        #[test]
        fn finds_the_top_of_a_skewed_hump(top in 0.1..5.0_f64, k in 0.2..4.0_f64) {
            // x^k exp(−k x/top) has its greatest value at `top`
            let f = |x: f64| Ok::<_, Infallible>(k * (x.ln() - x / top));
            let (x, _) = maximum(f, 1e-3, 20.0, 1e-9).expect("one hump");
            prop_assert!((x - top).abs() < 1e-6 * (1.0 + top));
        }

        #[test]
        fn a_hump_that_is_near_is_closed_in_by_parabolas(top in 0.5..5.0_f64, off in -0.2..0.2_f64) {
            let f = |x: f64| Ok::<_, Infallible>(x.ln() - x / top);
            let x = peak_near(f, top * (1.0 + off), 0.05 * top, (1e-3, 20.0), 1e-7 * top);
            let x = x.expect("no error").expect("one hump");
            prop_assert!((x / top - 1.0).abs() < 1e-6);
        }

        #[test]
        fn runs_to_the_end_of_a_slope(a in -3.0..3.0_f64, width in 0.1..5.0_f64) {
            let (x, _) = maximum(|x: f64| Ok::<_, Infallible>(x), a, a + width, 1e-8).expect("a slope");
            prop_assert!(x <= a + width && a + width - x < 1e-6);
        }
    }

    #[test]
    fn an_error_of_the_function_comes_back() {
        let r = maximum(|_| Err::<f64, _>("no".to_owned()), 0.0, 1.0, 1e-6);
        assert!(matches!(r, Err(RootError::Function(_))));
        let r = maximum(|_| Ok::<_, Infallible>(f64::NAN), 0.0, 1.0, 1e-6);
        assert!(matches!(r, Err(RootError::Solver(_))));
    }
}
