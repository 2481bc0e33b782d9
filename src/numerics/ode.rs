//! Ordinary differential equations: Dormand-Prince 5(4) that stops on events, and changes to a Rosenbrock
//! method where the system turns out to be stiff.
//!
//! Why our own: the slope can fail (a trial step may
//! leave the range of an equation of state), and the run must stop exactly where a quantity that is
//! no state variable crosses a limit. In each of the crates looked at the slope returns nothing, so
//! it cannot fail: `ode_solvers` 0.6 (which can stop after a step, but does not locate the event),
//! `differential-equations` 0.5, and `diffsol` 0.18 (which locates roots, but is built round stiff
//! problems and sparse Jacobians). What is needed fits in four short files.
//!
//! Step control: Hairer, Nørsett and Wanner, *Solving Ordinary Differential Equations I*, II.4 to II.6
//! (source key `hairer1993`).

mod crossing;
mod explicit;
mod stiff;

use stiff::{Lookout, Stiff};

/// A system of equations `dy/dt = f(t, y)` with event functions.
pub trait Problem {
    /// Why a slope could not be had.
    type Error;

    /// Writes `f(t, y)`. An error makes the solver try a shorter step before it gives up.
    ///
    /// # Errors
    /// Whatever makes the slope impossible at this state.
    fn slope(&mut self, t: f64, y: &[f64], dy: &mut [f64]) -> Result<(), Self::Error>;

    /// Writes the event functions; the solver stops where one of them falls through zero.
    /// Watch for a rise with a minus sign. A function that starts at or below zero is ignored
    /// until it has been positive.
    ///
    /// # Errors
    /// Whatever makes them impossible at this state.
    fn events(&mut self, _t: f64, _y: &[f64], _g: &mut [f64]) -> Result<(), Self::Error> {
        Ok(())
    }

    /// Takes what it wants from a finished step (already cut at an event).
    ///
    /// # Errors
    /// Anything that should end the run.
    fn accepted(&mut self, _step: &Segment<'_>) -> Result<(), Self::Error> {
        Ok(())
    }

    /// Differences, one a variable, by which the slope's Jacobian at a state may be taken: well above the noise of the
    /// slope, small against what bends it. `None` keeps the explicit method to the end; with them, the slope must
    /// hang on the state alone and not on the time.
    fn differences(&self, _y: &[f64]) -> Option<Vec<f64>> {
        None
    }
}

/// One accepted step, with values anywhere between its ends.
#[derive(Debug)]
pub struct Segment<'a> {
    t0: f64,
    h: f64,
    t1: f64,
    r: &'a [Vec<f64>; 5],
}

impl Segment<'_> {
    /// Start of the step.
    pub fn start(&self) -> f64 {
        self.t0
    }
    /// End of the step (the event, if it stopped there).
    pub fn end(&self) -> f64 {
        self.t1
    }
    /// Solution at a time inside the step, to fourth order.
    pub fn at(&self, t: f64, y: &mut [f64]) {
        interpolate(self.r, (t - self.t0) / self.h, y);
    }
}

fn interpolate(r: &[Vec<f64>; 5], theta: f64, y: &mut [f64]) {
    let rest = 1.0 - theta;
    for (i, y) in y.iter_mut().enumerate() {
        *y = r[0][i] + theta * (r[1][i] + rest * (r[2][i] + theta * (r[3][i] + rest * r[4][i])));
    }
}

/// How far and how finely to integrate.
#[derive(Debug, Clone, PartialEq)]
pub struct Options {
    /// Local error allowed, relative to each variable.
    pub relative: f64,
    /// Local error allowed in each variable, absolute; one entry a variable.
    pub absolute: Vec<f64>,
    /// First step; estimated from the slope if `None`.
    pub first_step: Option<f64>,
    /// Longest step, so that a brief event is not stepped over.
    pub longest_step: f64,
    /// Most steps (accepted and refused) before giving up.
    pub most_steps: usize,
    /// Number of event functions.
    pub events: usize,
}

/// Why the solver stopped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stopped {
    /// At the end asked for.
    End,
    /// Event of this index fell through zero.
    Event(usize),
}

/// Where the solver stopped.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// Why.
    pub stopped: Stopped,
    /// When.
    pub t: f64,
    /// Solution there.
    pub y: Vec<f64>,
    /// Step the solver would have tried next: a good first step for a continuation.
    pub next_step: f64,
    /// Steps accepted.
    pub accepted: usize,
    /// Steps refused, by the error estimate or because a slope failed.
    pub refused: usize,
}

/// Why there is no solution; `t` and `y` are the last good state.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum OdeError<E> {
    /// The slope failed at the start or however short the step.
    #[error("{source}")]
    Slope {
        /// Last good time.
        t: f64,
        /// Last good state.
        y: Vec<f64>,
        /// What the slope said.
        source: E,
    },
    /// Too many steps.
    #[error("no end reached in {most_steps} steps; the last one ended at {t}")]
    TooManySteps {
        /// Last good time.
        t: f64,
        /// Last good state.
        y: Vec<f64>,
        /// The limit.
        most_steps: usize,
    },
    /// The error estimate asks for a step below the resolution of the clock.
    #[error("the step needed at {t} is too short ({step:e})")]
    StepTooShort {
        /// Last good time.
        t: f64,
        /// Last good state.
        y: Vec<f64>,
        /// The step.
        step: f64,
    },
    /// Not usable: a number that is not finite, no tolerance, or an end before the start.
    #[error("{what}")]
    BadInput {
        /// Which.
        what: &'static str,
    },
}

const SAFETY: f64 = 0.9;
/// Exponents of the explicit method's step controller with memory (Hairer et al., IV.2).
const BETA: f64 = 0.04;
const ALPHA: f64 = 0.2 - 0.75 * BETA;
const SHRINK_AT_MOST: f64 = 0.2;
const GROW_AT_MOST: f64 = 10.0;
/// After a slope that failed the step is cut to this part.
const CUT_AFTER_FAILURE: f64 = 0.25;
/// Shortest step, relative to the time and the span.
const SHORTEST: f64 = 1e-13;
/// Step, relative to the span, at which a slope that keeps failing ends the run.
const SHORTEST_AFTER_FAILURE: f64 = 1e-6;

struct Work {
    y: Vec<f64>,
    trial: Vec<f64>,
    k: [Vec<f64>; 7],
    r: [Vec<f64>; 5],
    g0: Vec<f64>,
    g1: Vec<f64>,
    /// Last state at the end of a step before the trial state itself; the explicit method's.
    before: Vec<f64>,
}

/// The method in use.
enum Method {
    Explicit(Lookout),
    Stiff(Stiff),
}

impl Method {
    /// Fills the stages and the trial state; gives the error estimate in units of the tolerance.
    fn try_step<P: Problem>(
        &mut self,
        problem: &mut P,
        t: f64,
        h: f64,
        w: &mut Work,
        options: &Options,
    ) -> Result<f64, P::Error> {
        match self {
            Self::Explicit(_) => explicit::try_step(problem, t, h, w, options),
            Self::Stiff(stiff) => stiff.try_step(problem, t, h, w, options),
        }
    }
    /// Exponent of the error in the length of a step to try again.
    fn power(&self) -> f64 {
        match self {
            Self::Explicit(_) => 0.2,
            Self::Stiff(_) => 0.25,
        }
    }
    /// Growth of the step after one whose error was within the tolerance.
    fn growth(&self, error: f64, last_error: f64) -> f64 {
        let error = error.max(1e-10);
        let factor = match self {
            Self::Explicit(_) => SAFETY * error.powf(-ALPHA) * last_error.powf(BETA),
            Self::Stiff(_) => SAFETY * error.powf(-self.power()),
        };
        factor.clamp(SHRINK_AT_MOST, GROW_AT_MOST)
    }
    fn dense_output(&self, h: f64, w: &mut Work) {
        match self {
            Self::Explicit(_) => explicit::dense_output(h, w),
            Self::Stiff(stiff) => stiff.dense_output(w),
        }
    }
    /// A step has been accepted: the state is another one, and it may be time to change the method.
    ///
    /// * `steps_left` — rest of the way in steps of the length to come
    fn moved<P: Problem>(
        &mut self,
        problem: &P,
        step: f64,
        steps_left: f64,
        w: &Work,
        options: &Options,
    ) {
        match self {
            Self::Stiff(stiff) => stiff.moved(),
            Self::Explicit(lookout) => {
                let held = explicit::held_back(step, w, options);
                if lookout.calls(held, steps_left) && problem.differences(&w.trial).is_some() {
                    *self = Self::Stiff(Stiff::new(w.y.len()));
                }
            }
        }
    }
}

/// Integrates from `t0` to `t_end` or to the first event.
///
/// # Errors
/// [`OdeError`] with the last good state: a slope that fails however short the step, too many steps, a step too short, or bad input.
pub fn integrate<P: Problem>(
    problem: &mut P,
    t0: f64,
    y0: &[f64],
    t_end: f64,
    options: &Options,
) -> Result<Outcome, OdeError<P::Error>> {
    check(t0, y0, t_end, options)?;
    let n = y0.len();
    let mut w = Work {
        y: y0.to_vec(),
        trial: vec![0.0; n],
        k: std::array::from_fn(|_| vec![0.0; n]),
        r: std::array::from_fn(|_| vec![0.0; n]),
        g0: vec![0.0; options.events],
        g1: vec![0.0; options.events],
        before: vec![0.0; n],
    };
    let mut method = Method::Explicit(Lookout::default());
    let mut t = t0;
    let fail = |t: f64, y: &[f64], source| OdeError::Slope {
        t,
        y: y.to_vec(),
        source,
    };
    problem
        .slope(t, &w.y, &mut w.k[0])
        .map_err(|e| fail(t, y0, e))?;
    problem
        .events(t, &w.y, &mut w.g0)
        .map_err(|e| fail(t, y0, e))?;
    let span = t_end - t0;
    let mut h = options
        .first_step
        .unwrap_or_else(|| first_step(&w.y, &w.k[0], options))
        .min(options.longest_step);
    let (mut accepted, mut refused) = (0, 0);
    let mut last_error = 1e-4_f64;
    let mut stopped = Stopped::End;
    while t < t_end {
        if accepted + refused >= options.most_steps {
            return Err(OdeError::TooManySteps {
                t,
                y: w.y,
                most_steps: options.most_steps,
            });
        }
        let remaining = t_end - t;
        // a last step that would leave a sliver takes the sliver along
        let last = h >= remaining * (1.0 - 1e-10);
        let step = if last { remaining } else { h };
        if step <= SHORTEST * t.abs().max(span) && !last {
            return Err(OdeError::StepTooShort { t, y: w.y, step });
        }
        let tried = method.try_step(problem, t, step, &mut w, options);
        if let Ok(error) = tried
            && error <= 1.0
        {
            h = (step * method.growth(error, last_error)).min(options.longest_step);
            last_error = error.max(1e-4);
        } else {
            refused += 1;
            h = step * part_to_retry(&tried, method.power());
            if let Err(source) = tried
                && h <= SHORTEST_AFTER_FAILURE * span
            {
                return Err(fail(t, &w.y, source));
            }
            continue;
        }
        accepted += 1;
        method.dense_output(step, &mut w);
        let t1 = if last { t_end } else { t + step };
        let event =
            crossing::first_event(problem, t, step, &mut w).map_err(|e| fail(t, &w.y, e))?;
        let end = event.map_or(t1, |(theta, _)| t + theta * step);
        let segment = Segment {
            t0: t,
            h: step,
            t1: end,
            r: &w.r,
        };
        problem.accepted(&segment).map_err(|e| fail(t, &w.y, e))?;
        t = end;
        if let Some((theta, index)) = event {
            interpolate(&w.r, theta, &mut w.y);
            stopped = Stopped::Event(index);
            break;
        }
        method.moved(problem, step, (t_end - t) / h, &w, options);
        std::mem::swap(&mut w.y, &mut w.trial);
        w.k.swap(0, 6);
        std::mem::swap(&mut w.g0, &mut w.g1);
    }
    Ok(Outcome {
        stopped,
        t,
        y: w.y,
        next_step: h,
        accepted,
        refused,
    })
}

fn check<E>(t0: f64, y0: &[f64], t_end: f64, options: &Options) -> Result<(), OdeError<E>> {
    let bad = |what| Err(OdeError::BadInput { what });
    if !(t0.is_finite() && t_end.is_finite() && y0.iter().all(|y| y.is_finite())) {
        return bad("a start value of the integration is not a finite number");
    }
    if t_end < t0 {
        return bad("the integration would end before it starts");
    }
    if options.absolute.len() != y0.len() {
        return bad("the integration needs one absolute tolerance a variable");
    }
    let tolerances = options.relative >= 0.0
        && options
            .absolute
            .iter()
            .all(|&a| a >= 0.0 && options.relative + a > 0.0);
    if !tolerances || options.longest_step <= 0.0 || options.first_step.is_some_and(|h| h <= 0.0) {
        return bad("tolerances and steps of the integration must be above zero");
    }
    Ok(())
}

/// A step on which an explicit Euler step would change the state by about one per cent.
fn first_step(y: &[f64], slope: &[f64], options: &Options) -> f64 {
    let (mut d0, mut d1) = (0.0, 0.0);
    for i in 0..y.len() {
        let scale = options.absolute[i] + options.relative * y[i].abs();
        d0 += (y[i] / scale).powi(2);
        d1 += (slope[i] / scale).powi(2);
    }
    let (d0, d1) = (d0.sqrt().max(1.0), d1.sqrt());
    if d1 > 1e-10 * d0 {
        0.01 * d0 / d1
    } else {
        options.longest_step
    }
}

/// Part of a refused step to try next.
fn part_to_retry<E>(tried: &Result<f64, E>, power: f64) -> f64 {
    match tried {
        Err(_) => CUT_AFTER_FAILURE,
        Ok(error) if error.is_finite() => {
            (SAFETY * error.powf(-power)).clamp(SHRINK_AT_MOST, SAFETY)
        }
        Ok(_) => SHRINK_AT_MOST,
    }
}

/// What counts as one in a variable of this size.
fn weight(options: &Options, i: usize, size: f64) -> f64 {
    options.absolute[i] + options.relative * size.abs()
}

/// Root mean square of a change of the variables, in units of the tolerance.
fn error_size(w: &Work, options: &Options, change: impl Fn(usize) -> f64) -> f64 {
    let mut sum = 0.0;
    for i in 0..w.y.len() {
        let size = w.y[i].abs().max(w.trial[i].abs());
        sum += (change(i) / weight(options, i, size)).powi(2);
    }
    // the largest count of variables is a few dozen
    #[allow(clippy::cast_precision_loss)]
    let count = w.y.len().max(1) as f64;
    (sum / count).sqrt()
}

#[cfg(test)]
mod tests;
