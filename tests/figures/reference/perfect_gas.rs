//! A perfect gas (constant heat capacity, Z = 1) as a property backend: for cases whose answer is a
//! closed form, and for air, which is no fuel.

use fuelwright::eos::{Backend, EosError, Equilibrium, Phase, Response, State, Validity};
use fuelwright::fuel::Composition;
use fuelwright::quantity::GAS_CONSTANT_J_MOL_K;
use std::sync::Arc;

/// A perfect gas.
#[derive(Debug, Clone)]
pub(crate) struct PerfectGas {
    pub gamma: f64,
    pub molar_mass_kg_mol: f64,
    pub viscosity_pa_s: f64,
    composition: Composition,
    validity: Validity,
}

impl PerfectGas {
    pub(crate) fn new(gamma: f64, molar_mass_kg_mol: f64, viscosity_pa_s: f64) -> Self {
        Self {
            gamma,
            molar_mass_kg_mol,
            viscosity_pa_s,
            composition: Composition::from_parts(Vec::new(), "perfect gas"),
            validity: Validity {
                temperature_k: 1.0..=5000.0,
                max_pressure_pa: 1e9,
                source: String::new(),
            },
        }
    }
    fn r(&self) -> f64 {
        GAS_CONSTANT_J_MOL_K / self.molar_mass_kg_mol
    }
    fn cp(&self) -> f64 {
        self.gamma / (self.gamma - 1.0) * self.r()
    }
    fn none(what: &'static str) -> EosError {
        EosError::NotAvailable {
            what,
            fuel: "perfect gas".into(),
            why: "it does not condense".into(),
        }
    }
    fn state(&self, p: f64, t: f64) -> Result<State, EosError> {
        if !(p > 0.0 && t > 0.0 && p.is_finite() && t.is_finite()) {
            return Err(EosError::NotFinite {
                name: "pressure or temperature",
            });
        }
        let (r, cp) = (self.r(), self.cp());
        let rho = p / (r * t);
        Ok(State {
            temperature_k: t,
            pressure_pa: p,
            density_kg_m3: rho,
            enthalpy_j_kg: cp * t,
            entropy_j_kg_k: cp * t.ln() - r * p.ln(),
            phase: Phase::Gas,
            vapour_mass_fraction: 1.0,
            vapour_mole_fraction: 1.0,
            response: Some(Response {
                cp_j_kg_k: cp,
                cv_j_kg_k: cp - r,
                speed_of_sound_m_s: (self.gamma * r * t).sqrt(),
                joule_thomson_k_pa: 0.0,
                dp_dt_pa_k: rho * r,
                dp_drho_pa_m3_kg: r * t,
            }),
            equilibrium: None,
        })
    }
}

impl Backend for PerfectGas {
    fn composition(&self) -> &Composition {
        &self.composition
    }
    fn molar_mass_kg_mol(&self) -> f64 {
        self.molar_mass_kg_mol
    }
    fn validity(&self) -> &Validity {
        &self.validity
    }
    fn critical(&self) -> (f64, f64) {
        (1.0, 1.0)
    }
    fn model(&self) -> String {
        "perfect gas".into()
    }
    fn assumptions(&self) -> &[String] {
        &[]
    }
    fn recomposed(&self, _: &[f64]) -> Result<Arc<dyn Backend>, EosError> {
        Ok(Arc::new(self.clone()))
    }
    fn bubble_t(&self, _: f64) -> Result<Equilibrium, EosError> {
        Err(Self::none("bubble point"))
    }
    fn bubble_p(&self, _: f64) -> Result<Equilibrium, EosError> {
        Err(Self::none("bubble point"))
    }
    fn dew_t(&self, _: f64) -> Result<Equilibrium, EosError> {
        Err(Self::none("dew point"))
    }
    fn dew_p(&self, _: f64) -> Result<Equilibrium, EosError> {
        Err(Self::none("dew point"))
    }
    fn state_pt(&self, p: f64, t: f64) -> Result<State, EosError> {
        self.state(p, t)
    }
    fn state_pt_in(&self, p: f64, t: f64, _: Phase) -> Result<State, EosError> {
        self.state(p, t)
    }
    fn state_ps(&self, p: f64, s: f64) -> Result<State, EosError> {
        self.state(p, ((s + self.r() * p.ln()) / self.cp()).exp())
    }
    fn state_ph(&self, p: f64, h: f64) -> Result<State, EosError> {
        self.state(p, h / self.cp())
    }
    fn state_rho_t(&self, rho: f64, t: f64) -> Result<State, EosError> {
        self.state(rho * self.r() * t, t)
    }
    fn state_rho_u(&self, rho: f64, u: f64) -> Result<State, EosError> {
        self.state_rho_t(rho, u / (self.cp() - self.r()))
    }
    fn state_pq(&self, _: f64, _: f64) -> Result<State, EosError> {
        Err(Self::none("two-phase state"))
    }
    fn state_tq(&self, _: f64, _: f64) -> Result<State, EosError> {
        Err(Self::none("two-phase state"))
    }
    fn viscosity_pa_s(&self, _: &State) -> Result<f64, EosError> {
        Ok(self.viscosity_pa_s)
    }
    fn surface_tension_n_m(&self, _: f64) -> Result<f64, EosError> {
        Err(Self::none("surface tension"))
    }
}
