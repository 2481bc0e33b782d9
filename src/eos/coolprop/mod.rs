//! The second opinion: the same trait over the library CoolProp, which is independent code.
//!
//! A pure fluid is CoolProp's alone. Of a blend CoolProp finds the bubble and dew points and every property of
//! each phase, but not which phase is stable nor what liquid and vapour are made of: its binding does not give
//! compositions, and its search for the phase at (p, T) returns a density without meaning on one to two per
//! cent of liquid states and says nothing. Those come from the embedded model, whose domain also holds: where
//! it refuses, nothing is asked.

mod blend;
mod native;
mod pure;

use super::embedded::{Caloric, Embedded};
use super::own::{by_correlation, own_backend};
use super::{Backend, EosError, Equilibrium, Phase, Side, State, Validity};
use crate::fuel::{Composition, Library, Part};
use crate::quantity::sentence::{Told, in_kelvin, pressure, sentence};
use native::{At, Pool, Reading};
use rfluids::native::CoolPropError;
use rfluids::prelude::{CoolProp as Native, FluidParam, GlobalParam, Phase as Named};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, OnceLock};

/// Steps of the temperature iteration.
const MAX_STEPS: usize = 30;
/// Relative step of the temperature at which it ends: the library finds densities to about this.
const CLOSE_ENOUGH: f64 = 1e-10;

/// A fuel or blend of fixed composition, by CoolProp.
#[derive(Debug, Clone)]
pub struct CoolProp {
    /// The program's own model: domain, phase and start values.
    own: Embedded,
    pool: Arc<Pool>,
    /// Of a pure fluid, critical temperature and pressure.
    pure_critical: Option<(f64, f64)>,
    /// Whether the viscosity is the library's.
    has_viscosity: bool,
    /// Enthalpy and entropy of the library less those of the own model, J/kg and J/(kg K).
    zeros: OnceLock<(f64, f64)>,
    /// Bubble and dew points of a blend, asked and not found by the library.
    points: Arc<Points>,
    assumptions: Arc<[String]>,
}

#[derive(Debug, Default)]
struct Points {
    asked: AtomicUsize,
    not_found: AtomicUsize,
}

/// Loads the library and gives its version. It is loaded once a process, from the folder it was built in.
///
/// # Panics
/// If it cannot be loaded: its file is gone, or the system's C library is older than it asks for.
pub fn load() -> String {
    Native::get_global_param(GlobalParam::Version)
        .unwrap_or_else(|| "of unknown version".to_owned())
}

/// The second opinion on a fuel or blend; where CoolProp lacks a component or a pair, the own model, which
/// says so.
pub(super) fn backend(
    library: &Library,
    composition: &Composition,
) -> Result<Arc<dyn Backend>, EosError> {
    let lacking = |why: &str| {
        let label = composition.label();
        format!("No second opinion on {label}: {why}. The program's own model serves.")
    };
    if composition.parts().iter().any(by_correlation) {
        let remark = lacking("it is known by correlations, and CoolProp has no equation of it");
        return own_backend(library, composition, Some(remark));
    }
    match pool(composition) {
        Ok(pool) => Ok(Arc::new(CoolProp::new(library, composition, pool)?)),
        Err(why) => own_backend(library, composition, Some(lacking(&why))),
    }
}

/// States of a composition's components, or what is missing.
fn pool(composition: &Composition) -> Result<Arc<Pool>, String> {
    let parts = composition.parts();
    let cas = |parts: &[&Part]| {
        Pool::of(
            &parts
                .iter()
                .map(|p| p.fuel.cas.as_str())
                .collect::<Vec<_>>(),
        )
    };
    let all: Vec<&Part> = parts.iter().collect();
    cas(&all).map_err(|error| {
        for (i, a) in parts.iter().enumerate() {
            if cas(&[a]).is_err() {
                return format!("CoolProp has no {}", a.fuel.name);
            }
            for b in &parts[..i] {
                if cas(&[b, a]).is_err() {
                    let (a, b) = (&a.fuel.name, &b.fuel.name);
                    return format!("CoolProp has no mixture model of {b} with {a}");
                }
            }
        }
        error.to_string()
    })
}

/// What the library calls a phase.
fn named(phase: Phase) -> Named {
    match phase {
        Phase::Gas => Named::Gas,
        Phase::Liquid => Named::Liquid,
        Phase::Supercritical => Named::Supercritical,
        Phase::TwoPhase => Named::TwoPhase,
    }
}

impl CoolProp {
    fn new(
        library: &Library,
        composition: &Composition,
        pool: Arc<Pool>,
    ) -> Result<Self, EosError> {
        let own = Embedded::new(library, composition)?;
        let pure_critical = match composition.parts() {
            [_] => Some(pool.critical().map_err(|e| EosError::NotAvailable {
                what: "critical point",
                fuel: composition.label().to_owned(),
                why: sentence!("CoolProp: {}", &e),
            })?),
            _ => None,
        };
        let has_viscosity = pure_critical.is_some_and(|(t_c, _)| {
            pool.output(
                &[1.0],
                None,
                At::Tq(0.7 * t_c, 1.0),
                FluidParam::DynamicViscosity,
            )
            .is_ok()
        });
        let mut assumptions = own.assumptions().to_vec();
        if pure_critical.is_none() {
            assumptions.push(
                "Of the blend, CoolProp gives bubble and dew points and the properties of each phase; which \
                 phase is stable, what liquid and vapour are made of, and viscosity and surface tension come \
                 from the program's own model."
                    .to_owned(),
            );
        } else if !has_viscosity {
            assumptions
                .push("CoolProp has no viscosity of it: the program's own is taken.".to_owned());
        }
        Ok(Self {
            own,
            pool,
            pure_critical,
            has_viscosity,
            zeros: OnceLock::new(),
            points: Arc::default(),
            assumptions: assumptions.into(),
        })
    }

    fn is_pure(&self) -> bool {
        self.pure_critical.is_some()
    }

    /// Mole fractions of the whole.
    fn whole(&self) -> Vec<f64> {
        self.own.composition().mole_fractions()
    }

    fn failed(&self, what: &'static str, at: At, error: &CoolPropError) -> EosError {
        self.own
            .stuck(what, sentence!("{} (CoolProp: {})", at.told(), &error))
    }

    /// A state of a composition in a phase imposed, or found by the library.
    fn read(&self, x: &[f64], phase: Option<Phase>, at: At) -> Result<Reading, EosError> {
        self.pool
            .read(x, phase.map(named), at)
            .map_err(|e| self.failed("state", at, &e))
    }

    /// A state of one phase.
    fn single(reading: &Reading, phase: Phase) -> State {
        let vapour = if phase == Phase::Liquid { 0.0 } else { 1.0 };
        State {
            temperature_k: reading.t_k,
            pressure_pa: reading.p_pa,
            density_kg_m3: reading.density_kg_m3,
            enthalpy_j_kg: reading.enthalpy_j_kg,
            entropy_j_kg_k: reading.entropy_j_kg_k,
            phase,
            vapour_mass_fraction: vapour,
            vapour_mole_fraction: vapour,
            response: reading.response,
            equilibrium: None,
        }
    }

    /// One side of an equilibrium: what the library reads, of the composition of the own model's side.
    fn side(reading: &Reading, of: &Side) -> Side {
        Side {
            density_kg_m3: reading.density_kg_m3,
            enthalpy_j_kg: reading.enthalpy_j_kg,
            entropy_j_kg_k: reading.entropy_j_kg_k,
            ..*of
        }
    }

    /// Enthalpy and entropy of the library less those of the own model, which differ by a constant for each
    /// composition; taken in thin gas, where there is one root only.
    fn zeros(&self) -> Result<(f64, f64), EosError> {
        if let Some(zeros) = self.zeros.get() {
            return Ok(*zeros);
        }
        let range = &self.own.validity().temperature_k;
        let t_k = 0.5 * (range.start() + range.end());
        let rho = 0.1 * self.own.molar_mass_kg_mol();
        let own = self.own.state_rho_t(rho, t_k)?;
        let here = self.read(&self.whole(), Some(Phase::Gas), At::RhoT(rho, t_k))?;
        let zeros = (
            here.enthalpy_j_kg - own.enthalpy_j_kg,
            here.entropy_j_kg_k - own.entropy_j_kg_k,
        );
        Ok(*self.zeros.get_or_init(|| zeros))
    }

    /// The own model's state at a pressure and the library's entropy or enthalpy.
    fn own_px(&self, p_pa: f64, value: f64, caloric: Caloric) -> Result<State, EosError> {
        if !value.is_finite() {
            return Err(EosError::NotFinite {
                name: caloric.name(),
            });
        }
        let (dh, ds) = self.zeros()?;
        match caloric {
            Caloric::Entropy => self.own.state_ps(p_pa, value - ds),
            Caloric::Enthalpy => self.own.state_ph(p_pa, value - dh),
        }
    }

    /// State of one phase at a pressure and entropy or enthalpy, from the own model's state: Newton's rule
    /// with the heat capacity.
    fn one_phase_px(
        &self,
        (p_pa, value, caloric): (f64, f64, Caloric),
        start: &State,
    ) -> Result<State, EosError> {
        let mut t_k = start.temperature_k;
        for _ in 0..MAX_STEPS {
            let state = self.in_phase(p_pa, t_k, start.phase)?;
            let cp = state.response()?.cp_j_kg_k;
            let slope = match caloric {
                Caloric::Entropy => cp / t_k,
                Caloric::Enthalpy => cp,
            };
            let step = (value - caloric.of(&state)) / slope;
            if step.abs() <= CLOSE_ENOUGH * t_k {
                return Ok(state);
            }
            t_k += step;
            self.own.check_t(t_k)?;
        }
        let at = sentence!(
            "{} and {} {}, last tried {}",
            pressure(p_pa).digits(7),
            caloric.name(),
            &value,
            in_kelvin(t_k)
        );
        Err(self.own.stuck("state", at))
    }

    /// State at pressure and temperature in a phase that is known to be there.
    fn in_phase(&self, p_pa: f64, t_k: f64, phase: Phase) -> Result<State, EosError> {
        // above the critical temperature or pressure a pure fluid has one root only, and the library does not
        // take `gas` for it
        let imposed = match self.pure_critical {
            Some((t_c, p_c)) if t_k >= t_c || p_pa >= p_c => None,
            _ => Some(phase),
        };
        let at = At::Pt(p_pa, t_k);
        let found = self.pool.read(&self.whole(), imposed.map(named), at);
        let reading = found.or_else(|_| self.density_root(p_pa, t_k, phase))?;
        Ok(Self::single(&reading, phase))
    }

    /// The library's density at pressure and temperature where its own search gives up (blends at tens of
    /// megapascals): Newton's rule on its pressure, from the own model's density.
    fn density_root(&self, p_pa: f64, t_k: f64, phase: Phase) -> Result<Reading, EosError> {
        let mut rho = self.own.state_pt_in(p_pa, t_k, phase)?.density_kg_m3;
        for _ in 0..MAX_STEPS {
            let reading = self.read(&self.whole(), Some(phase), At::RhoT(rho, t_k))?;
            let Some(response) = reading.response else {
                break;
            };
            let step = (p_pa - reading.p_pa) / response.dp_drho_pa_m3_kg;
            if step.abs() <= CLOSE_ENOUGH * rho {
                return Ok(Reading { p_pa, ..reading });
            }
            rho += step;
        }
        Err(self.own.stuck(
            "density",
            sentence!("{}, {}", pressure(p_pa).digits(7), in_kelvin(t_k)),
        ))
    }

    /// Mole fraction of vapour from its mass fraction.
    fn mole_share(e: &Equilibrium, mass_share: f64) -> f64 {
        let q = mass_share.clamp(0.0, 1.0);
        let (l, v) = (
            (1.0 - q) / e.liquid.molar_mass_kg_mol,
            q / e.vapour.molar_mass_kg_mol,
        );
        v / (l + v)
    }

    fn px(&self, p_pa: f64, value: f64, caloric: Caloric) -> Result<State, EosError> {
        self.own.check_p(p_pa)?;
        if self.is_pure() {
            self.pure_px(p_pa, value, caloric)
        } else {
            self.blend_px(p_pa, value, caloric)
        }
    }
}

impl Backend for CoolProp {
    fn composition(&self) -> &Composition {
        self.own.composition()
    }
    fn molar_mass_kg_mol(&self) -> f64 {
        self.own.molar_mass_kg_mol()
    }
    fn validity(&self) -> &Validity {
        self.own.validity()
    }
    fn critical(&self) -> (f64, f64) {
        self.pure_critical.unwrap_or_else(|| self.own.critical())
    }
    fn model(&self) -> String {
        let version = load();
        if self.is_pure() {
            return format!("Helmholtz-energy equation by CoolProp {version} [bell2014]");
        }
        let [asked, not_found] =
            [&self.points.asked, &self.points.not_found].map(|count| count.load(Ordering::Relaxed));
        let taken = if not_found == 0 {
            String::new()
        } else {
            format!(
                "; {not_found} of {asked} bubble and dew points it did not find: the program's own are taken"
            )
        };
        format!("multi-fluid Helmholtz-energy model by CoolProp {version} [bell2014]{taken}")
    }
    fn assumptions(&self) -> &[String] {
        &self.assumptions
    }
    fn recomposed(&self, mole_fractions: &[f64]) -> Result<Arc<dyn Backend>, EosError> {
        Ok(Arc::new(Self {
            own: self.own.recomposed_here(mole_fractions)?,
            zeros: OnceLock::new(),
            ..self.clone()
        }))
    }

    fn bubble_t(&self, t_k: f64) -> Result<Equilibrium, EosError> {
        self.incipient(&self.own.bubble_t(t_k)?, true, At::Tq(t_k, 0.0))
    }
    fn bubble_t_near(&self, t_k: f64, near: &Equilibrium) -> Result<Equilibrium, EosError> {
        self.incipient(&self.own.bubble_t_near(t_k, near)?, true, At::Tq(t_k, 0.0))
    }
    fn bubble_p(&self, p_pa: f64) -> Result<Equilibrium, EosError> {
        self.incipient(&self.own.bubble_p(p_pa)?, true, At::Pq(p_pa, 0.0))
    }
    fn dew_t(&self, t_k: f64) -> Result<Equilibrium, EosError> {
        self.incipient(&self.own.dew_t(t_k)?, false, At::Tq(t_k, 1.0))
    }
    fn dew_p(&self, p_pa: f64) -> Result<Equilibrium, EosError> {
        self.incipient(&self.own.dew_p(p_pa)?, false, At::Pq(p_pa, 1.0))
    }

    fn state_pt(&self, p_pa: f64, t_k: f64) -> Result<State, EosError> {
        self.own.check_p(p_pa)?;
        self.own.check_t(t_k)?;
        if self.is_pure() {
            self.pure_pt(p_pa, t_k)
        } else {
            self.blend_pt(p_pa, t_k)
        }
    }
    fn state_pt_in(&self, p_pa: f64, t_k: f64, phase: Phase) -> Result<State, EosError> {
        // the own model says whether there is such a root
        self.own.state_pt_in(p_pa, t_k, phase)?;
        self.in_phase(p_pa, t_k, phase)
    }
    fn state_ps(&self, p_pa: f64, s_j_kg_k: f64) -> Result<State, EosError> {
        self.px(p_pa, s_j_kg_k, Caloric::Entropy)
    }
    fn state_ph(&self, p_pa: f64, h_j_kg: f64) -> Result<State, EosError> {
        self.px(p_pa, h_j_kg, Caloric::Enthalpy)
    }
    fn state_rho_t(&self, rho_kg_m3: f64, t_k: f64) -> Result<State, EosError> {
        let own = self.own.state_rho_t(rho_kg_m3, t_k)?;
        if self.is_pure() {
            self.pure_rho_t(rho_kg_m3, t_k)
        } else {
            self.blend_rho_t(rho_kg_m3, t_k, &own)
        }
    }
    fn state_rho_u(&self, rho_kg_m3: f64, u_j_kg: f64) -> Result<State, EosError> {
        let own = self.own.state_rho_u(rho_kg_m3, u_j_kg - self.zeros()?.0)?;
        if self.is_pure()
            && let Some(state) = self.pure_rho_u(rho_kg_m3, u_j_kg)
        {
            return Ok(state);
        }
        self.rho_u_near(rho_kg_m3, u_j_kg, &own)
    }
    fn state_pq(&self, p_pa: f64, vapour_mole_fraction: f64) -> Result<State, EosError> {
        let v = vapour_mole_fraction;
        let own = self.own.state_pq(p_pa, v)?;
        self.at_share(&own, v, At::Pq(p_pa, v))
    }
    fn state_tq(&self, t_k: f64, vapour_mole_fraction: f64) -> Result<State, EosError> {
        let v = vapour_mole_fraction;
        let own = self.own.state_tq(t_k, v)?;
        self.at_share(&own, v, At::Tq(t_k, v))
    }

    fn viscosity_pa_s(&self, state: &State) -> Result<f64, EosError> {
        if !self.has_viscosity || state.phase == Phase::TwoPhase {
            return self.own.viscosity_pa_s(state);
        }
        let at = At::RhoT(state.density_kg_m3, state.temperature_k);
        let phase = Some(named(state.phase));
        self.pool
            .output(&[1.0], phase, at, FluidParam::DynamicViscosity)
            .map_err(|e| self.failed("viscosity", at, &e))
    }
    fn viscosity_uncertainty(&self, state: &State) -> Option<f64> {
        // of its own it says none
        if self.has_viscosity {
            None
        } else {
            self.own.viscosity_uncertainty(state)
        }
    }
    fn surface_tension_n_m(&self, t_k: f64) -> Result<f64, EosError> {
        let own = self.own.surface_tension_n_m(t_k)?;
        if !self.is_pure() {
            return Ok(own);
        }
        let at = At::Tq(t_k, 0.0);
        self.pool
            .output(&[1.0], None, at, FluidParam::SurfaceTension)
            .map_err(|e| self.failed("surface tension", at, &e))
    }
}
