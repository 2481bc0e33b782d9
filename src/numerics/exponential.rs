//! Exponentials of many numbers at once.
//!
//! The sums of the equations of state need some twenty a temperature. Written without a branch or a table,
//! a loop over them is done two or four at a time.

/// Arguments are taken as not beyond this: `e^700` is near the end of what a double holds.
const MOST: f64 = 700.0;
/// Added and taken off again it rounds to a whole number, which then stands in the last bits.
const ROUNDS: f64 = 6_755_399_441_055_744.0;
/// `ln 2` in two parts, the first with zeros at its end.
const LN2: (f64, f64) = (6.931_471_803_691_238e-1, 1.908_214_929_270_587_7e-10);
/// `1/k!` for k = 13 down to 0.
const SERIES: [f64; 14] = [
    1.0 / 6_227_020_800.0,
    1.0 / 479_001_600.0,
    1.0 / 39_916_800.0,
    1.0 / 3_628_800.0,
    1.0 / 362_880.0,
    1.0 / 40_320.0,
    1.0 / 5_040.0,
    1.0 / 720.0,
    1.0 / 120.0,
    1.0 / 24.0,
    1.0 / 6.0,
    0.5,
    1.0,
    1.0,
];

/// Replaces each number by its exponential: `e^x = 2^k e^r`, `r = x − k ln 2`, with the Taylor series of
/// `e^r` to `r^13` (`|r| ≤ ½ ln 2`: what is left out is below a tenth of the last digit).
///
/// **Valid:** `|x| ≤ 700`; beyond that the value there. **Source:** textbook knowledge.
///
/// ```
/// let mut x = [0.0, 1.0, -3.5];
/// fuelwright::numerics::exponential::exponentials(&mut x);
/// assert!((x[1] / std::f64::consts::E - 1.0).abs() < 1e-15);
/// ```
pub fn exponentials(x: &mut [f64]) {
    for x in x {
        *x = exponential(*x);
    }
}

#[inline]
fn exponential(x: f64) -> f64 {
    let x = x.clamp(-MOST, MOST);
    let rounded = x * std::f64::consts::LOG2_E + ROUNDS;
    let k = rounded - ROUNDS;
    let r = (x - k * LN2.0) - k * LN2.1;
    // odd and even powers apart: two chains of products run side by side
    let square = r * r;
    let (mut odd, mut even) = (SERIES[0], SERIES[1]);
    for pair in SERIES[2..].chunks_exact(2) {
        odd = odd * square + pair[0];
        even = even * square + pair[1];
    }
    let sum = odd * r + even;
    let power = rounded.to_bits().wrapping_add(1023) << 52;
    sum * f64::from_bits(power)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn exponentials_agree_with_those_of_the_standard_library() {
        for i in -6990..=6990 {
            let x = f64::from(i) * 0.100_123;
            let mut y = [x, -x];
            exponentials(&mut y);
            assert!((y[0] / x.exp() - 1.0).abs() < 5e-16, "{x}");
            assert!((y[1] / (-x).exp() - 1.0).abs() < 5e-16, "{x}");
        }
    }
}
