//! The embedded backend: states and saturation of a fuel or blend from the Helmholtz-energy model.
//!
//! A pure fluid's phase at (p, T) follows from its saturation pressure; a blend's from a tangent-plane
//! test ([`super::blend_split::stable_state`]). No density is returned whose stability has not
//! been tested, unless a phase was asked for by name.

mod equilibrium;
mod first_idea;
mod flash;
mod isochore;
mod near;
mod one_phase;
mod recomposed;
mod remembered;
mod search;
mod thin_gas;

use super::blend_equilibrium;
use super::mixture::{Mixed, Model};
use super::phase_lines::PhaseLines;
use super::saturation_table::SaturationTable;
use super::transport::{Transport, surface_tension_n_m};
use super::{
    Backend, EosError, Equilibrium, MoleFractions, Phase, Side, State, Validity, feos_bridge,
};
use crate::fuel::{Composition, Library};
use crate::numerics::root;
use crate::quantity::sentence::{Sentence, in_kelvin, pressure, sentence};
use remembered::Remembered;
use std::sync::atomic::AtomicUsize;
use std::sync::{Arc, Mutex, OnceLock};

/// Relative closeness to the critical temperature above which saturation is not solved.
const NEAR_CRITICAL: f64 = 1e-6;
/// Band round the start curve of the saturation pressure inside which the phase is decided by a
/// converged saturation point.
const ANCILLARY_BAND: f64 = 0.02;
/// Calls of a blend after which its phase lines are tabulated.
const LINES_WORTHWHILE: usize = 12;
/// Steps of the temperature iteration in (p, s) and (p, h).
const MAX_STEPS: usize = 60;
/// The same where every step also narrows a bracket.
const MAX_BRACKETED_STEPS: usize = 200;

/// A fuel or blend of fixed composition.
#[derive(Debug, Clone)]
pub struct Embedded {
    model: Arc<Model>,
    mixed: Mixed,
    composition: Composition,
    validity: Validity,
    known: Arc<Known>,
    /// What is kept of this and other compositions of the same components.
    family: Arc<Mutex<Vec<Relative>>>,
    /// Viscosity models, or why there are none; only asking for a viscosity fails.
    transport: Arc<Result<Transport, EosError>>,
    /// Saturation line of the single fluid.
    line: OnceLock<Arc<SaturationTable>>,
    assumptions: Arc<[String]>,
}

/// A composition with what is kept of it.
type Relative = (MoleFractions, Arc<Known>);

/// What is computed once for a composition.
#[derive(Debug, Default)]
struct Known {
    critical: Arc<OnceLock<(f64, f64)>>,
    lines: OnceLock<PhaseLines>,
    asked: AtomicUsize,
    remembered: Remembered,
    thin_gas: thin_gas::ThinGas,
    /// Whether the model makes two liquids of it that are one in fact.
    parted: OnceLock<bool>,
    /// The composition will be asked often: its lines are tabulated at once.
    stays: bool,
}

/// Which caloric property is matched.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Caloric {
    Entropy,
    Enthalpy,
}

impl Caloric {
    pub(super) fn of(self, s: &State) -> f64 {
        match self {
            Self::Entropy => s.entropy_j_kg_k,
            Self::Enthalpy => s.enthalpy_j_kg,
        }
    }
    pub(super) fn of_side(self, s: &Side) -> f64 {
        match self {
            Self::Entropy => s.entropy_j_kg_k,
            Self::Enthalpy => s.enthalpy_j_kg,
        }
    }
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Entropy => "entropy",
            Self::Enthalpy => "enthalpy",
        }
    }
}

/// How a density root is to be found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Root {
    Gas,
    Liquid,
    Only,
}

impl Embedded {
    /// The backend of a composition whose components all have an equation of state.
    ///
    /// # Errors
    /// [`EosError::NotAvailable`] for a component without equation or a pair without model.
    pub fn new(library: &Library, composition: &Composition) -> Result<Self, EosError> {
        let model = Model::new(library, composition)?;
        let mixed = model.mixed(&composition.mole_fractions());
        let equations = || model.fluids().iter().map(|f| &f.equation);
        let validity = Validity {
            temperature_k: equations().map(|e| e.t_triple_k).fold(0.0, f64::max)
                ..=equations().map(|e| e.t_max_k).fold(f64::INFINITY, f64::min),
            max_pressure_pa: equations()
                .map(|e| e.p_max_pa)
                .fold(f64::INFINITY, f64::min),
            source: equations()
                .map(|e| e.source.as_str())
                .collect::<Vec<_>>()
                .join(", "),
        };
        Ok(Self {
            assumptions: model.assumptions().into(),
            model: Arc::new(model),
            mixed,
            composition: composition.clone(),
            validity,
            known: Arc::default(),
            family: Arc::default(),
            transport: Arc::new(Transport::new(library, composition)),
            line: OnceLock::new(),
        })
    }

    /// With one more sentence among its assumptions.
    #[must_use]
    pub(super) fn remarking(self, remark: Option<String>) -> Self {
        Self {
            assumptions: self.assumptions.iter().cloned().chain(remark).collect(),
            ..self
        }
    }

    fn label(&self) -> String {
        self.model.label().to_owned()
    }

    pub(super) fn check_t(&self, t_k: f64) -> Result<(), EosError> {
        self.validity.check_t(self.model.label(), t_k)
    }

    pub(super) fn check_p(&self, p_pa: f64) -> Result<(), EosError> {
        self.validity
            .check_p(self.model.label(), p_pa, &self.validity.source)
    }

    pub(super) fn stuck(&self, what: &'static str, at: Sentence) -> EosError {
        EosError::NotConverged {
            what,
            fuel: self.label(),
            at,
        }
    }

    pub(super) fn above_critical(&self, at: Sentence) -> EosError {
        let (t_critical_k, p_critical_pa) = self.critical();
        EosError::AboveCritical {
            fuel: self.label(),
            at,
            t_critical_k,
            p_critical_pa,
        }
    }

    /// Equation of the single fluid; only for pure backends.
    fn equation(&self) -> &crate::fuel::Equation {
        &self.model.fluids()[0].equation
    }

    /// Checks a vapour fraction.
    pub(super) fn check_fraction(v: f64) -> Result<(), EosError> {
        if v.is_finite() && (0.0..=1.0).contains(&v) {
            Ok(())
        } else {
            Err(EosError::NotFinite {
                name: "vapour fraction between 0 and 1",
            })
        }
    }
}

impl Backend for Embedded {
    fn composition(&self) -> &Composition {
        &self.composition
    }
    fn molar_mass_kg_mol(&self) -> f64 {
        self.mixed.molar_mass_kg_mol
    }
    fn validity(&self) -> &Validity {
        &self.validity
    }
    fn critical(&self) -> (f64, f64) {
        *self.known.critical.get_or_init(|| {
            if self.model.is_pure() {
                let e = self.equation();
                return (e.t_critical_k, e.p_critical_pa);
            }
            feos_bridge::critical_point(&self.model, &self.mixed.x, self.mixed.t_r_k)
                .unwrap_or_else(|| {
                    // Kay's rule, for messages only
                    let kay = |f: fn(&crate::fuel::Equation) -> f64| -> f64 {
                        self.model
                            .fluids()
                            .iter()
                            .zip(self.mixed.x.iter())
                            .map(|(q, x)| x * f(&q.equation))
                            .sum()
                    };
                    (kay(|e| e.t_critical_k), kay(|e| e.p_critical_pa))
                })
        })
    }
    fn critical_bounds(&self) -> (f64, f64) {
        let present = self.model.fluids().iter().zip(self.mixed.x.iter());
        let present = present.filter(|(_, x)| **x > 0.0).map(|(f, _)| &f.equation);
        present.fold((0.0, f64::INFINITY), |(t_k, p_pa): (f64, f64), e| {
            (t_k.max(e.t_critical_k), p_pa.min(e.p_critical_pa))
        })
    }
    fn model(&self) -> String {
        if self.model.is_pure() {
            format!("Helmholtz-energy equation [{}]", self.validity.source)
        } else {
            format!(
                "multi-fluid Helmholtz-energy model [kunz2012] over [{}]",
                self.validity.source
            )
        }
    }
    fn assumptions(&self) -> &[String] {
        &self.assumptions
    }
    fn recomposed(&self, mole_fractions: &[f64]) -> Result<Arc<dyn Backend>, EosError> {
        Ok(Arc::new(self.recomposed_here(mole_fractions)?))
    }
    fn recomposed_to_stay(&self, mole_fractions: &[f64]) -> Result<Arc<dyn Backend>, EosError> {
        Ok(Arc::new(self.kept(mole_fractions)?))
    }

    fn bubble_t(&self, t_k: f64) -> Result<Equilibrium, EosError> {
        self.incipient_t(t_k, true)
    }
    fn bubble_t_near(&self, t_k: f64, near: &Equilibrium) -> Result<Equilibrium, EosError> {
        self.check_t(t_k)?;
        let start = blend_equilibrium::bubble_start_near(&self.mixed.x, t_k, near);
        let found = start.and_then(|start| {
            let z = &self.mixed.x;
            blend_equilibrium::own_incipient(&self.model, z, t_k, true, Some(&start))
        });
        match found {
            Some(s) if !self.model.is_pure() => Ok(self.blend_equilibrium(&s)),
            _ => self.bubble_t(t_k),
        }
    }
    fn bubble_p(&self, p_pa: f64) -> Result<Equilibrium, EosError> {
        self.incipient_p(p_pa, true)
    }
    fn dew_t(&self, t_k: f64) -> Result<Equilibrium, EosError> {
        self.incipient_t(t_k, false)
    }
    fn dew_p(&self, p_pa: f64) -> Result<Equilibrium, EosError> {
        self.incipient_p(p_pa, false)
    }

    fn state_pt(&self, p_pa: f64, t_k: f64) -> Result<State, EosError> {
        self.check_p(p_pa)?;
        self.check_t(t_k)?;
        if self.model.is_pure() {
            self.pure_pt(p_pa, t_k)
        } else {
            self.one_liquid(self.blend_pt(p_pa, t_k)?)
        }
    }
    fn state_pt_in(&self, p_pa: f64, t_k: f64, phase: Phase) -> Result<State, EosError> {
        self.check_p(p_pa)?;
        self.check_t(t_k)?;
        let iso = self.isotherm(t_k);
        let root = match phase {
            Phase::Gas => Root::Gas,
            Phase::Liquid => Root::Liquid,
            Phase::Supercritical => Root::Only,
            Phase::TwoPhase => return Err(EosError::TwoPhase { t_k, p_pa }),
        };
        let rho = self
            .root(&iso, p_pa, root, None)
            .ok_or_else(|| EosError::NotAvailable {
                what: phase.name(),
                fuel: self.label(),
                why: sentence!(
                    "there is no such density at {}, {}",
                    pressure(p_pa).digits(7),
                    in_kelvin(t_k)
                ),
            })?;
        self.one_liquid(self.single(&iso, p_pa, rho, phase)?)
    }
    fn state_ps(&self, p_pa: f64, s_j_kg_k: f64) -> Result<State, EosError> {
        self.one_liquid(self.px(p_pa, s_j_kg_k, Caloric::Entropy)?)
    }
    fn state_ph(&self, p_pa: f64, h_j_kg: f64) -> Result<State, EosError> {
        self.one_liquid(self.px(p_pa, h_j_kg, Caloric::Enthalpy)?)
    }
    fn state_ps_near(&self, p_pa: f64, s_j_kg_k: f64, near: &State) -> Result<State, EosError> {
        let caloric = Caloric::Entropy;
        self.px_near(p_pa, s_j_kg_k, caloric, near)
            .map_or_else(|| self.px(p_pa, s_j_kg_k, caloric), Ok)
            .and_then(|s| self.one_liquid(s))
    }
    fn state_ph_near(&self, p_pa: f64, h_j_kg: f64, near: &State) -> Result<State, EosError> {
        let caloric = Caloric::Enthalpy;
        self.px_near(p_pa, h_j_kg, caloric, near)
            .map_or_else(|| self.px(p_pa, h_j_kg, caloric), Ok)
            .and_then(|s| self.one_liquid(s))
    }
    fn one_phase_near(
        &self,
        p_pa: f64,
        h_total_j_kg: f64,
        flux: f64,
        near: &State,
    ) -> Option<State> {
        self.one_phase_from(p_pa, h_total_j_kg, flux, near)
    }
    fn is_certainly(&self, phase: Phase, p_pa: f64, t_k: f64) -> bool {
        if phase == Phase::Gas && self.is_far_from_dew(p_pa, t_k) {
            return true;
        }
        let Some(lines) = self.lines() else {
            return false;
        };
        match phase {
            Phase::Gas => match lines.gas_above_k(p_pa) {
                Some(t) => t_k > t,
                None => lines.no_dew_above_k(p_pa).is_some_and(|t| t_k > t),
            },
            Phase::Liquid => lines.liquid_below_k(p_pa).is_some_and(|t| t_k < t),
            Phase::Supercritical | Phase::TwoPhase => false,
        }
    }
    fn state_rho_t(&self, rho_kg_m3: f64, t_k: f64) -> Result<State, EosError> {
        self.check_t(t_k)?;
        self.one_liquid(self.rho_t(self.density_checked(rho_kg_m3)?, t_k)?)
    }
    fn state_rho_u(&self, rho_kg_m3: f64, u_j_kg: f64) -> Result<State, EosError> {
        self.one_liquid(self.rho_u(rho_kg_m3, u_j_kg)?)
    }
    fn state_pq(&self, p_pa: f64, vapour_mole_fraction: f64) -> Result<State, EosError> {
        Self::check_fraction(vapour_mole_fraction)?;
        if self.model.is_pure() || vapour_mole_fraction == 0.0 {
            return Ok(State::two_phase(
                &self.bubble_p(p_pa)?,
                vapour_mole_fraction,
            ));
        }
        let dew = self.dew_p(p_pa)?;
        if vapour_mole_fraction >= 1.0 {
            return Ok(State::two_phase(&dew, 1.0));
        }
        let bubble = self.bubble_p(p_pa)?;
        let off = |t: f64| {
            self.blend_pt(p_pa, t)
                .map(|s| s.vapour_mole_fraction - vapour_mole_fraction)
        };
        let t_k = root::brent_from(
            |t| off(t).map_err(root::RootError::Function),
            (bubble.temperature_k, -vapour_mole_fraction),
            (dew.temperature_k, 1.0 - vapour_mole_fraction),
            1e-13,
        )
        .map_err(|e| {
            e.or_from(|_| self.stuck("two-phase state", sentence!("{}", pressure(p_pa).digits(7))))
        })?;
        self.blend_pt(p_pa, t_k)
    }
    fn state_tq(&self, t_k: f64, vapour_mole_fraction: f64) -> Result<State, EosError> {
        Self::check_fraction(vapour_mole_fraction)?;
        if self.model.is_pure() || vapour_mole_fraction == 0.0 {
            return Ok(State::two_phase(&self.bubble_t(t_k)?, vapour_mole_fraction));
        }
        let dew = self.dew_t(t_k)?;
        if vapour_mole_fraction >= 1.0 {
            return Ok(State::two_phase(&dew, 1.0));
        }
        let bubble = self.bubble_t(t_k)?;
        let off = |p: f64| {
            self.blend_pt(p, t_k)
                .map(|s| s.vapour_mole_fraction - vapour_mole_fraction)
        };
        let p_pa = root::brent_from(
            |p| off(p).map_err(root::RootError::Function),
            (bubble.pressure_pa, -vapour_mole_fraction),
            (dew.pressure_pa, 1.0 - vapour_mole_fraction),
            1e-13,
        )
        .map_err(|e| {
            e.or_from(|_| self.stuck("two-phase state", sentence!("{}", in_kelvin(t_k))))
        })?;
        self.blend_pt(p_pa, t_k)
    }

    fn viscosity_pa_s(&self, state: &State) -> Result<f64, EosError> {
        if state.phase == Phase::TwoPhase {
            return Err(EosError::TwoPhase {
                t_k: state.temperature_k,
                p_pa: state.pressure_pa,
            });
        }
        let transport = self.transport.as_ref().as_ref().map_err(Clone::clone)?;
        let rho_mol_m3 = state.density_kg_m3 / self.mixed.molar_mass_kg_mol;
        let of = |t_k, rho_mol_m3| transport.viscosity_pa_s(&self.mixed.x, t_k, rho_mol_m3);
        let gas = state.phase == Phase::Gas;
        let table = gas.then(|| self.thin_viscosity(state.temperature_k, rho_mol_m3, of));
        match table.flatten() {
            Some(tabulated) => Ok(tabulated),
            None => of(state.temperature_k, rho_mol_m3),
        }
    }
    fn viscosity_uncertainty(&self, state: &State) -> Option<f64> {
        if state.phase == Phase::TwoPhase {
            return None;
        }
        let transport = self.transport.as_ref().as_ref().ok()?;
        let rho_mol_m3 = state.density_kg_m3 / self.mixed.molar_mass_kg_mol;
        Some(transport.uncertainty(&self.mixed.x, rho_mol_m3))
    }
    fn surface_tension_n_m(&self, t_k: f64) -> Result<f64, EosError> {
        self.check_t(t_k)?;
        surface_tension_n_m(&self.composition, t_k)
    }
}
