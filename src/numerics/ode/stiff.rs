//! The stiff method: a Rosenbrock method of fourth order with an estimate of third, six stages, L-stable and
//! stiffly accurate; and the look-out that tells when it is wanted.
//!
//! `(I/(hγ) - J) u_i = f(y + Σ a_ij u_j) + Σ c_ij u_j / h`, `y1 = y + Σ a_6j u_j + u_6`, error `u_6`
//! (RODAS of Hairer and Wanner, source key `hairer1996`). The Jacobian is taken by differences, once an
//! accepted step.

use super::{Options, Problem, Work, error_size, weight};
use nalgebra::{DMatrix, DVector};

const STAGES: usize = 6;
const GAMMA: f64 = 0.25;
/// Places of the stages in the step; the slope does not hang on the time, so they matter to its messages alone.
const C: [f64; STAGES] = [0.0, 0.386, 0.21, 0.63, 1.0, 1.0];
const A: [[f64; 5]; STAGES] = [
    [0.0; 5],
    [1.544, 0.0, 0.0, 0.0, 0.0],
    [
        0.946_678_528_081_582_6,
        0.255_701_169_898_328_4,
        0.0,
        0.0,
        0.0,
    ],
    [
        3.314_825_187_068_521,
        2.896_124_015_972_201,
        0.998_641_913_997_781_7,
        0.0,
        0.0,
    ],
    [
        1.221_224_509_226_641,
        6.019_134_481_288_629,
        12.537_083_329_320_87,
        -0.687_886_036_105_895,
        0.0,
    ],
    [
        1.221_224_509_226_641,
        6.019_134_481_288_629,
        12.537_083_329_320_87,
        -0.687_886_036_105_895,
        1.0,
    ],
];
const B: [[f64; 5]; STAGES] = [
    [0.0; 5],
    [-5.6688, 0.0, 0.0, 0.0, 0.0],
    [
        -2.430_093_356_833_875,
        -0.206_359_915_709_191_5,
        0.0,
        0.0,
        0.0,
    ],
    [
        -0.107_352_905_815_137_5,
        -9.594_562_251_023_355,
        -20.470_286_148_096_16,
        0.0,
        0.0,
    ],
    [
        7.496_443_313_967_647,
        -10.246_804_314_643_52,
        -33.999_903_528_199_05,
        11.708_908_932_061_6,
        0.0,
    ],
    [
        8.083_246_795_921_522,
        -7.981_132_988_064_893,
        -31.521_594_328_743_71,
        16.319_305_431_231_36,
        -6.058_818_238_834_054,
    ],
];
/// Weights of the interpolant.
const D: [[f64; 5]; 2] = [
    [
        10.126_235_083_445_86,
        -7.487_995_877_610_167,
        -34.800_918_615_557_47,
        -7.992_771_707_568_823,
        1.025_137_723_295_662,
    ],
    [
        -0.676_280_339_280_125_3,
        6.087_714_651_680_015,
        16.430_843_208_924_78,
        24.767_225_114_183_86,
        -6.594_389_125_716_872,
    ],
];

/// What is kept from one step to the next.
pub(super) struct Stiff {
    /// Of the last accepted state, in units of the tolerances; `None` until it is needed.
    jacobian: Option<DMatrix<f64>>,
    /// Unit of each variable.
    scale: Vec<f64>,
    u: [DVector<f64>; STAGES],
}

impl Stiff {
    pub(super) fn new(n: usize) -> Self {
        Self {
            jacobian: None,
            scale: vec![1.0; n],
            u: std::array::from_fn(|_| DVector::zeros(n)),
        }
    }

    /// A step has been accepted: the state is another one.
    pub(super) fn moved(&mut self) {
        self.jacobian = None;
    }

    /// Fills the trial state and its slope; gives the error estimate in units of the tolerance.
    pub(super) fn try_step<P: Problem>(
        &mut self,
        problem: &mut P,
        t: f64,
        h: f64,
        w: &mut Work,
        options: &Options,
    ) -> Result<f64, P::Error> {
        let n = w.y.len();
        let jacobian = match self.jacobian.take() {
            Some(known) => known,
            None => self.differenced(problem, t, w, options)?,
        };
        let mut matrix = -&jacobian;
        self.jacobian = Some(jacobian);
        for i in 0..n {
            matrix[(i, i)] += 1.0 / (h * GAMMA);
        }
        let lu = matrix.lu();
        for stage in 0..STAGES {
            if stage > 0 {
                for i in 0..n {
                    let sum: f64 = (0..stage).map(|j| A[stage][j] * self.u[j][i]).sum();
                    w.trial[i] = w.y[i] + self.scale[i] * sum;
                }
                problem.slope(t + C[stage] * h, &w.trial, &mut w.k[stage])?;
            }
            let mut right = DVector::zeros(n);
            for i in 0..n {
                let sum: f64 = (0..stage).map(|j| B[stage][j] * self.u[j][i]).sum();
                right[i] = w.k[stage][i] / self.scale[i] + sum / h;
            }
            if !lu.solve_mut(&mut right) {
                return Ok(f64::NAN);
            }
            self.u[stage] = right;
        }
        let last = &self.u[STAGES - 1];
        for i in 0..n {
            w.trial[i] += self.scale[i] * last[i];
        }
        problem.slope(t + h, &w.trial, &mut w.k[6])?;
        Ok(error_size(w, options, |i| self.scale[i] * last[i]))
    }

    /// Jacobian of the slope at the state, by differences that the problem names.
    fn differenced<P: Problem>(
        &mut self,
        problem: &mut P,
        t: f64,
        w: &mut Work,
        options: &Options,
    ) -> Result<DMatrix<f64>, P::Error> {
        let n = w.y.len();
        let differences = problem.differences(&w.y).unwrap_or_default();
        for i in 0..n {
            self.scale[i] = weight(options, i, w.y[i]);
        }
        let mut jacobian = DMatrix::zeros(n, n);
        w.trial.copy_from_slice(&w.y);
        for (j, &difference) in differences.iter().enumerate().take(n) {
            let mut by = difference;
            w.trial[j] = w.y[j] + by;
            if problem.slope(t, &w.trial, &mut w.k[1]).is_err() {
                // at the edge of a range: the other way
                by = -difference;
                w.trial[j] = w.y[j] + by;
                problem.slope(t, &w.trial, &mut w.k[1])?;
            }
            for i in 0..n {
                let slope = (w.k[1][i] - w.k[0][i]) / by;
                jacobian[(i, j)] = slope * self.scale[j] / self.scale[i];
            }
            w.trial[j] = w.y[j];
        }
        Ok(jacobian)
    }

    /// Coefficients of the interpolant, of third order.
    pub(super) fn dense_output(&self, w: &mut Work) {
        for i in 0..w.y.len() {
            let sum =
                |d: &[f64; 5]| self.scale[i] * (0..5).map(|j| d[j] * self.u[j][i]).sum::<f64>();
            w.r[0][i] = w.y[i];
            w.r[1][i] = w.trial[i] - w.y[i];
            w.r[2][i] = sum(&D[0]);
            w.r[3][i] = sum(&D[1]);
            w.r[4][i] = 0.0;
        }
    }
}

/// Product of step and greatest rate of decay above which the explicit method is held back by its stability: its
/// limit is 3.3 (`hairer1996`, IV.2).
const HELD_BACK: f64 = 3.25;
/// Steps that must be held back, with fewer than [`QUIET`] in a row that are not.
const STRIKES: usize = 15;
const QUIET: usize = 6;
/// Steps still to come for which the change of method pays: an explicit step costs six slopes, a stiff run some
/// hundred steps of six and one a variable.
const WORTHWHILE: f64 = 300.0;

/// Watches the explicit method for steps that are short for stability's sake.
#[derive(Debug, Default)]
pub(super) struct Lookout {
    strikes: usize,
    quiet: usize,
}

impl Lookout {
    /// Whether it is time to change the method.
    ///
    /// * `held` — step times rate of decay of the step just taken
    /// * `steps_left` — rest of the way in steps of the present length
    pub(super) fn calls(&mut self, held: f64, steps_left: f64) -> bool {
        if held > HELD_BACK {
            self.strikes += 1;
            self.quiet = 0;
        } else {
            self.quiet += 1;
            if self.quiet >= QUIET {
                self.strikes = 0;
            }
        }
        self.strikes >= STRIKES && steps_left > WORTHWHILE
    }
}

#[cfg(test)]
mod tests {
    use crate::numerics::ode::{OdeError, Options, Outcome, Problem, Segment, Stopped, integrate};

    /// `y' = -k (y - cos s) - sin s`, `s' = 1`: from `y(0) = 1` the solution is `cos t` at any rate `k`.
    struct Pulled {
        k: f64,
        may_change: bool,
        slopes: usize,
        dense_error: f64,
    }
    impl Problem for Pulled {
        type Error = String;
        fn slope(&mut self, _t: f64, y: &[f64], dy: &mut [f64]) -> Result<(), String> {
            self.slopes += 1;
            dy[0] = -self.k * (y[0] - y[1].cos()) - y[1].sin();
            dy[1] = 1.0;
            Ok(())
        }
        fn events(&mut self, _t: f64, y: &[f64], g: &mut [f64]) -> Result<(), String> {
            for g in g {
                *g = 100.0 + y[0] - y[1];
            }
            Ok(())
        }
        fn accepted(&mut self, step: &Segment<'_>) -> Result<(), String> {
            let mut y = [0.0; 2];
            for i in 0..=10 {
                let t = step.start() + (step.end() - step.start()) * f64::from(i) / 10.0;
                step.at(t, &mut y);
                self.dense_error = self.dense_error.max((y[0] - t.cos()).abs());
            }
            Ok(())
        }
        fn differences(&self, _y: &[f64]) -> Option<Vec<f64>> {
            self.may_change.then(|| vec![1e-5; 2])
        }
    }

    fn pulled(k: f64, may_change: bool) -> Pulled {
        Pulled {
            k,
            may_change,
            slopes: 0,
            dense_error: 0.0,
        }
    }

    fn run(
        p: &mut Pulled,
        end: f64,
        tolerance: f64,
        events: usize,
    ) -> Result<Outcome, OdeError<String>> {
        let options = Options {
            relative: 0.0,
            absolute: vec![tolerance; 2],
            first_step: None,
            longest_step: f64::INFINITY,
            most_steps: 20_000,
            events,
        };
        integrate(p, 0.0, &[1.0, 0.0], end, &options)
    }

    // Analytic: cos t. The explicit method is held to steps of 3.3/k: 3e6 of them at the fastest rate here.
    #[test]
    fn a_stiff_system_takes_no_more_steps_the_stiffer_it_is() {
        for k in [1e3, 1e5, 1e7] {
            let mut p = pulled(k, true);
            let end = run(&mut p, 20.0, 1e-8, 0).expect("in few steps");
            assert!((end.y[0] - 20.0_f64.cos()).abs() < 1e-7, "{k} {end:?}");
            assert!(p.dense_error < 1e-6, "{k} {}", p.dense_error);
            assert!(p.slopes < 8000, "{k} {}", p.slopes);
        }
    }

    #[test]
    fn where_the_method_may_not_change_the_steps_run_out_and_it_says_where() {
        let given_up = run(&mut pulled(1e7, false), 20.0, 1e-8, 0).expect_err("too many steps");
        let OdeError::TooManySteps { t, y, most_steps } = given_up else {
            panic!("{given_up:?}")
        };
        assert_eq!(most_steps, 20_000);
        assert!(t > 0.0 && t < 20.0 && (y[0] - t.cos()).abs() < 1e-6);
    }

    #[test]
    fn both_methods_agree_where_both_can() {
        for k in [10.0, 300.0, 1000.0] {
            let [changed, explicit] = [true, false].map(|may_change| {
                let mut p = pulled(k, may_change);
                let end = run(&mut p, 20.0, 1e-9, 0).expect("few enough steps");
                (end, p.slopes)
            });
            assert!((changed.0.y[0] - explicit.0.y[0]).abs() < 1e-8, "{k}");
            // a system that is not stiff keeps its method, to the last digit
            assert_eq!(k < 100.0, changed == explicit, "{k}");
            assert!(changed.1 <= explicit.1, "{k} {changed:?} {explicit:?}");
        }
    }

    // Analytic: 100 + cos t - t falls through zero where t = 100 + cos t.
    #[test]
    fn an_event_is_found_in_a_stiff_run() {
        let end = run(&mut pulled(1e6, true), 200.0, 1e-9, 1).expect("in few steps");
        assert_eq!(end.stopped, Stopped::Event(0));
        assert!((end.t - 100.0 - end.t.cos()).abs() < 1e-7, "{}", end.t);
    }

    // A method of fourth order: a hundred times the accuracy costs 100^(1/4) = 3.2 times the steps.
    #[test]
    fn steps_grow_with_the_fourth_root_of_the_accuracy() {
        let count = |tolerance: f64| {
            let end = run(&mut pulled(1e5, true), 200.0, tolerance, 0).expect("in few steps");
            f64::from(u32::try_from(end.accepted).expect("few steps"))
        };
        let growth = count(1e-9) / count(1e-7);
        assert!((2.2..4.2).contains(&growth), "3.2 expected, {growth}");
    }
}
