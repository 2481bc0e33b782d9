//! The stiff method: a Rosenbrock method of fourth order with an estimate of third, six stages, L-stable and
//! stiffly accurate; and the look-out that tells when it is wanted.
//!
//! `(I/(hγ) - J) u_i = f(y + Σ a_ij u_j) + Σ c_ij u_j / h`, `y1 = y + Σ a_6j u_j + u_6`, error `u_6`
//! (a method of the family RODAS, source key `hairer1996`, with Steinebach's coefficients, which keep their order
//! where the stiff part is driven, source key `steinebach1995`; with the usual ones the same tests take up to ten
//! times the steps). The Jacobian is taken by differences, once an accepted step.

use super::{Options, Problem, Work, error_size, weight};
use nalgebra::{DMatrix, DVector};

const STAGES: usize = 6;
const GAMMA: f64 = 0.25;
/// Places of the stages in the step; the slope does not hang on the time, so they matter to its messages alone.
const C: [f64; STAGES] = [0.0, 0.75, 0.21, 0.63, 1.0, 1.0];
const A: [[f64; 5]; STAGES] = [
    [0.0; 5],
    [3.0, 0.0, 0.0, 0.0, 0.0],
    [
        1.831_036_793_486_759,
        0.495_518_396_743_379_5,
        0.0,
        0.0,
        0.0,
    ],
    [
        2.304_376_582_692_669,
        -0.052_492_752_457_430_01,
        -1.176_798_761_832_782,
        0.0,
        0.0,
    ],
    [
        -7.170_454_962_423_024,
        -4.741_636_671_481_785,
        -16.310_026_313_309_71,
        -1.062_004_044_111_401,
        0.0,
    ],
    [
        -7.170_454_962_423_024,
        -4.741_636_671_481_785,
        -16.310_026_313_309_71,
        -1.062_004_044_111_401,
        1.0,
    ],
];
const B: [[f64; 5]; STAGES] = [
    [0.0; 5],
    [-12.0, 0.0, 0.0, 0.0, 0.0],
    [
        -8.791_795_173_947_035,
        -2.207_865_586_973_518,
        0.0,
        0.0,
        0.0,
    ],
    [
        10.817_930_568_571_53,
        6.780_270_611_428_266,
        19.534_859_446_424_1,
        0.0,
        0.0,
    ],
    [
        34.190_950_067_496_76,
        15.496_711_537_259_63,
        54.747_608_759_641_3,
        14.160_053_921_485_34,
        0.0,
    ],
    [
        34.626_058_309_305_32,
        15.300_849_761_144_73,
        56.999_555_786_626_67,
        18.408_070_097_930_95,
        -5.714_285_714_285_717,
    ],
];
/// Weights of the interpolant.
const D: [[f64; 5]; 2] = [
    [
        25.098_767_037_085_89,
        11.620_131_043_618_67,
        28.491_483_077_146_26,
        -5.664_021_568_594_133,
        0.0,
    ],
    [
        1.638_054_557_396_973,
        -0.737_361_980_667_874_8,
        8.477_918_219_238_99,
        15.992_531_487_795_2,
        -1.882_352_941_176_471,
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

/// Product of step and greatest rate of decay above which the explicit method does not follow what decays: over the
/// steps that it takes to tell, that is dead. Its stability ends at 3.3 (`hairer1996`, IV.2); with fine tolerances its
/// estimate of the error holds it to less than half of that.
const HELD_BACK: f64 = 1.0;
/// Steps that must be held back, with fewer than [`QUIET`] in a row that are not.
const STRIKES: usize = 15;
const QUIET: usize = 6;
/// Steps still to come for which the change of method pays: an explicit step costs six slopes, a stiff run some
/// hundred steps of six and one a variable.
const WORTHWHILE: f64 = 300.0;

/// Watches the explicit method for steps that are short for the sake of what has decayed.
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

    /// `y' = -k (y - cos s) - sin s`, `s' = 1`, `z' = y`: from `y = 1` and `z = 0` the solution is `y = cos t` and
    /// `z = sin t` at any rate `k`. Without `z` no step would be too long: `y` is right at its end.
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
            dy[2] = y[0];
            Ok(())
        }
        fn events(&mut self, _t: f64, y: &[f64], g: &mut [f64]) -> Result<(), String> {
            for g in g {
                *g = 100.0 + y[0] - y[1];
            }
            Ok(())
        }
        fn accepted(&mut self, step: &Segment<'_>) -> Result<(), String> {
            let mut y = [0.0; 3];
            for i in 0..=10 {
                let t = step.start() + (step.end() - step.start()) * f64::from(i) / 10.0;
                step.at(t, &mut y);
                let off = (y[0] - t.cos()).abs().max((y[2] - t.sin()).abs());
                self.dense_error = self.dense_error.max(off);
            }
            Ok(())
        }
        fn differences(&self, _y: &[f64]) -> Option<Vec<f64>> {
            self.may_change.then(|| vec![1e-7; 3])
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
            absolute: vec![tolerance; 3],
            first_step: None,
            longest_step: f64::INFINITY,
            most_steps: 20_000,
            events,
        };
        integrate(p, 0.0, &[1.0, 0.0, 0.0], end, &options)
    }

    // Analytic: cos t. The explicit method is held to steps of 3.3/k: 3e6 of them at the fastest rate here.
    #[test]
    fn a_stiff_system_takes_no_more_steps_the_stiffer_it_is() {
        for k in [1e3, 1e5, 1e7] {
            let mut p = pulled(k, true);
            let end = run(&mut p, 20.0, 1e-8, 0).expect("in few steps");
            assert!((end.y[0] - 20.0_f64.cos()).abs() < 1e-7, "{k} {end:?}");
            assert!((end.y[2] - 20.0_f64.sin()).abs() < 1e-7, "{k} {end:?}");
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
