//! Several smooth functions of one variable as Chebyshev series, piece by piece, read together.
//!
//! On each piece `f(x) = Σ c_k T_k(u)` with `u` from -1 to 1 and `c_k` from the values at the Chebyshev points
//! (`clenshaw1955`). Multiplied out to powers of `u` it is read by Horner's scheme, for all functions in one pass: of smooth
//! functions the `c_k` fall faster than the powers' coefficients grow.

use std::f64::consts::PI;

/// Terms of each series.
pub const TERMS: usize = 14;

/// `L` functions on equal pieces of an interval.
#[derive(Debug, Clone, PartialEq)]
pub struct Chebyshev<const L: usize> {
    low: f64,
    per_width: f64,
    /// Coefficients of the powers of `u` on a piece; `None` where it could not be sampled or is not good enough.
    pieces: Vec<Option<Vec<[f64; L]>>>,
}

impl<const L: usize> Chebyshev<L> {
    /// Series through the values of `f` on `pieces` equal pieces from `low` to `high`.
    ///
    /// A piece where `f` has no value, or where the series misses `f` between its points by more than
    /// `tolerance` (which is asked for each function), is left out.
    ///
    /// **Valid:** `low < high`, functions that are smooth on each piece. **Source:** `clenshaw1955`.
    pub fn fit(
        (low, high): (f64, f64),
        pieces: usize,
        tolerance: impl Fn(usize, &[f64; L]) -> f64,
        f: impl Fn(f64) -> Option<[f64; L]>,
    ) -> Self {
        let width = (high - low) / pieces as f64;
        let mut made = Self {
            low,
            per_width: width.recip(),
            pieces: vec![None; pieces],
        };
        for i in 0..pieces {
            let middle = low + (i as f64 + 0.5) * width;
            let place = |u: f64| middle + 0.5 * width * u;
            made.pieces[i] = series(&tolerance, |u| f(place(u)));
            // half-way between two points, near an end and in the middle, the miss is at its greatest
            let good = [0.5, TERMS as f64 * 0.5].iter().all(|k| {
                let x = place((PI * (k + 0.5) / TERMS as f64).cos());
                let (Some(want), Some(got)) = (f(x), made.values(x)) else {
                    return false;
                };
                (0..L).all(|l| (got[l] - want[l]).abs() <= tolerance(l, &want))
            });
            if !good {
                made.pieces[i] = None;
            }
        }
        made
    }

    /// Values of all functions; `None` outside the interval or on a piece that was left out.
    #[inline]
    pub fn values(&self, x: f64) -> Option<[f64; L]> {
        let place = (x - self.low) * self.per_width;
        if !(place >= 0.0 && place <= self.pieces.len() as f64) {
            return None;
        }
        // the upper end belongs to the last piece
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between zero and the number of pieces, as just seen"
        )]
        let i = (place as usize).min(self.pieces.len() - 1);
        let c = self.pieces[i].as_deref()?;
        let u = 2.0 * (place - i as f64) - 1.0;
        Some(horner(c, u))
    }

    /// Share of the pieces that have a series.
    pub fn coverage(&self) -> f64 {
        let with = self.pieces.iter().filter(|p| p.is_some()).count();
        with as f64 / self.pieces.len() as f64
    }
}

/// `Σ c_k u^k` of all functions. By itself it stays in registers, two functions at a time.
#[inline(never)]
fn horner<const L: usize>(c: &[[f64; L]], u: f64) -> [f64; L] {
    let mut out = [0.0; L];
    for row in c.iter().rev() {
        for (out, c) in out.iter_mut().zip(row) {
            *out = *out * u + c;
        }
    }
    out
}

/// Share of the tolerance that terms may have which are left out at the end of a series.
const NOTHING: f64 = 1e-3;

/// Coefficients of powers from the values at the Chebyshev points of the first kind, as far as they matter.
fn series<const L: usize>(
    tolerance: &impl Fn(usize, &[f64; L]) -> f64,
    f: impl Fn(f64) -> Option<[f64; L]>,
) -> Option<Vec<[f64; L]>> {
    let n = TERMS as f64;
    let angle = |j: usize| PI * (j as f64 + 0.5) / n;
    let mut values = [[0.0; L]; TERMS];
    for (j, value) in values.iter_mut().enumerate() {
        *value = f(angle(j).cos())?;
    }
    let mut c = [[0.0; L]; TERMS];
    for (k, row) in c.iter_mut().enumerate() {
        let weight = if k == 0 { 1.0 / n } else { 2.0 / n };
        for (j, value) in values.iter().enumerate() {
            let factor = weight * (k as f64 * angle(j)).cos();
            for l in 0..L {
                row[l] += factor * value[l];
            }
        }
    }
    let matters =
        |row: &[f64; L]| (0..L).any(|l| row[l].abs() > NOTHING * tolerance(l, &values[TERMS / 2]));
    let used = c.iter().rposition(matters).map_or(1, |k| k + 1);
    Some(powers(&c[..used]))
}

/// The series multiplied out: `T_0 = 1`, `T_1 = u`, `T_{k+1} = 2 u T_k - T_{k-1}`.
fn powers<const L: usize>(c: &[[f64; L]]) -> Vec<[f64; L]> {
    let mut out = vec![[0.0; L]; c.len()];
    let (mut last, mut this) = ([0.0; TERMS], [0.0; TERMS]);
    this[0] = 1.0;
    for (k, row) in c.iter().enumerate() {
        for (out, factor) in out.iter_mut().zip(this) {
            for (out, c) in out.iter_mut().zip(row) {
                *out += factor * c;
            }
        }
        let rise = if k == 0 { 1.0 } else { 2.0 };
        let mut next = last.map(|v| -v);
        for j in 1..TERMS {
            next[j] += rise * this[j - 1];
        }
        (last, this) = (this, next);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn smooth_functions_come_back_to_the_last_digits() {
        let f = |x: f64| Some([x.exp(), (3.0 * x).sin(), 1.0 / (3.0 + x)]);
        let fit = Chebyshev::fit((-1.0, 2.0), 4, |_, _| 1e-12, f);
        assert!((fit.coverage() - 1.0).abs() < 1e-15);
        for i in 0..=300 {
            let x = -1.0 + f64::from(i) * 0.01;
            let (got, want) = (fit.values(x).expect("inside"), f(x).expect("smooth"));
            for l in 0..3 {
                assert!((got[l] - want[l]).abs() < 1e-12, "{x} {l}");
            }
        }
        assert_eq!(fit.values(-1.001), None);
        assert_eq!(fit.values(2.001), None);
        assert_eq!(fit.values(f64::NAN), None);
    }

    #[test]
    fn a_kink_is_left_out_and_the_rest_stays() {
        let fit = Chebyshev::fit((0.0, 4.0), 4, |_, _| 1e-9, |x| Some([(x - 1.5).abs()]));
        assert_eq!(fit.values(1.4), None);
        assert!((fit.values(3.25).expect("smooth")[0] - 1.75).abs() < 1e-12);
    }

    #[test]
    fn a_piece_without_values_is_left_out() {
        let f = |x: f64| (x < 2.9).then_some([x * x]);
        let fit = Chebyshev::fit((0.0, 4.0), 4, |_, _| 1e-9, f);
        assert_eq!(fit.values(2.5), None);
        assert!((fit.values(1.5).expect("smooth")[0] - 2.25).abs() < 1e-12);
    }
}
