//! The explicit method: Dormand and Prince's pair of fifth and fourth order.
//!
//! Coefficients (source keys `dormand1980`, `hairer1993`).

use super::{Options, Problem, Work, error_size};

const C: [f64; 7] = [0.0, 0.2, 0.3, 0.8, 8.0 / 9.0, 1.0, 1.0];
const A: [[f64; 6]; 7] = [
    [0.0; 6],
    [0.2, 0.0, 0.0, 0.0, 0.0, 0.0],
    [3.0 / 40.0, 9.0 / 40.0, 0.0, 0.0, 0.0, 0.0],
    [44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0, 0.0, 0.0, 0.0],
    [
        19372.0 / 6561.0,
        -25360.0 / 2187.0,
        64448.0 / 6561.0,
        -212.0 / 729.0,
        0.0,
        0.0,
    ],
    [
        9017.0 / 3168.0,
        -355.0 / 33.0,
        46732.0 / 5247.0,
        49.0 / 176.0,
        -5103.0 / 18656.0,
        0.0,
    ],
    [
        35.0 / 384.0,
        0.0,
        500.0 / 1113.0,
        125.0 / 192.0,
        -2187.0 / 6784.0,
        11.0 / 84.0,
    ],
];
/// Fifth-order less fourth-order weights.
const E: [f64; 7] = [
    71.0 / 57600.0,
    0.0,
    -71.0 / 16695.0,
    71.0 / 1920.0,
    -17253.0 / 339_200.0,
    22.0 / 525.0,
    -1.0 / 40.0,
];
/// Weights of the last coefficient of the interpolant.
const D: [f64; 7] = [
    -12_715_105_075.0 / 11_282_082_432.0,
    0.0,
    87_487_479_700.0 / 32_700_410_799.0,
    -10_690_763_975.0 / 1_880_347_072.0,
    701_980_252_875.0 / 199_316_789_632.0,
    -1_453_857_185.0 / 822_651_844.0,
    69_997_945.0 / 29_380_423.0,
];

/// Fills the stages and the trial state; gives the error estimate in units of the tolerance.
pub(super) fn try_step<P: Problem>(
    problem: &mut P,
    t: f64,
    h: f64,
    w: &mut Work,
    options: &Options,
) -> Result<f64, P::Error> {
    for stage in 1..7 {
        for i in 0..w.y.len() {
            let sum: f64 = (0..stage).map(|j| A[stage][j] * w.k[j][i]).sum();
            w.trial[i] = w.y[i] + h * sum;
        }
        if stage == 5 {
            w.before.copy_from_slice(&w.trial);
        }
        problem.slope(t + C[stage] * h, &w.trial, &mut w.k[stage])?;
    }
    Ok(error_size(w, options, |i| {
        let e: f64 = (0..7).map(|j| E[j] * w.k[j][i]).sum();
        h * e
    }))
}

/// Step times rate of decay, from the two slopes at the end of a step.
pub(super) fn held_back(h: f64, w: &Work, options: &Options) -> f64 {
    let slopes = error_size(w, options, |i| w.k[6][i] - w.k[5][i]);
    let states = error_size(w, options, |i| w.trial[i] - w.before[i]);
    if states > 0.0 {
        h * slopes / states
    } else {
        0.0
    }
}

pub(super) fn dense_output(h: f64, w: &mut Work) {
    for i in 0..w.y.len() {
        let (y0, y1) = (w.y[i], w.trial[i]);
        let difference = y1 - y0;
        let bend = h * w.k[0][i] - difference;
        w.r[0][i] = y0;
        w.r[1][i] = difference;
        w.r[2][i] = bend;
        w.r[3][i] = difference - h * w.k[6][i] - bend;
        w.r[4][i] = h * (0..7).map(|j| D[j] * w.k[j][i]).sum::<f64>();
    }
}
