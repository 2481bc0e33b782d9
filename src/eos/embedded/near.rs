//! States found from one near them: Newton on temperature and density together in one phase, K values and
//! temperature together in two.

use super::{Caloric, Embedded};
use crate::eos::blend_equilibrium::Split;
use crate::eos::blend_flash::{Whole, split_near, start_between, start_from};
use crate::eos::mixture::MixIsotherm;
use crate::eos::{Equilibrium, Phase, Side, State};
use std::cell::Cell;

/// Newton steps on temperature and density.
const STEPS: usize = 14;
/// Relative step after which the rest of the way is taken as straight: the error is its square.
const CLOSE: f64 = 1e-7;
/// Largest step, logarithmic.
const LARGEST: f64 = 0.5;
/// Compressibility factor that a gas clear of its dew point has at least: the equations have roots without
/// meaning at higher densities.
const LEAST_Z: f64 = 0.5;

thread_local! {
    /// Storage of the isotherm at hand: it is written anew before each use.
    static ISOTHERM: Cell<MixIsotherm> = Cell::default();
}

impl Embedded {
    /// One phase at a pressure with a given entropy, or `h + ½(G/ρ)²`, from a start near it; the phase is
    /// that of the start's side and not tested. `None` where the steps do not close in.
    ///
    /// In the logarithms of temperature and density pressure and entropy of a gas are nearly straight: two
    /// or three steps are usual.
    pub(super) fn newton_px(
        &self,
        p_pa: f64,
        asked: (f64, Caloric, f64),
        start: (f64, f64),
        phase: Phase,
    ) -> Option<State> {
        let mut iso = ISOTHERM.take();
        let found = self.newton_steps(p_pa, asked, start, phase, &mut iso);
        ISOTHERM.set(iso);
        found
    }

    fn newton_steps(
        &self,
        p_pa: f64,
        (value, caloric, flux): (f64, Caloric, f64),
        (mut t_k, mut rho): (f64, f64),
        phase: Phase,
        iso: &mut MixIsotherm,
    ) -> Option<State> {
        for _ in 0..STEPS {
            let thin = (phase == Phase::Gas).then(|| self.thin_gas(t_k, rho));
            let (side, p, r) = if let Some((a, ideal)) = thin.flatten() {
                self.caloric_of(&self.mixed, t_k, rho, (&a, &ideal))
            } else {
                self.model.isotherm_into(&self.mixed, t_k, iso);
                self.caloric(&self.mixed, iso, rho)
            };
            if !(p > 0.0 && r.dp_drho_pa_m3_kg > 0.0 && r.cv_j_kg_k > 0.0) {
                return None;
            }
            let d = side.density_kg_m3;
            // slopes with ln T and ln ρ of ln p, enthalpy and entropy
            let (p_t, p_r) = (t_k * r.dp_dt_pa_k / p, d * r.dp_drho_pa_m3_kg / p);
            let (h_t, h_r) = (
                t_k * (r.cv_j_kg_k + r.dp_dt_pa_k / d),
                r.dp_drho_pa_m3_kg - t_k * r.dp_dt_pa_k / d,
            );
            let (s_t, s_r) = (r.cv_j_kg_k, -r.dp_dt_pa_k / d);
            let kinetic = (flux / d).powi(2);
            let (off, x_t, x_r) = match caloric {
                Caloric::Entropy => (value - side.entropy_j_kg_k, s_t, s_r),
                Caloric::Enthalpy => (
                    value - side.enthalpy_j_kg - 0.5 * kinetic,
                    h_t,
                    h_r - kinetic,
                ),
            };
            let off_p = (p_pa / p).ln();
            let det = p_t * x_r - p_r * x_t;
            let (a, b) = (
                (off_p * x_r - p_r * off) / det,
                (p_t * off - x_t * off_p) / det,
            );
            let size = a.abs().max(b.abs());
            if !size.is_finite() {
                return None;
            }
            if size <= CLOSE {
                let at_last = Side {
                    density_kg_m3: d * (1.0 + b),
                    enthalpy_j_kg: side.enthalpy_j_kg + h_t * a + h_r * b,
                    entropy_j_kg_k: side.entropy_j_kg_k + s_t * a + s_r * b,
                    ..side
                };
                let state = State::single(t_k * (1.0 + a), p_pa, &at_last, r, phase);
                return self.sound(state).ok();
            }
            let part = (LARGEST / size).min(1.0);
            t_k *= (part * a).exp();
            rho *= (part * b).exp();
            if !self.validity.temperature_k.contains(&t_k) {
                return None;
            }
        }
        None
    }

    /// Whether a state that was found as gas is certainly the stable one.
    fn is_clear_gas(&self, s: &State, gas_above_k: f64) -> bool {
        s.temperature_k > gas_above_k && self.is_thin_gas(s)
    }

    /// Whether a gas is thin enough to be one.
    fn is_thin_gas(&self, s: &State) -> bool {
        let m = self.mixed.molar_mass_kg_mol;
        s.compressibility(m) > LEAST_Z && self.is_far_from_critical(s.density_kg_m3 / m)
    }

    /// Whether a state of a blend that was found as gas is so far from its dew point that its line need not be known.
    fn is_dry_gas(&self, s: &State) -> bool {
        self.is_thin_gas(s) && self.is_far_from_dew(s.pressure_pa, s.temperature_k)
    }

    /// Gas far from its dew point, from the temperature of a room.
    pub(super) fn dry_gas_px(&self, p_pa: f64, value: f64, caloric: Caloric) -> Option<State> {
        const ROOM_K: f64 = 288.15;
        if !self.is_far_from_dew(p_pa, ROOM_K) {
            return None;
        }
        let start = (ROOM_K, p_pa / (self.model.r() * ROOM_K));
        let state = self.newton_px(p_pa, (value, caloric, 0.0), start, Phase::Gas)?;
        self.is_dry_gas(&state).then_some(state)
    }

    /// Gas clear of its dew line, from a cold start at that line.
    pub(super) fn clear_gas_px(
        &self,
        p_pa: f64,
        value: f64,
        caloric: Caloric,
        gas_above_k: f64,
    ) -> Option<State> {
        let start = (gas_above_k, p_pa / (self.model.r() * gas_above_k));
        let asked = (value, caloric, 0.0);
        let state = self.newton_px(p_pa, asked, start, Phase::Gas)?;
        self.is_clear_gas(&state, gas_above_k)
            .then(|| self.named(state))
    }

    /// A gas of a pure fluid may be supercritical.
    fn named(&self, state: State) -> State {
        if !self.model.is_pure() {
            return state;
        }
        let rho = state.density_kg_m3 / self.mixed.molar_mass_kg_mol;
        State {
            phase: self.critical_phase(state.pressure_pa, state.temperature_k, rho),
            ..state
        }
    }

    /// A state at another pressure in the phase of one near it: start along the isentrope.
    fn along_isentrope(&self, p_pa: f64, near: &State) -> Option<(f64, f64)> {
        let r = near.response?;
        let (t, d) = (near.temperature_k, near.density_kg_m3);
        let ln_ratio = (p_pa / near.pressure_pa).ln();
        // (∂ ln T/∂ ln p)_s and (∂ ln ρ/∂ ln p)_s
        let t_rise = near.pressure_pa * r.dp_dt_pa_k / (r.dp_drho_pa_m3_kg * d * d * r.cp_j_kg_k);
        let d_rise = near.pressure_pa / (d * r.speed_of_sound_m_s.powi(2));
        Some((
            t * (t_rise * ln_ratio).exp(),
            d * (d_rise * ln_ratio).exp() / self.mixed.molar_mass_kg_mol,
        ))
    }

    /// One phase at a pressure with `h + ½(G/ρ)²` given, in the phase of a state near it, not tested.
    pub(super) fn one_phase_from(
        &self,
        p_pa: f64,
        h_total: f64,
        flux: f64,
        near: &State,
    ) -> Option<State> {
        let r = near.response?;
        let (t, d) = (near.temperature_k, near.density_kg_m3);
        let h_near = near.enthalpy_j_kg + 0.5 * (flux / d).powi(2);
        let rise = p_pa - near.pressure_pa;
        let t_k = t + r.joule_thomson_k_pa * rise + (h_total - h_near) / r.cp_j_kg_k;
        let rho = if near.phase == Phase::Liquid {
            d * (1.0 + (rise - r.dp_dt_pa_k * (t_k - t)) / (d * r.dp_drho_pa_m3_kg))
        } else {
            // straight in the logarithms
            let (p, ratio) = (near.pressure_pa, p_pa / near.pressure_pa);
            let by_t = t * r.dp_dt_pa_k / p * (t_k / t).ln();
            d * ((ratio.ln() - by_t) * p / (d * r.dp_drho_pa_m3_kg)).exp()
        };
        if !(self.validity.temperature_k.contains(&t_k) && rho > 0.0 && self.check_p(p_pa).is_ok())
        {
            return None;
        }
        let start = (t_k, rho / self.mixed.molar_mass_kg_mol);
        self.newton_px(p_pa, (h_total, Caloric::Enthalpy, flux), start, near.phase)
    }

    /// Stable state at a pressure and an entropy or enthalpy from one near it; `None` where that does not
    /// tell it for certain.
    pub(super) fn px_near(
        &self,
        p_pa: f64,
        value: f64,
        caloric: Caloric,
        near: &State,
    ) -> Option<State> {
        self.check_p(p_pa).ok()?;
        match near.phase {
            Phase::TwoPhase if self.model.is_pure() => self.pure_px(p_pa, value, caloric).ok(),
            Phase::TwoPhase => {
                let e = near.equilibrium?;
                let v = near.vapour_mole_fraction;
                let start = start_from(&e, v, p_pa, self.model.r());
                let state = self.two_phase_near(p_pa, value, caloric, &start)?;
                self.are_apart(&state.equilibrium?).then_some(state)
            }
            Phase::Gas => {
                let state = match caloric {
                    Caloric::Entropy => {
                        let start = self.along_isentrope(p_pa, near)?;
                        self.newton_px(p_pa, (value, caloric, 0.0), start, Phase::Gas)
                    }
                    Caloric::Enthalpy => self.one_phase_from(p_pa, value, 0.0, near),
                };
                if let Some(state) = state.filter(|s| self.is_dry_gas(s)) {
                    return Some(state);
                }
                let above = self.lines()?.gas_above_k(p_pa)?;
                if let Some(state) = state.filter(|s| self.is_clear_gas(s, above)) {
                    return Some(self.named(state));
                }
                if self.model.is_pure() {
                    return None;
                }
                // near the dew line: the dew point tells
                let dew = self.incipient_p(p_pa, false).ok()?;
                if value >= caloric.of_side(&dew.vapour) {
                    return state.filter(|s| self.are_apart(&dew) && self.is_thin_gas(s));
                }
                let start = start_from(&dew, 1.0, p_pa, self.model.r());
                let state = self.two_phase_near(p_pa, value, caloric, &start)?;
                self.are_apart(&state.equilibrium?).then_some(state)
            }
            Phase::Liquid => {
                let below = self.lines()?.liquid_below_k(p_pa)?;
                let state = match caloric {
                    Caloric::Entropy => {
                        let start = self.along_isentrope(p_pa, near)?;
                        self.newton_px(p_pa, (value, caloric, 0.0), start, Phase::Liquid)?
                    }
                    Caloric::Enthalpy => self.one_phase_from(p_pa, value, 0.0, near)?,
                };
                let rho = state.density_kg_m3 / self.mixed.molar_mass_kg_mol;
                let clear = state.temperature_k < below
                    && rho > self.mixed.rho_r_mol_m3
                    && self.is_far_from_critical(rho)
                    && !self.model.may_split(state.temperature_k);
                clear.then_some(state)
            }
            Phase::Supercritical => None,
        }
    }

    /// Liquid and vapour of a blend from a split near it.
    pub(super) fn two_phase_near(
        &self,
        p_pa: f64,
        value: f64,
        caloric: Caloric,
        start: &Split,
    ) -> Option<State> {
        if !self.validity.temperature_k.contains(&start.t_k) {
            return None;
        }
        let molar = value * self.mixed.molar_mass_kg_mol;
        let whole = match caloric {
            Caloric::Entropy => Whole::Entropy(molar),
            Caloric::Enthalpy => Whole::Enthalpy(molar),
        };
        let split = split_near(&self.model, &self.mixed.x, p_pa, whole, start)?;
        self.validity
            .temperature_k
            .contains(&split.t_k)
            .then(|| State::two_phase(&self.blend_equilibrium(&split), split.vapour_fraction))
    }

    /// Liquid and vapour of a blend between its bubble and its dew point at a pressure.
    pub(super) fn two_phase_between(
        &self,
        (value, caloric): (f64, Caloric),
        bubble: &Equilibrium,
        dew: &Equilibrium,
    ) -> Option<State> {
        let (low, high) = (
            caloric.of_side(&bubble.liquid),
            caloric.of_side(&dew.vapour),
        );
        let share = (value - low) / (high - low);
        let start = start_between(bubble, dew, share, &self.mixed.x);
        self.two_phase_near(bubble.pressure_pa, value, caloric, &start)
    }
}
