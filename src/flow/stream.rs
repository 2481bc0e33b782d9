//! State of a flowing stream at a pressure, from its total enthalpy and mass flux.
//!
//! The flow laws ask for it thousands of times, each time near the state before. A Newton step or two on
//! temperature from there costs a fraction of a flash; it is used only where the stream is known to stay
//! in one phase, because its temperature clears the dew (or bubble) point with the points already found.

use crate::eos::{Backend, EosError, Phase, State};
use crate::quantity::sentence::{flux as mass_flux, pressure, sentence};
use std::cell::RefCell;

/// Most saturation points kept.
const KEPT_POINTS: usize = 64;
/// Newton steps before the general flash is asked.
const NEWTON_STEPS: usize = 8;
/// Enthalpy error below which the rest of the way is taken as straight, J/kg: some nanokelvin, which the
/// slopes of the state do not feel either.
const LINEAR_ERROR: f64 = 1e-5;
/// Kinetic energy that is nothing, J/kg.
const NO_SPEED: f64 = 1e-7;
/// A saturated stream stays in its phase within this, J/kg: rounding of the flashes.
const SATURATION_ROUNDING: f64 = 1e-2;
/// The same as a temperature, K, and as a share of the rise on coming to rest, for points known already.
const SLACK_K: f64 = 1e-6;
const SLACK_SHARE: f64 = 0.01;
/// Steps of the search for the density of a two-phase stream.
const DENSITY_STEPS: usize = 60;

/// A fluid that flows, with what is already known of its phase boundary.
#[derive(Debug)]
pub(crate) struct Stream<'a> {
    backend: &'a dyn Backend,
    dew: RefCell<Vec<(f64, f64)>>,
    bubble: RefCell<Vec<(f64, f64)>>,
}

/// Slopes of density, at constant enthalpy and at constant pressure.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Slopes {
    /// (∂ρ/∂p)_h, kg/(m³ Pa).
    pub(crate) rho_p: f64,
    /// (∂ρ/∂h)_p, kg²/(m³ J).
    pub(crate) rho_h: f64,
}

impl<'a> Stream<'a> {
    pub(crate) fn new(backend: &'a dyn Backend) -> Self {
        Self {
            backend,
            dew: RefCell::new(Vec::new()),
            bubble: RefCell::new(Vec::new()),
        }
    }

    pub(crate) fn backend(&self) -> &'a dyn Backend {
        self.backend
    }

    /// State at `p_pa` with `h + G²/(2ρ²) = H`, starting near another state.
    pub(crate) fn at(
        &self,
        p_pa: f64,
        h_total: f64,
        flux: f64,
        near: &State,
    ) -> Result<State, EosError> {
        let single = match near.phase {
            Phase::TwoPhase => None,
            phase => self.single_phase(p_pa, h_total, flux, near, phase),
        };
        match single {
            Some(state) => Ok(state),
            None => self.flash(p_pa, h_total, flux, near),
        }
    }

    fn single_phase(
        &self,
        p_pa: f64,
        h_total: f64,
        flux: f64,
        near: &State,
        phase: Phase,
    ) -> Option<State> {
        if let Some(state) = self.backend.one_phase_near(p_pa, h_total, flux, near) {
            let r = state.response?;
            let rise_k = 0.5 * (flux / state.density_kg_m3).powi(2) / r.cp_j_kg_k;
            return self
                .stays_single(p_pa, (state.temperature_k, rise_k), h_total, phase)
                .then_some(state);
        }
        let r = near.response?;
        let h_near = near.enthalpy_j_kg + 0.5 * (flux / near.density_kg_m3).powi(2);
        let mut t_k = near.temperature_k
            + r.joule_thomson_k_pa * (p_pa - near.pressure_pa)
            + (h_total - h_near) / r.cp_j_kg_k;
        let mut last = f64::INFINITY;
        for _ in 0..NEWTON_STEPS {
            let s = self.backend.state_pt_in(p_pa, t_k, phase).ok()?;
            let r = s.response?;
            let u2 = (flux / s.density_kg_m3).powi(2);
            let error = s.enthalpy_j_kg + 0.5 * u2 - h_total;
            if !(error.abs() < last || error.abs() < LINEAR_ERROR) {
                return None;
            }
            last = error.abs();
            let rho_t = -r.dp_dt_pa_k / r.dp_drho_pa_m3_kg;
            let step_k = error / (r.cp_j_kg_k - u2 / s.density_kg_m3 * rho_t);
            if last < LINEAR_ERROR {
                let rise_k = 0.5 * u2 / r.cp_j_kg_k;
                return self
                    .stays_single(p_pa, (t_k - step_k, rise_k), h_total, phase)
                    .then(|| shifted(&s, r.cp_j_kg_k, rho_t, -step_k));
            }
            t_k -= step_k;
        }
        None
    }

    /// Whether a single phase at this point is the stable one, once the stream is brought to rest: speed
    /// alone does not make it condense, since droplets do not form in the time it takes to speed up. (The
    /// vapour over a liquid would otherwise be wet in every line it enters.)
    ///
    /// * `(t_k, rise_k)` — temperature, and about how much it rises on coming to rest
    fn stays_single(
        &self,
        p_pa: f64,
        (t_k, rise_k): (f64, f64),
        h_total: f64,
        phase: Phase,
    ) -> bool {
        let slack_k = SLACK_K + SLACK_SHARE * rise_k;
        if self.backend.is_certainly(phase, p_pa, t_k + rise_k) {
            return true;
        }
        match phase {
            Phase::Gas => {
                let known = first_at_or_above(&self.dew.borrow(), p_pa);
                if known.is_some_and(|t_dew| t_k + rise_k >= t_dew - slack_k) {
                    return true;
                }
                let Ok(dew) = self.backend.dew_p(p_pa) else {
                    return false;
                };
                keep(&mut self.dew.borrow_mut(), (p_pa, dew.temperature_k));
                h_total >= dew.vapour.enthalpy_j_kg - SATURATION_ROUNDING
            }
            Phase::Liquid => {
                let known = last_at_or_below(&self.bubble.borrow(), p_pa);
                if known.is_some_and(|t_bubble| t_k + rise_k <= t_bubble + slack_k) {
                    return true;
                }
                let Ok(bubble) = self.backend.bubble_p(p_pa) else {
                    return false;
                };
                keep(&mut self.bubble.borrow_mut(), (p_pa, bubble.temperature_k));
                h_total <= bubble.liquid.enthalpy_j_kg + SATURATION_ROUNDING
            }
            Phase::Supercritical | Phase::TwoPhase => false,
        }
    }

    /// Any phase: `h = H − G²/(2ρ²)` with the density found by secant steps.
    fn flash(&self, p_pa: f64, h_total: f64, flux: f64, near: &State) -> Result<State, EosError> {
        let kinetic = |rho: f64| 0.5 * (flux / rho).powi(2);
        let mut rho = near.density_kg_m3;
        let mut state = self
            .backend
            .state_ph_near(p_pa, h_total - kinetic(rho), near)?;
        if kinetic(rho) < NO_SPEED {
            return Ok(state);
        }
        let mut before: Option<(f64, f64)> = None;
        for _ in 0..DENSITY_STEPS {
            let error = state.density_kg_m3 - rho;
            if error.abs() <= 1e-12 * rho {
                return Ok(state);
            }
            let next = match before {
                Some((r, e)) if (error - e).abs() > 1e-16 * rho => {
                    let step = rho - error * (rho - r) / (error - e);
                    step.clamp(0.5 * rho, 2.0 * rho)
                }
                _ => state.density_kg_m3,
            };
            before = Some((rho, error));
            rho = next;
            state = self
                .backend
                .state_ph_near(p_pa, h_total - kinetic(rho), &state)?;
        }
        Err(EosError::NotConverged {
            what: "density of the stream",
            fuel: self.backend.composition().label().to_owned(),
            at: sentence!(
                "{}, {}",
                pressure(p_pa).digits(7),
                mass_flux(flux).plain("kg/(m² s)", 1.0)
            ),
        })
    }

    /// Slopes of density at a state: from its own response, or by differences where it is two-phase.
    pub(crate) fn slopes(&self, s: &State) -> Result<Slopes, EosError> {
        if let Some(r) = s.response {
            let rho_t = -r.dp_dt_pa_k / r.dp_drho_pa_m3_kg;
            return Ok(Slopes {
                rho_p: 1.0 / r.dp_drho_pa_m3_kg + rho_t * r.joule_thomson_k_pa,
                rho_h: rho_t / r.cp_j_kg_k,
            });
        }
        let (dp, dh) = (1e-5 * s.pressure_pa, 5.0);
        let rho = |p: f64, h: f64| self.backend.state_ph_near(p, h, s).map(|s| s.density_kg_m3);
        let (p, h) = (s.pressure_pa, s.enthalpy_j_kg);
        // downwards in pressure only, so that a state on the bubble line sees the flashing side
        Ok(Slopes {
            rho_p: (s.density_kg_m3 - rho(p - dp, h)?) / dp,
            rho_h: (rho(p, h + dh)? - rho(p, h - dh)?) / (2.0 * dh),
        })
    }

    /// Viscosity; of a two-phase stream the homogeneous one, `1/μ = x/μv + (1−x)/μl` (`mcadams1942`).
    pub(crate) fn viscosity(&self, s: &State) -> Result<f64, EosError> {
        if s.phase != Phase::TwoPhase {
            return self.backend.viscosity_pa_s(s);
        }
        let x = s.vapour_mass_fraction;
        let (liquid, vapour) = self.side_viscosities(s)?;
        Ok(1.0 / (x / vapour + (1.0 - x) / liquid))
    }

    /// Viscosities of liquid and vapour of a two-phase state.
    pub(crate) fn side_viscosities(&self, s: &State) -> Result<(f64, f64), EosError> {
        let e = s.equilibrium.ok_or(EosError::TwoPhase {
            t_k: s.temperature_k,
            p_pa: s.pressure_pa,
        })?;
        let of = |fractions: &[f64], phase| {
            let backend = self.backend.recomposed(fractions)?;
            let side = backend.state_pt_in(s.pressure_pa, s.temperature_k, phase)?;
            backend.viscosity_pa_s(&side)
        };
        Ok((
            of(&e.liquid.mole_fractions, Phase::Liquid)?,
            of(&e.vapour.mole_fractions, Phase::Gas)?,
        ))
    }

    /// Bubble pressure at a temperature, or `None` where there is none (above critical).
    pub(crate) fn bubble_pressure(&self, t_k: f64) -> Option<f64> {
        self.backend.bubble_t(t_k).ok().map(|e| e.pressure_pa)
    }

    /// Dew temperature at a pressure, or `None` where there is none.
    pub(crate) fn dew_temperature(&self, p_pa: f64) -> Option<f64> {
        if let Some(t) = self
            .dew
            .borrow()
            .iter()
            .find(|(p, _)| (p - p_pa).abs() <= 1e-9 * p_pa)
        {
            return Some(t.1);
        }
        let t_k = self.backend.dew_p(p_pa).ok()?.temperature_k;
        keep(&mut self.dew.borrow_mut(), (p_pa, t_k));
        Some(t_k)
    }
}

/// A state of one phase a little warmer at the same pressure; its slopes are left as they are.
fn shifted(s: &State, cp_j_kg_k: f64, rho_t: f64, by_k: f64) -> State {
    State {
        temperature_k: s.temperature_k + by_k,
        density_kg_m3: s.density_kg_m3 + rho_t * by_k,
        enthalpy_j_kg: s.enthalpy_j_kg + cp_j_kg_k * by_k,
        entropy_j_kg_k: s.entropy_j_kg_k + cp_j_kg_k / s.temperature_k * by_k,
        ..*s
    }
}

fn first_at_or_above(points: &[(f64, f64)], p_pa: f64) -> Option<f64> {
    let i = points.partition_point(|(p, _)| *p < p_pa);
    points.get(i).map(|(_, t)| *t)
}

fn last_at_or_below(points: &[(f64, f64)], p_pa: f64) -> Option<f64> {
    let i = points.partition_point(|(p, _)| *p <= p_pa);
    i.checked_sub(1).map(|i| points[i].1)
}

fn keep(points: &mut Vec<(f64, f64)>, point: (f64, f64)) {
    if points.len() < KEPT_POINTS {
        let i = points.partition_point(|(p, _)| *p < point.0);
        points.insert(i, point);
    }
}
