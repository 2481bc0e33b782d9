//! One homogeneous phase: density root, caloric properties, response functions.

use super::{Embedded, Root};
use crate::eos::mixture::{MixIsotherm, Mixed};
use crate::eos::{Phase, Response, Side, State, blend_equilibrium, density};

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
        let model = &self.model;
        let (r, t_k, m) = (model.r(), iso.t_k, mixed.molar_mass_kg_mol);
        let a = model.residual(mixed, iso, rho);
        let ideal = model.ideal(mixed, t_k);
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
            // inside the spinodal there is no sound; no such state is returned by the flashes
            speed_of_sound_m_s: w2.max(0.0).sqrt(),
            joule_thomson_k_pa: jt,
            dp_dt_pa_k: rho * r * q,
            dp_drho_pa_m3_kg: r * t_k * s / m,
        };
        (side, density::pressure_pa(model, t_k, rho, &a), response)
    }

    pub(super) fn single(&self, iso: &MixIsotherm, p_pa: f64, rho: f64, phase: Phase) -> State {
        let (side, _, response) = self.caloric(&self.mixed, iso, rho);
        let vapour = if phase == Phase::Liquid { 0.0 } else { 1.0 };
        State {
            temperature_k: iso.t_k,
            pressure_pa: p_pa,
            density_kg_m3: side.density_kg_m3,
            enthalpy_j_kg: side.enthalpy_j_kg,
            entropy_j_kg_k: side.entropy_j_kg_k,
            phase,
            vapour_mass_fraction: vapour,
            vapour_mole_fraction: vapour,
            response: Some(response),
            equilibrium: None,
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
