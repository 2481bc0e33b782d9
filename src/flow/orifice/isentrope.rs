//! One isentrope: mass flux at a pressure on it, and the throat of a single-phase gas.

use super::{OrificeError, Stagnation};
use crate::eos::{Backend, Phase, State};
use crate::numerics::effort::Allowance;
use std::cell::Cell;

/// A gas throat is found when the pressure moves by less than this share.
const THROAT_TOLERANCE: f64 = 1e-7;
/// Most states evaluated for a gas throat; four or five are usual.
const MAX_THROAT_STEPS: usize = 30;
/// Steps of iteration that all states of one path may take; a path through liquid and vapour takes some hundred.
const MOST_EFFORT: u64 = 50_000;

/// The isentrope through a stagnation state.
pub(super) struct Isentrope<'a> {
    pub(super) fluid: &'a dyn Backend,
    pub(super) start: State,
    /// The state looked at last: the next is near it.
    last: Cell<State>,
    allowance: Allowance,
}

/// A point on an isentrope.
#[derive(Debug, Clone, Copy)]
pub(super) struct Point {
    pub(super) state: State,
    /// Velocity reached from rest, m/s.
    pub(super) u_m_s: f64,
}

impl Point {
    pub(super) fn p_pa(&self) -> f64 {
        self.state.pressure_pa
    }
    /// Mass flux, kg/(m² s).
    pub(super) fn flux(&self) -> f64 {
        self.state.density_kg_m3 * self.u_m_s
    }
    pub(super) fn is_two_phase(&self) -> bool {
        self.state.phase == Phase::TwoPhase
    }
    /// `u² − w²`; negative where the flow is subsonic. `None` in two phases.
    fn above_sound(&self) -> Option<f64> {
        self.state
            .response
            .map(|r| self.u_m_s.powi(2) - r.speed_of_sound_m_s.powi(2))
    }
    /// Whether the flow is subsonic here; `None` in two phases.
    pub(super) fn is_subsonic(&self) -> Option<bool> {
        self.above_sound().map(|a| a < 0.0)
    }
}

impl<'a> Isentrope<'a> {
    pub(super) fn through(up: &Stagnation<'a>) -> Self {
        Self {
            fluid: up.fluid,
            start: up.state,
            last: Cell::new(up.state),
            allowance: Allowance::of(MOST_EFFORT),
        }
    }

    pub(super) fn p0_pa(&self) -> f64 {
        self.start.pressure_pa
    }

    /// `G(p) = ρ u`, `u = √(2 (h0 − h))` at the entropy of the start.
    pub(super) fn at(&self, p_pa: f64) -> Result<Point, OrificeError> {
        if self.allowance.is_spent() {
            return Err(self.no_throat(p_pa));
        }
        let s = self.start.entropy_j_kg_k;
        let state = self.fluid.state_ps_near(p_pa, s, &self.last.get())?;
        self.last.set(state);
        Ok(self.point(&state))
    }

    pub(super) fn point(&self, state: &State) -> Point {
        Point {
            state: *state,
            u_m_s: (2.0 * (self.start.enthalpy_j_kg - state.enthalpy_j_kg))
                .max(0.0)
                .sqrt(),
        }
    }

    pub(super) fn no_throat(&self, p_pa: f64) -> OrificeError {
        OrificeError::NoThroat {
            fuel: self.fluid.composition().label().to_owned(),
            p0_pa: self.p0_pa(),
            t0_k: self.start.temperature_k,
            p_pa,
        }
    }

    /// Throat of a gas that stays one phase, and whether it is choked. `None` as soon as a state on
    /// the way is in two phases, or the search does not settle: then the whole path must be looked at.
    ///
    /// Newton on `u² = w²` with the slope of a gas of constant `k = ρw²/p`, then secants: the first
    /// guess is the ideal critical ratio for `k` upstream.
    pub(super) fn gas_throat(&self, back_pa: f64) -> Result<Option<(Point, bool)>, OrificeError> {
        let p0_pa = self.p0_pa();
        // on the dew line the start has no speed of sound: any guess will do
        let k = Self::exponent(&self.start).unwrap_or(1.1);
        let k_held = k.clamp(1.001, 3.0);
        let mut p_pa = p0_pa * (2.0 / (k_held + 1.0)).powf(k_held / (k_held - 1.0));
        if p_pa < 1.1 * back_pa {
            // perhaps not choked: the exit tells
            let exit = self.at(back_pa)?;
            match exit.is_subsonic() {
                None => return Ok(None),
                Some(true) => return Ok(Some((exit, false))),
                Some(false) => p_pa = p_pa.max(back_pa),
            }
        }
        let mut last: Option<(f64, f64)> = None;
        for _ in 0..MAX_THROAT_STEPS {
            let point = self.at(p_pa)?;
            let (Some(above), Some(k)) = (point.above_sound(), Self::exponent(&point.state)) else {
                return Ok(None);
            };
            let slope = match last {
                Some((p, f)) if (p_pa - p).abs() > 1e-9 * p => (above - f) / (p_pa - p),
                _ => f64::NAN,
            };
            let gas_slope = -(k + 1.0) / point.state.density_kg_m3;
            // a secant far from the gas slope is noise
            let slope = if slope < 0.3 * gas_slope && slope > 3.0 * gas_slope {
                slope
            } else {
                gas_slope
            };
            let change = -above / slope;
            if change.abs() <= THROAT_TOLERANCE * p_pa {
                return Ok(Some((point, true)));
            }
            last = Some((p_pa, above));
            p_pa = (p_pa + change).clamp(0.2 * p_pa, 0.5 * (p_pa + p0_pa));
        }
        Ok(None)
    }

    /// `k = ρ w²/p`.
    fn exponent(state: &State) -> Option<f64> {
        let w = state.response.map(|r| r.speed_of_sound_m_s)?;
        Some(state.density_kg_m3 * w * w / state.pressure_pa)
    }
}
