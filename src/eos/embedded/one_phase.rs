//! One homogeneous phase: density root, caloric properties, response functions.

use super::{Embedded, Root};
use crate::eos::alpha::Alpha;
use crate::eos::mixture::{MixIsotherm, Mixed};
use crate::eos::{EosError, Phase, Response, Side, State, blend_equilibrium, density};

/// Shares of the reducing density between which phase lines of a blend are not trusted.
pub(super) const THIN: f64 = 0.35;
pub(super) const DENSE: f64 = 1.6;

impl Embedded {
    pub(super) fn side(&self, mixed: &Mixed, iso: &MixIsotherm, rho: f64) -> Side {
        self.caloric(mixed, iso, rho).0
    }

    /// One phase with its pressure and response functions.
    pub(super) fn caloric(
        &self,
        mixed: &Mixed,
        iso: &MixIsotherm,
        rho: f64,
    ) -> (Side, f64, Response) {
        let a = self.model.residual(mixed, iso, rho);
        let ideal = self.model.ideal(mixed, iso.t_k);
        self.caloric_of(mixed, iso.t_k, rho, (&a, &ideal))
    }

    /// The same from residual and ideal part.
    pub(super) fn caloric_of(
        &self,
        mixed: &Mixed,
        t_k: f64,
        rho: f64,
        (a, ideal): (&Alpha, &Alpha),
    ) -> (Side, f64, Response) {
        let model = &self.model;
        let (r, m) = (model.r(), mixed.molar_mass_kg_mol);
        let logarithms = model.ideal_logarithms(mixed, rho);
        let side = Side {
            density_kg_m3: rho * m,
            enthalpy_j_kg: r * t_k * (1.0 + ideal.t + a.t + a.d) / m,
            entropy_j_kg_k: r * (ideal.t + a.t - ideal.a - logarithms - a.a) / m,
            molar_mass_kg_mol: m,
            mole_fractions: mixed.x,
        };
        let cv = -(ideal.tt + a.tt);
        let (q, s) = (1.0 + a.d - a.dt, 1.0 + 2.0 * a.d + a.dd);
        let cp = cv + q * q / s;
        let w2 = (s + q * q / cv) * r * t_k / m;
        // μ = (T (∂p/∂T)_ρ / (ρ (∂p/∂ρ)_T) - 1) / (ρ cp), molar
        let jt = (q / s - 1.0) / (rho * r * cp);
        let response = Response {
            cp_j_kg_k: cp * r / m,
            cv_j_kg_k: cv * r / m,
            // inside the spinodal there is no sound; no such state is returned
            speed_of_sound_m_s: w2.max(0.0).sqrt(),
            joule_thomson_k_pa: jt,
            dp_dt_pa_k: rho * r * q,
            dp_drho_pa_m3_kg: r * t_k * s / m,
        };
        (side, density::pressure_pa(model, t_k, rho, a), response)
    }

    /// One phase whose density is known at a pressure.
    ///
    /// # Errors
    /// [`EosError::Unsound`] where the equation gives no properties that a fluid can have.
    pub(super) fn single(
        &self,
        iso: &MixIsotherm,
        p_pa: f64,
        rho: f64,
        phase: Phase,
    ) -> Result<State, EosError> {
        let (side, _, response) = self.caloric(&self.mixed, iso, rho);
        let state = State::single(iso.t_k, p_pa, &side, response, phase);
        self.sound(state)
    }

    /// A state whose properties are those that a fluid can have.
    pub(super) fn sound(&self, state: State) -> Result<State, EosError> {
        let Some(r) = &state.response else {
            return Ok(state);
        };
        let figures = [
            ("isobaric heat capacity", r.cp_j_kg_k, "J/(kg K)"),
            ("isochoric heat capacity", r.cv_j_kg_k, "J/(kg K)"),
            (
                "rise of pressure with density",
                r.dp_drho_pa_m3_kg,
                "Pa m³/kg",
            ),
            ("speed of sound", r.speed_of_sound_m_s, "m/s"),
        ];
        let wrong = figures
            .into_iter()
            .find(|(_, value, _)| !(*value > 0.0 && value.is_finite()));
        let finite = state.enthalpy_j_kg.is_finite() && state.entropy_j_kg_k.is_finite();
        match wrong {
            None if finite => Ok(state),
            None => Err(EosError::NotFinite {
                name: "enthalpy or entropy",
            }),
            Some((what, value, unit)) => Err(EosError::Unsound {
                fuel: self.label(),
                what,
                value,
                unit,
                t_k: state.temperature_k,
                p_pa: state.pressure_pa,
            }),
        }
    }

    pub(super) fn isotherm(&self, t_k: f64) -> MixIsotherm {
        self.model.isotherm(&self.mixed, t_k)
    }

    pub(super) fn root(
        &self,
        iso: &MixIsotherm,
        p_pa: f64,
        root: Root,
        guess: Option<f64>,
    ) -> Option<f64> {
        match root {
            Root::Gas => density::gas(&self.model, &self.mixed, iso, p_pa, guess),
            Root::Liquid => {
                // a density brought along from a warmer state leads to roots without meaning, which the
                // equations have below that of the boiling liquid
                let boiling =
                    blend_equilibrium::start_liquid_density(&self.model, &self.mixed, iso.t_k);
                let start = guess.filter(|rho| *rho > 0.95 * boiling).unwrap_or(boiling);
                density::liquid(&self.model, &self.mixed, iso, p_pa, Some(start))
            }
            // below the critical temperature the only root is the liquid's
            Root::Only if iso.t_k < 0.97 * self.mixed.t_r_k => self
                .root(iso, p_pa, Root::Liquid, guess)
                .or_else(|| density::only(&self.model, &self.mixed, iso, p_pa, guess)),
            Root::Only => density::only(&self.model, &self.mixed, iso, p_pa, guess),
        }
    }

    /// Whether a phase is so thin or so dense that the lines of its composition tell that it is stable: near the
    /// critical density they may be those of another branch.
    pub(super) fn is_far_from_critical(&self, rho_mol: f64) -> bool {
        let share = rho_mol / self.mixed.rho_r_mol_m3;
        self.model.is_pure() || !(THIN..DENSE).contains(&share)
    }

    /// Name of a single phase of a blend.
    pub(super) fn blend_phase(&self, t_k: f64, rho_mol: f64) -> Phase {
        if t_k < self.mixed.t_r_k && rho_mol > self.mixed.rho_r_mol_m3 {
            Phase::Liquid
        } else {
            Phase::Gas
        }
    }

    pub(super) fn critical_phase(&self, p_pa: f64, t_k: f64, rho_mol: f64) -> Phase {
        let (t_c, p_c) = if self.model.is_pure() {
            (self.equation().t_critical_k, self.equation().p_critical_pa)
        } else {
            (self.mixed.t_r_k, f64::INFINITY)
        };
        if t_k >= t_c {
            if p_pa >= p_c {
                Phase::Supercritical
            } else {
                Phase::Gas
            }
        } else if rho_mol > self.mixed.rho_r_mol_m3 {
            Phase::Liquid
        } else {
            Phase::Gas
        }
    }
}
