//! CoolProp's own states, lent out one at a time because threads must not share one.

use super::super::{Phase, Response};
use crate::quantity::sentence::{Sentence, Told, density, in_kelvin, pressure, sentence};
use rfluids::native::{AbstractState, CoolPropError};
use rfluids::prelude::{FluidInputPair, FluidParam, FluidTrivialParam, Phase as Named};
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// The Helmholtz-energy equations among the models of the library.
const EQUATIONS: &str = "HEOS";
/// Mole fraction below which a component is left out: its equilibrium solver divides by what is there.
const TRACE: f64 = 1e-12;

/// What a state is computed from, SI.
#[derive(Debug, Clone, Copy)]
pub(super) enum At {
    /// Pressure and temperature.
    Pt(f64, f64),
    /// Pressure and entropy.
    Ps(f64, f64),
    /// Pressure and enthalpy.
    Ph(f64, f64),
    /// Density and temperature.
    RhoT(f64, f64),
    /// Density and internal energy.
    RhoU(f64, f64),
    /// Temperature and vapour fraction.
    Tq(f64, f64),
    /// Pressure and vapour fraction.
    Pq(f64, f64),
}

impl At {
    /// The pair in the order of the library.
    fn inputs(self) -> (FluidInputPair, f64, f64) {
        match self {
            Self::Pt(p, t) => (FluidInputPair::PT, p, t),
            Self::Ps(p, s) => (FluidInputPair::PSMass, p, s),
            Self::Ph(p, h) => (FluidInputPair::HMassP, h, p),
            Self::RhoT(rho, t) => (FluidInputPair::DMassT, rho, t),
            Self::RhoU(rho, u) => (FluidInputPair::DMassUMass, rho, u),
            Self::Tq(t, q) => (FluidInputPair::QT, q, t),
            Self::Pq(p, q) => (FluidInputPair::PQ, p, q),
        }
    }
}

impl Told for At {
    fn told(&self) -> Sentence {
        let p = |pa: f64| pressure(pa).digits(7);
        let rho = |kg_m3: f64| density(kg_m3).plain("kg/m³", 1.0);
        match self {
            Self::Pt(pa, k) => sentence!("{}, {}", p(*pa), in_kelvin(*k)),
            Self::Ps(pa, s) => sentence!("{} and entropy {}", p(*pa), s),
            Self::Ph(pa, h) => sentence!("{} and enthalpy {}", p(*pa), h),
            Self::RhoT(kg_m3, k) => sentence!("{}, {}", rho(*kg_m3), in_kelvin(*k)),
            Self::RhoU(kg_m3, u) => sentence!("{} and internal energy {}", rho(*kg_m3), u),
            Self::Tq(k, q) => sentence!("{}, vapour fraction {}", in_kelvin(*k), q),
            Self::Pq(pa, q) => sentence!("{}, vapour fraction {}", p(*pa), q),
        }
    }
}

/// What a state reads, SI. In two phases all but temperature and pressure are of both together.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reading {
    pub(super) t_k: f64,
    pub(super) p_pa: f64,
    pub(super) density_kg_m3: f64,
    pub(super) enthalpy_j_kg: f64,
    pub(super) entropy_j_kg_k: f64,
    pub(super) phase: Phase,
    /// In one phase only.
    pub(super) response: Option<Response>,
}

/// A state of the library with what it was set to last.
#[derive(Debug)]
struct Lent {
    state: AbstractState,
    fractions: Vec<f64>,
    imposed: Option<Named>,
}

impl Lent {
    fn prepare(&mut self, fractions: &[f64], imposed: Option<Named>) -> Result<(), CoolPropError> {
        if fractions.len() > 1 && self.fractions != fractions {
            self.state.set_fractions(fractions)?;
            self.fractions = fractions.to_vec();
        }
        if self.imposed != imposed {
            match imposed {
                Some(phase) => self.state.specify_phase(phase)?,
                None => self.state.unspecify_phase(),
            }
            self.imposed = imposed;
        }
        Ok(())
    }
}

/// States of one list of components.
#[derive(Debug)]
pub(super) struct Pool {
    cas: Vec<String>,
    /// By which of the components are there, a bit each.
    idle: Mutex<BTreeMap<u32, Vec<Lent>>>,
}

/// Pools of the process by their components: the library takes long to make a state.
static POOLS: Mutex<BTreeMap<String, Arc<Pool>>> = Mutex::new(BTreeMap::new());

fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    // what is kept is whole between calls, whatever a thread that held it did
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Pool {
    /// The pool of components with these CAS numbers.
    ///
    /// # Errors
    /// If the library lacks a component or a pair.
    pub(super) fn of(cas: &[&str]) -> Result<Arc<Self>, CoolPropError> {
        let key = cas.join("&");
        if let Some(pool) = lock(&POOLS).get(&key) {
            return Ok(Arc::clone(pool));
        }
        let pool = Arc::new(Self {
            cas: cas.iter().map(|&c| c.to_owned()).collect(),
            idle: Mutex::default(),
        });
        let even = vec![1.0 / cas.len() as f64; cas.len()];
        pool.with(&even, None, |_| Ok(()))?;
        lock(&POOLS).insert(key, Arc::clone(&pool));
        Ok(pool)
    }

    /// Works on a state of a composition, in a phase imposed on it or found by itself.
    fn with<T>(
        &self,
        x: &[f64],
        imposed: Option<Named>,
        work: impl FnOnce(&mut AbstractState) -> Result<T, CoolPropError>,
    ) -> Result<T, CoolPropError> {
        let there = || x.iter().enumerate().filter(|(_, x)| **x > TRACE);
        let mask = there().fold(0, |mask, (i, _)| mask | 1_u32 << i);
        let sum: f64 = there().map(|(_, x)| x).sum();
        let fractions: Vec<f64> = there().map(|(_, x)| x / sum).collect();
        let idle = lock(&self.idle).get_mut(&mask).and_then(Vec::pop);
        let mut lent = match idle {
            Some(lent) => lent,
            None => Lent {
                state: AbstractState::new(
                    EQUATIONS,
                    there()
                        .map(|(i, _)| self.cas[i].as_str())
                        .collect::<Vec<_>>()
                        .join("&"),
                )?,
                fractions: Vec::new(),
                imposed: None,
            },
        };
        lent.prepare(&fractions, imposed)?;
        let result = work(&mut lent.state);
        lock(&self.idle).entry(mask).or_default().push(lent);
        result
    }

    /// A state.
    pub(super) fn read(
        &self,
        x: &[f64],
        imposed: Option<Named>,
        at: At,
    ) -> Result<Reading, CoolPropError> {
        self.with(x, imposed, |state| {
            let (pair, first, second) = at.inputs();
            state.update(pair, first, second)?;
            reading(state)
        })
    }

    /// Temperature, K, and pressure, Pa, of a saturated state.
    pub(super) fn saturation(&self, x: &[f64], at: At) -> Result<(f64, f64), CoolPropError> {
        self.with(x, None, |state| {
            let (pair, first, second) = at.inputs();
            state.update(pair, first, second)?;
            Ok((
                state.keyed_output(FluidParam::T)?,
                state.keyed_output(FluidParam::P)?,
            ))
        })
    }

    /// One more output of a state.
    pub(super) fn output(
        &self,
        x: &[f64],
        imposed: Option<Named>,
        at: At,
        output: FluidParam,
    ) -> Result<f64, CoolPropError> {
        self.with(x, imposed, |state| {
            let (pair, first, second) = at.inputs();
            state.update(pair, first, second)?;
            state.keyed_output(output)
        })
    }

    /// Critical temperature, K, and pressure, Pa, of the only component.
    pub(super) fn critical(&self) -> Result<(f64, f64), CoolPropError> {
        self.with(&[1.0], None, |state| {
            Ok((
                state.keyed_output(FluidTrivialParam::TCritical)?,
                state.keyed_output(FluidTrivialParam::PCritical)?,
            ))
        })
    }
}

fn reading(state: &AbstractState) -> Result<Reading, CoolPropError> {
    let phase = match Named::try_from(state.keyed_output(FluidParam::Phase)?) {
        Ok(Named::Liquid | Named::SupercriticalLiquid) => Phase::Liquid,
        Ok(Named::Supercritical | Named::CriticalPoint) => Phase::Supercritical,
        Ok(Named::TwoPhase) => Phase::TwoPhase,
        _ => Phase::Gas,
    };
    let response = match phase {
        Phase::TwoPhase => None,
        _ => Some(response(state)?),
    };
    Ok(Reading {
        t_k: state.keyed_output(FluidParam::T)?,
        p_pa: state.keyed_output(FluidParam::P)?,
        density_kg_m3: state.keyed_output(FluidParam::DMass)?,
        enthalpy_j_kg: state.keyed_output(FluidParam::HMass)?,
        entropy_j_kg_k: state.keyed_output(FluidParam::SMass)?,
        phase,
        response,
    })
}

/// `(∂p/∂T)_ρ = α/κ`, `(∂p/∂ρ)_T = 1/(ρ κ)`, `μ = (T α - 1)/(ρ cp)`
fn response(state: &AbstractState) -> Result<Response, CoolPropError> {
    let kappa = state.keyed_output(FluidParam::IsothermalCompressibility)?;
    let alpha = state.keyed_output(FluidParam::IsobaricExpansionCoefficient)?;
    let rho = state.keyed_output(FluidParam::DMass)?;
    let cp = state.keyed_output(FluidParam::CpMass)?;
    Ok(Response {
        cp_j_kg_k: cp,
        cv_j_kg_k: state.keyed_output(FluidParam::CvMass)?,
        speed_of_sound_m_s: state.keyed_output(FluidParam::SoundSpeed)?,
        joule_thomson_k_pa: (state.keyed_output(FluidParam::T)? * alpha - 1.0) / (rho * cp),
        dp_dt_pa_k: alpha / kappa,
        dp_drho_pa_m3_kg: (rho * kappa).recip(),
    })
}
