//! Least squares with several unknowns: steps after Levenberg and Marquardt, then after Gauss and Newton; covariance
//! of what was found.

use nalgebra::{DMatrix, DVector};

/// Most steps of a fit.
const MOST_STEPS: usize = 5_000;
/// Fall of the sum of squares, relative, below which Gauss-Newton takes over.
const FLAT: f64 = 1e-10;
/// The same, plain, where there are priors: residuals stand over their uncertainties, and so little means nothing.
const FLAT_OF_PRIORS: f64 = 1e-8;
/// Times in a row that the sum has to be as flat as that.
const FLAT_TIMES: usize = 3;
/// Most steps of Gauss and Newton.
const MOST_LAST_STEPS: usize = 80;
/// Step of a central difference over the value: the cube root of the rounding of a number.
const RELATIVE_STEP: f64 = 6e-6;
/// Share of the largest singular value below which the readings say nothing along a direction.
const RANK: f64 = 1e-13;
/// First length of a step, scaled, over that of the start.
const FIRST_LENGTH: f64 = 1.0;
/// Shares of the promised fall: below the first a step is not taken, below the second the next is shorter, above the
/// third longer.
const GAINS: (f64, f64, f64) = (1e-4, 0.25, 0.75);
/// How near the length of a step has to come to the one that is allowed.
const NEAR: f64 = 0.1;

/// Residuals by parameters, each over its standard uncertainty; `None` where there are none.
pub type Residuals<'a> = &'a dyn Fn(&[f64]) -> Option<Vec<f64>>;

/// Derivatives of the residuals: a row a residual, a column a parameter.
pub type Jacobian<'a> = &'a dyn Fn(&[f64]) -> Option<DMatrix<f64>>;

/// How the derivatives are had.
pub enum Derivatives<'a> {
    /// Given.
    Given(Jacobian<'a>),
    /// Central differences over a small share of each parameter.
    Central,
    /// Central differences over these half-widths.
    Over(&'a [f64]),
}

/// What was known of a parameter before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    /// Value.
    pub value: f64,
    /// Standard uncertainty.
    pub deviation: f64,
}

/// A problem of least squares.
pub struct Problem<'a> {
    /// Residuals over their standard uncertainties.
    pub residuals: Residuals<'a>,
    /// Their derivatives.
    pub derivatives: Derivatives<'a>,
    /// What was known of each parameter; empty: nothing.
    pub priors: &'a [Option<Prior>],
}

/// What was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// Parameters.
    pub parameters: Vec<f64>,
    /// Residuals left, without those of the priors.
    pub residuals: Vec<f64>,
    /// Sum of the squares of the residuals, priors and all.
    pub sum_of_squares: f64,
    /// Residuals, those of the priors counted, less parameters.
    pub degrees_of_freedom: usize,
    /// `(JᵀJ)⁻¹`, by rows, priors counted: the covariance where residuals stand over their standard uncertainties.
    pub covariance: Vec<Vec<f64>>,
}

/// Why nothing was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum FitError {
    /// The residuals cannot be had at the start.
    #[error("the residuals cannot be had where the search begins")]
    Start,
    /// Fewer residuals than unknowns.
    #[error("{residuals} readings do not tell {parameters} unknowns")]
    TooFew {
        /// Readings.
        residuals: usize,
        /// Unknowns.
        parameters: usize,
    },
    /// Nothing tells this parameter, or only together with others.
    #[error("the readings say nothing of unknown {parameter}, or only together with others")]
    Undetermined {
        /// Its place.
        parameter: usize,
    },
    /// The steps ran out.
    #[error("no least sum of squares within {steps} steps")]
    NoMinimum {
        /// How many.
        steps: usize,
    },
}

impl Fit {
    /// Standard uncertainty of a parameter, where residuals stand over their standard uncertainties.
    pub fn deviation(&self, parameter: usize) -> f64 {
        self.covariance[parameter][parameter].sqrt()
    }

    /// Standard deviation of the residuals: `√(S/ν)`; what the uncertainties are multiplied by where none were known.
    pub fn scatter(&self) -> f64 {
        (self.sum_of_squares / self.degrees_of_freedom.max(1) as f64).sqrt()
    }
}

/// Covariance of two results with these gradients: `gᵀ C h`; of one result with itself, its variance.
///
/// **Valid:** results that are near straight lines over the uncertainties. **Source:** `jcgm100`, 5.2.2 and H.2.
pub fn propagated(covariance: &[Vec<f64>], g: &[f64], h: &[f64]) -> f64 {
    let row = |row: &Vec<f64>| row.iter().zip(h).map(|(c, h)| c * h).sum::<f64>();
    covariance.iter().zip(g).map(|(c, g)| g * row(c)).sum()
}

/// Residuals and derivatives, those of the priors below them.
struct Whole {
    r: DVector<f64>,
    j: DMatrix<f64>,
}

impl Problem<'_> {
    /// Finds the parameters with the least sum of squares, from a start.
    ///
    /// `S(p) = Σ rᵢ(p)² + Σ ((pⱼ − aⱼ)/uⱼ)²`. Each step goes to the least of the linear problem that is no longer than
    /// what the last gain allows, lengths scaled by the longest column so far: damped normal equations solved by
    /// orthogonal factors. At the bottom Gauss-Newton steps until they are rounding.
    ///
    /// **Valid:** smooth residuals; a parameter that has to stay positive is given as its logarithm.
    /// **Source:** after `more1978`; held to the certified regressions of `niststrd`.
    ///
    /// # Errors
    /// [`FitError`].
    pub fn fit(&self, start: &[f64]) -> Result<Fit, FitError> {
        let n = start.len();
        let mut p = DVector::from_column_slice(start);
        let mut here = self.at(&p).ok_or(FitError::Start)?;
        if here.r.len() < n {
            return Err(FitError::TooFew {
                residuals: here.r.len(),
                parameters: n,
            });
        }
        let mut longest = DVector::from_element(n, 0.0_f64);
        let (mut allowed, mut flat) = (f64::NAN, 0);
        let mut left = MOST_STEPS;
        while flat < FLAT_TIMES {
            left = left
                .checked_sub(1)
                .ok_or(FitError::NoMinimum { steps: MOST_STEPS })?;
            for k in 0..n {
                longest[k] = longest[k].max(here.j.column(k).norm());
            }
            if allowed.is_nan() {
                let start = longest.component_mul(&p).norm();
                allowed = FIRST_LENGTH * if start > 0.0 { start } else { 1.0 };
            }
            let square = here.r.norm_squared();
            let step = here.within(&longest, allowed);
            let length = longest.component_mul(&step).norm();
            let promised = square - (&here.r + &here.j * &step).norm_squared();
            let ahead = &p + &step;
            let fall = self
                .residuals_at(&ahead)
                .map_or(f64::NEG_INFINITY, |r| square - r.norm_squared());
            let gain = fall / promised.max(f64::MIN_POSITIVE);
            if gain < GAINS.1 {
                allowed = 0.25 * length.min(allowed);
            } else if gain > GAINS.2 {
                allowed = allowed.max(2.0 * length);
            }
            let nothing = if self.priors.is_empty() {
                FLAT * square
            } else {
                FLAT_OF_PRIORS.max(FLAT * square)
            };
            flat = if promised <= nothing && fall <= nothing {
                flat + 1
            } else {
                0
            };
            if gain > GAINS.0
                && let Some(next) = self.at(&ahead)
            {
                (p, here) = (ahead, next);
            }
        }
        self.last(p, here)
    }

    /// Gauss-Newton until the steps are rounding, and what was found.
    fn last(&self, mut p: DVector<f64>, mut here: Whole) -> Result<Fit, FitError> {
        let mut before = f64::INFINITY;
        for _ in 0..MOST_LAST_STEPS {
            let Some(step) = here.damped(&DVector::zeros(p.len()), 0.0) else {
                break;
            };
            let size = step.iter().zip(p.iter()).fold(0.0_f64, |most, (s, p)| {
                most.max((s / p.abs().max(f64::MIN_POSITIVE)).abs())
            });
            let ahead = &p + &step;
            let Some(next) = self.at(&ahead) else { break };
            // at the bottom a step that shrinks no more is rounding
            let worse = next.r.norm_squared() > here.r.norm_squared() * (1.0 + 1e-6);
            if worse || size >= before {
                break;
            }
            before = size;
            (p, here) = (ahead, next);
        }
        let known = |k: usize| self.priors.get(k).is_some_and(Option::is_some);
        let covariance = here.covariance(&p, &known)?;
        let n = p.len();
        let readings = here.r.len() - self.priors.iter().flatten().count();
        Ok(Fit {
            sum_of_squares: here.r.norm_squared(),
            degrees_of_freedom: here.r.len() - n,
            residuals: here.r.iter().take(readings).copied().collect(),
            parameters: p.iter().copied().collect(),
            covariance,
        })
    }

    fn residuals_at(&self, p: &DVector<f64>) -> Option<DVector<f64>> {
        let mut r = (self.residuals)(p.as_slice())?;
        let priors = self.priors.iter().zip(p.iter());
        r.extend(priors.filter_map(|(a, p)| a.map(|a| (p - a.value) / a.deviation)));
        r.iter()
            .all(|r| r.is_finite())
            .then(|| DVector::from_vec(r))
    }

    fn at(&self, p: &DVector<f64>) -> Option<Whole> {
        let r = self.residuals_at(p)?;
        let n = p.len();
        let mut j = DMatrix::zeros(r.len(), n);
        if let Derivatives::Given(given) = &self.derivatives {
            let given = given(p.as_slice())?;
            j.rows_mut(0, given.nrows()).copy_from(&given);
            let priors = self
                .priors
                .iter()
                .enumerate()
                .filter_map(|(k, a)| Some((k, (*a)?)));
            for (i, (k, a)) in priors.enumerate() {
                j[(given.nrows() + i, k)] = 1.0 / a.deviation;
            }
        } else {
            for k in 0..n {
                let step = match self.derivatives {
                    Derivatives::Over(steps) => steps[k],
                    _ if p[k] != 0.0 => RELATIVE_STEP * p[k].abs(),
                    _ => RELATIVE_STEP,
                };
                let beside = |by: f64| {
                    let mut q = p.clone();
                    q[k] += by;
                    Some((self.residuals_at(&q)?, q[k]))
                };
                let ((above, up), (below, down)) = (beside(step)?, beside(-step)?);
                j.set_column(k, &((above - below) / (up - down)));
            }
        }
        j.iter().all(|x| x.is_finite()).then_some(Whole { r, j })
    }
}

impl Whole {
    /// The step to the least of the linear problem that is no longer than allowed.
    fn within(&self, longest: &DVector<f64>, allowed: f64) -> DVector<f64> {
        let zero = || DVector::zeros(longest.len());
        let length = |step: &Option<DVector<f64>>| {
            step.as_ref()
                .map_or(f64::INFINITY, |s| longest.component_mul(s).norm())
        };
        let free = self.damped(longest, 0.0);
        if length(&free) <= allowed * (1.0 + NEAR) {
            return free.unwrap_or_else(zero);
        }
        // damping that makes it as long: the longer the step allowed, the less; halved on a scale of powers
        let (mut low, mut high) = (-40.0_f64, 20.0_f64);
        let mut best = None;
        while high - low > 1e-3 {
            let middle = 0.5 * (low + high);
            let step = self.damped(longest, 10_f64.powf(middle));
            let found = length(&step);
            (low, high) = if found > allowed {
                (middle, high)
            } else {
                (low, middle)
            };
            if found.is_finite() {
                best = step;
            }
            if (found / allowed - 1.0).abs() <= NEAR {
                break;
            }
        }
        best.unwrap_or_else(zero)
    }

    /// The damped step; `None` where the columns depend on one another.
    fn damped(&self, longest: &DVector<f64>, damping: f64) -> Option<DVector<f64>> {
        let (m, n) = self.j.shape();
        let rows = if damping > 0.0 { m + n } else { m };
        let mut a = DMatrix::zeros(rows, n);
        a.rows_mut(0, m).copy_from(&self.j);
        let mut b = DVector::zeros(rows);
        b.rows_mut(0, m).copy_from(&-&self.r);
        for k in 0..rows - m {
            a[(m + k, k)] = damping.sqrt() * longest[k];
        }
        let scale = scaled(&mut a);
        let qr = a.qr();
        qr.q_tr_mul(&mut b);
        let mut step = qr.r().solve_upper_triangular(&b.rows(0, n).into_owned())?;
        step.component_div_assign(&scale);
        step.iter().all(|x| x.is_finite()).then_some(step)
    }

    /// `(JᵀJ)⁻¹`; what nothing was known of before has to move something.
    fn covariance(
        &self,
        p: &DVector<f64>,
        known: &dyn Fn(usize) -> bool,
    ) -> Result<Vec<Vec<f64>>, FitError> {
        let mut a = self.j.clone();
        let scale = scaled(&mut a);
        // what the whole of a parameter moves
        let moves = scale.component_mul(&p.abs());
        let idle = |k: &usize| !known(*k) && p[*k] != 0.0 && moves[*k] <= RANK * moves.max();
        if let Some(parameter) = (0..p.len()).find(idle) {
            return Err(FitError::Undetermined { parameter });
        }
        let svd = a.svd(false, true);
        let v_t = svd.v_t.ok_or(FitError::Undetermined { parameter: 0 })?;
        let n = scale.len();
        let most = svd.singular_values.max();
        if let Some(weak) = (0..n).find(|&k| svd.singular_values[k] <= RANK * most) {
            return Err(FitError::Undetermined {
                parameter: v_t.row(weak).transpose().iamax(),
            });
        }
        let of = |i: usize, j: usize| {
            let along = (0..n).map(|k| v_t[(k, i)] * v_t[(k, j)] / svd.singular_values[k].powi(2));
            along.sum::<f64>() / (scale[i] * scale[j])
        };
        Ok((0..n).map(|i| (0..n).map(|j| of(i, j)).collect()).collect())
    }
}

/// Makes every column one long; gives how long they were.
fn scaled(a: &mut DMatrix<f64>) -> DVector<f64> {
    let lengths = (0..a.ncols()).map(|k| {
        let length = a.column(k).norm();
        if length > 0.0 { length } else { 1.0 }
    });
    let scale = DVector::from_iterator(a.ncols(), lengths);
    for (mut column, length) in a.column_iter_mut().zip(scale.iter()) {
        column /= *length;
    }
    scale
}
