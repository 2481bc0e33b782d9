//! Fluid properties: the `Backend` trait, its states, and what can go wrong.
//!
//! Units are SI and stand in every name. A backend is asked from the middle of formulas, thousands of
//! times a run, so it takes and gives plain `f64`; typed quantities end at the door of the modules
//! that call it.
//!
//! ```
//! use fuelwright::eos::backend;
//! use fuelwright::fuel::{Composition, Library};
//!
//! let library = Library::embedded();
//! let propane = backend(&library, &Composition::parse("propane", &library)?)?;
//! // 4.745 bar is the vapour pressure of propane at 0 °C
//! let boiling = propane.bubble_t(273.15)?;
//! assert!((boiling.pressure_pa / 4.745e5 - 1.0).abs() < 1e-3);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod activity;
pub mod alpha;
pub mod blend_equilibrium;
mod blend_feed;
pub mod blend_flash;
mod blend_gibbs;
pub mod blend_split;
mod blend_stability;
pub mod check;
mod choice;
#[cfg(feature = "coolprop")]
pub mod coolprop;
pub mod correlated;
pub mod density;
pub mod embedded;
mod error;
pub mod feos_bridge;
pub mod helmholtz;
pub mod ideal_part;
pub mod mixture;
mod non_analytic;
mod own;
pub mod phase_lines;
mod powers;
pub mod pure_saturation;
pub mod saturation_table;
mod splitting;
pub mod transport;
pub mod water;

pub use choice::backend;
pub use error::EosError;

use crate::fuel::{Composition, SourceKey};
use std::ops::RangeInclusive;
use std::sync::Arc;

/// Most components in one blend.
pub const MAX_COMPONENTS: usize = 16;

/// Mole fractions of the components of a backend, in its order; copied freely.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoleFractions {
    n: usize,
    x: [f64; MAX_COMPONENTS],
}

impl MoleFractions {
    /// From a slice of at most [`MAX_COMPONENTS`] fractions.
    ///
    /// # Panics
    /// If the slice is longer than that; `Composition` refuses such blends.
    pub fn new(fractions: &[f64]) -> Self {
        let mut x = [0.0; MAX_COMPONENTS];
        x[..fractions.len()].copy_from_slice(fractions);
        Self {
            n: fractions.len(),
            x,
        }
    }
}

impl std::ops::Deref for MoleFractions {
    type Target = [f64];
    fn deref(&self) -> &[f64] {
        &self.x[..self.n]
    }
}

/// Phase of a state.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Phase {
    /// Gas or vapour, also above the critical temperature at sub-critical pressure.
    Gas,
    /// Liquid, also below the critical temperature at super-critical pressure.
    Liquid,
    /// Above critical temperature and pressure.
    Supercritical,
    /// Liquid and vapour in equilibrium.
    TwoPhase,
}

impl Phase {
    /// Word used in tables and JSON.
    pub fn name(self) -> &'static str {
        match self {
            Self::Gas => "gas",
            Self::Liquid => "liquid",
            Self::Supercritical => "supercritical",
            Self::TwoPhase => "two-phase",
        }
    }
}

/// Second-derivative properties; they exist in a single phase only.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Response {
    /// Isobaric heat capacity, J/(kg K).
    pub cp_j_kg_k: f64,
    /// Isochoric heat capacity, J/(kg K).
    pub cv_j_kg_k: f64,
    /// Speed of sound, m/s.
    pub speed_of_sound_m_s: f64,
    /// Joule-Thomson coefficient (dT/dp)_h, K/Pa.
    pub joule_thomson_k_pa: f64,
    /// (dp/dT)_rho, Pa/K.
    pub dp_dt_pa_k: f64,
    /// (dp/drho)_T, Pa m³/kg.
    pub dp_drho_pa_m3_kg: f64,
}

/// One homogeneous phase, alone or as one side of an equilibrium.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Side {
    /// Density, kg/m³.
    pub density_kg_m3: f64,
    /// Enthalpy, J/kg.
    pub enthalpy_j_kg: f64,
    /// Entropy, J/(kg K).
    pub entropy_j_kg_k: f64,
    /// Mean molar mass of this phase, kg/mol.
    pub molar_mass_kg_mol: f64,
    /// Composition of this phase.
    pub mole_fractions: MoleFractions,
}

/// Liquid and vapour in equilibrium.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Equilibrium {
    /// Temperature, K.
    pub temperature_k: f64,
    /// Pressure, Pa.
    pub pressure_pa: f64,
    /// Liquid.
    pub liquid: Side,
    /// Vapour.
    pub vapour: Side,
}

impl Equilibrium {
    /// Enthalpy of the vapour less that of the liquid, J/kg; for a blend the difference between the
    /// named phase and the incipient one, each by its own mass.
    pub fn latent_heat_j_kg(&self) -> f64 {
        self.vapour.enthalpy_j_kg - self.liquid.enthalpy_j_kg
    }
}

/// A state of the fluid as a whole. Enthalpy and entropy have an arbitrary zero for each backend:
/// use differences within one backend only.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// Temperature, K.
    pub temperature_k: f64,
    /// Pressure, Pa (absolute).
    pub pressure_pa: f64,
    /// Density, kg/m³.
    pub density_kg_m3: f64,
    /// Enthalpy, J/kg.
    pub enthalpy_j_kg: f64,
    /// Entropy, J/(kg K).
    pub entropy_j_kg_k: f64,
    /// Phase.
    pub phase: Phase,
    /// Share of the mass that is vapour: 1 for gas and supercritical, 0 for liquid.
    pub vapour_mass_fraction: f64,
    /// Share of the moles that is vapour.
    pub vapour_mole_fraction: f64,
    /// Heat capacities and so on; `None` in the two-phase region.
    pub response: Option<Response>,
    /// Both sides, in the two-phase region.
    pub equilibrium: Option<Equilibrium>,
}

impl State {
    /// One phase.
    pub(crate) fn single(
        t_k: f64,
        p_pa: f64,
        side: &Side,
        response: Response,
        phase: Phase,
    ) -> Self {
        let vapour = if phase == Phase::Liquid { 0.0 } else { 1.0 };
        Self {
            temperature_k: t_k,
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
    /// Liquid and vapour together, `v` moles of vapour per mole.
    pub(crate) fn two_phase(e: &Equilibrium, v: f64) -> Self {
        let (ml, mv) = (e.liquid.molar_mass_kg_mol, e.vapour.molar_mass_kg_mol);
        let q = v * mv / (v * mv + (1.0 - v) * ml);
        let mix = |l: f64, g: f64| l + q * (g - l);
        Self {
            temperature_k: e.temperature_k,
            pressure_pa: e.pressure_pa,
            density_kg_m3: mix(
                e.liquid.density_kg_m3.recip(),
                e.vapour.density_kg_m3.recip(),
            )
            .recip(),
            enthalpy_j_kg: mix(e.liquid.enthalpy_j_kg, e.vapour.enthalpy_j_kg),
            entropy_j_kg_k: mix(e.liquid.entropy_j_kg_k, e.vapour.entropy_j_kg_k),
            phase: Phase::TwoPhase,
            vapour_mass_fraction: q,
            vapour_mole_fraction: v,
            response: None,
            equilibrium: Some(*e),
        }
    }
    /// Internal energy, J/kg.
    pub fn internal_energy_j_kg(&self) -> f64 {
        self.enthalpy_j_kg - self.pressure_pa / self.density_kg_m3
    }
    /// Compressibility factor for molar mass `m` in kg/mol.
    pub fn compressibility(&self, molar_mass_kg_mol: f64) -> f64 {
        self.pressure_pa * molar_mass_kg_mol
            / (self.density_kg_m3 * crate::quantity::GAS_CONSTANT_J_MOL_K * self.temperature_k)
    }
    /// Response functions, or the error that says they do not exist here.
    ///
    /// # Errors
    /// [`EosError::TwoPhase`] in the two-phase region.
    pub fn response(&self) -> Result<Response, EosError> {
        self.response.ok_or(EosError::TwoPhase {
            t_k: self.temperature_k,
            p_pa: self.pressure_pa,
        })
    }
}

/// What a backend may be asked at.
#[derive(Debug, Clone, PartialEq)]
pub struct Validity {
    /// Temperatures, K.
    pub temperature_k: RangeInclusive<f64>,
    /// Highest pressure, Pa.
    pub max_pressure_pa: f64,
    /// Source of the range.
    pub source: SourceKey,
}

impl Validity {
    fn check_t(&self, fuel: &str, t_k: f64) -> Result<(), EosError> {
        if !t_k.is_finite() {
            return Err(EosError::NotFinite {
                name: "temperature",
            });
        }
        if self.temperature_k.contains(&t_k) {
            return Ok(());
        }
        Err(EosError::TemperatureOutOfRange {
            fuel: fuel.to_owned(),
            t_k,
            lower_k: *self.temperature_k.start(),
            upper_k: *self.temperature_k.end(),
            source_key: self.source.clone(),
        })
    }

    fn check_p(&self, fuel: &str, p_pa: f64, source: &SourceKey) -> Result<(), EosError> {
        if !p_pa.is_finite() {
            return Err(EosError::NotFinite { name: "pressure" });
        }
        if p_pa > 0.0 && p_pa <= self.max_pressure_pa {
            return Ok(());
        }
        Err(EosError::PressureOutOfRange {
            fuel: fuel.to_owned(),
            p_pa,
            upper_pa: self.max_pressure_pa,
            source_key: source.clone(),
        })
    }
}

/// Fluid properties of one fuel or blend of fixed composition.
///
/// All arguments and results are SI; pressures are absolute.
pub trait Backend: std::fmt::Debug + Send + Sync {
    /// What the fluid is.
    fn composition(&self) -> &Composition;
    /// Mean molar mass, kg/mol.
    fn molar_mass_kg_mol(&self) -> f64;
    /// Range of validity.
    fn validity(&self) -> &Validity;
    /// Critical temperature, K, and pressure, Pa (of a blend: its mixture critical point, or the
    /// highest point where bubble and dew points were found; used for messages and start values).
    fn critical(&self) -> (f64, f64);
    /// A temperature, K, that the critical point is hardly above, and a pressure, Pa, that it is hardly
    /// below, cheap to have: of a blend the highest and the lowest of its components.
    fn critical_bounds(&self) -> (f64, f64) {
        self.critical()
    }
    /// Name of the model and its sources, for results.
    fn model(&self) -> String;
    /// What had to be assumed (for example an estimated binary pair), one sentence each.
    fn assumptions(&self) -> &[String];
    /// The same components in other proportions; cheap.
    ///
    /// # Errors
    /// If the number of fractions is not that of the components.
    fn recomposed(&self, mole_fractions: &[f64]) -> Result<Arc<dyn Backend>, EosError>;

    /// [`Backend::recomposed`] of a composition that will be asked often: what is computed for it once
    /// is kept for the next who asks for the same.
    ///
    /// # Errors
    /// As [`Backend::recomposed`].
    fn recomposed_to_stay(&self, mole_fractions: &[f64]) -> Result<Arc<dyn Backend>, EosError> {
        self.recomposed(mole_fractions)
    }

    /// Bubble point at a temperature: liquid of this composition and the first vapour.
    ///
    /// # Errors
    /// Out of range, above critical, not converged.
    fn bubble_t(&self, t_k: f64) -> Result<Equilibrium, EosError>;
    /// [`Backend::bubble_t`], started from an equilibrium of the same components at a neighbouring
    /// temperature and liquid composition: the same answer sooner.
    ///
    /// # Errors
    /// As [`Backend::bubble_t`].
    fn bubble_t_near(&self, t_k: f64, _near: &Equilibrium) -> Result<Equilibrium, EosError> {
        self.bubble_t(t_k)
    }
    /// Bubble point at a pressure.
    ///
    /// # Errors
    /// As [`Backend::bubble_t`].
    fn bubble_p(&self, p_pa: f64) -> Result<Equilibrium, EosError>;
    /// Dew point at a temperature: vapour of this composition and the first liquid.
    ///
    /// # Errors
    /// As [`Backend::bubble_t`].
    fn dew_t(&self, t_k: f64) -> Result<Equilibrium, EosError>;
    /// Dew point at a pressure.
    ///
    /// # Errors
    /// As [`Backend::bubble_t`].
    fn dew_p(&self, p_pa: f64) -> Result<Equilibrium, EosError>;

    /// Stable state at pressure and temperature.
    ///
    /// # Errors
    /// Out of range, not converged.
    fn state_pt(&self, p_pa: f64, t_k: f64) -> Result<State, EosError>;
    /// State at pressure and temperature in the phase named, stable or metastable.
    ///
    /// # Errors
    /// Out of range, or no such root.
    fn state_pt_in(&self, p_pa: f64, t_k: f64, phase: Phase) -> Result<State, EosError>;
    /// State at pressure and entropy.
    ///
    /// # Errors
    /// Out of range, not converged.
    fn state_ps(&self, p_pa: f64, s_j_kg_k: f64) -> Result<State, EosError>;
    /// State at pressure and enthalpy.
    ///
    /// # Errors
    /// Out of range, not converged.
    fn state_ph(&self, p_pa: f64, h_j_kg: f64) -> Result<State, EosError>;
    /// [`Backend::state_ps`], started from a state near it: the same answer sooner.
    ///
    /// # Errors
    /// As [`Backend::state_ps`].
    fn state_ps_near(&self, p_pa: f64, s_j_kg_k: f64, _near: &State) -> Result<State, EosError> {
        self.state_ps(p_pa, s_j_kg_k)
    }
    /// [`Backend::state_ph`], started from a state near it: the same answer sooner.
    ///
    /// # Errors
    /// As [`Backend::state_ph`].
    fn state_ph_near(&self, p_pa: f64, h_j_kg: f64, _near: &State) -> Result<State, EosError> {
        self.state_ph(p_pa, h_j_kg)
    }
    /// State in the phase of a state near it with `h + ½(G/ρ)²` given, J/kg, stable or metastable; `None` if
    /// the backend has no short way to it.
    ///
    /// * `flux` — mass flux `G`, kg/(m² s)
    fn one_phase_near(
        &self,
        _p_pa: f64,
        _h_total_j_kg: f64,
        _flux: f64,
        _near: &State,
    ) -> Option<State> {
        None
    }
    /// Whether the stable phase at pressure and temperature is certainly this one, cheap to tell; `false` where
    /// it is not, or cannot be told.
    fn is_certainly(&self, _phase: Phase, _p_pa: f64, _t_k: f64) -> bool {
        false
    }
    /// State at density and temperature, two-phase where that is stable.
    ///
    /// # Errors
    /// Out of range, not converged.
    fn state_rho_t(&self, rho_kg_m3: f64, t_k: f64) -> Result<State, EosError>;
    /// State at density and internal energy, two-phase where that is stable.
    ///
    /// # Errors
    /// Out of range, not converged.
    fn state_rho_u(&self, rho_kg_m3: f64, u_j_kg: f64) -> Result<State, EosError>;
    /// Two-phase (or saturated) state at pressure and vapour mole fraction 0..=1.
    ///
    /// # Errors
    /// Out of range, above critical, not converged.
    fn state_pq(&self, p_pa: f64, vapour_mole_fraction: f64) -> Result<State, EosError>;
    /// Two-phase (or saturated) state at temperature and vapour mole fraction 0..=1.
    ///
    /// # Errors
    /// Out of range, above critical, not converged.
    fn state_tq(&self, t_k: f64, vapour_mole_fraction: f64) -> Result<State, EosError>;

    /// Dynamic viscosity of a single-phase state, Pa s.
    ///
    /// # Errors
    /// Two-phase, out of range, or no model.
    fn viscosity_pa_s(&self, state: &State) -> Result<f64, EosError>;
    /// Relative uncertainty of [`Backend::viscosity_pa_s`] at a state, as a fraction; `None` where it
    /// has no viscosity or the backend does not know.
    fn viscosity_uncertainty(&self, _state: &State) -> Option<f64> {
        None
    }
    /// Surface tension of the saturated liquid, N/m.
    ///
    /// # Errors
    /// Out of range or no model.
    fn surface_tension_n_m(&self, t_k: f64) -> Result<f64, EosError>;
}

/// A fluid of the library by its name, for tests.
#[cfg(test)]
pub(crate) fn fluid(name: &str) -> std::sync::Arc<dyn Backend> {
    let library = crate::fuel::Library::embedded();
    let composition = crate::fuel::Composition::parse(name, &library).expect("in the library");
    backend(&library, &composition).expect("it has an equation")
}
