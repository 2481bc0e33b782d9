//! The embedded backend: states and saturation of a fuel or blend from the Helmholtz-energy model.
//!
//! A pure fluid's phase at (p, T) follows from its saturation pressure; a blend's from a tangent-plane
//! test ([`super::blend_equilibrium::stable_state`]). No density is returned whose stability has not
//! been tested, unless a phase was asked for by name.

use super::blend_equilibrium::{self, Split, Stable};
use super::mixture::{MixIsotherm, Mixed, Model};
use super::phase_lines::PhaseLines;
use super::pure_saturation::{self, PureSaturation};
use super::transport::{Transport, surface_tension_n_m};
use super::{
    Backend, EosError, Equilibrium, MoleFractions, Phase, Response, Side, State, Validity, density,
    feos_bridge,
};
use crate::fuel::{Composition, Library};
use crate::numerics::root;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, OnceLock};

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
    critical: OnceLock<(f64, f64)>,
    /// Viscosity models, or why there are none; only asking for a viscosity fails.
    transport: Arc<Result<Transport, EosError>>,
    lines: OnceLock<PhaseLines>,
    asked: Arc<AtomicUsize>,
}

/// Which caloric property is matched.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Caloric {
    Entropy,
    Enthalpy,
}

impl Caloric {
    fn of(self, s: &State) -> f64 {
        match self {
            Self::Entropy => s.entropy_j_kg_k,
            Self::Enthalpy => s.enthalpy_j_kg,
        }
    }
    fn of_side(self, s: &Side) -> f64 {
        match self {
            Self::Entropy => s.entropy_j_kg_k,
            Self::Enthalpy => s.enthalpy_j_kg,
        }
    }
    fn name(self) -> &'static str {
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
            model: Arc::new(model),
            mixed,
            composition: composition.clone(),
            validity,
            critical: OnceLock::new(),
            transport: Arc::new(Transport::new(library, composition)),
            lines: OnceLock::new(),
            asked: Arc::default(),
        })
    }

    fn label(&self) -> String {
        self.model.label().to_owned()
    }

    fn check_t(&self, t_k: f64) -> Result<(), EosError> {
        if !t_k.is_finite() {
            return Err(EosError::NotFinite {
                name: "temperature",
            });
        }
        if self.validity.temperature_k.contains(&t_k) {
            return Ok(());
        }
        Err(EosError::TemperatureOutOfRange {
            fuel: self.label(),
            t_k,
            lower_k: *self.validity.temperature_k.start(),
            upper_k: *self.validity.temperature_k.end(),
            source_key: self.validity.source.clone(),
        })
    }

    fn check_p(&self, p_pa: f64) -> Result<(), EosError> {
        if !p_pa.is_finite() {
            return Err(EosError::NotFinite { name: "pressure" });
        }
        if p_pa > 0.0 && p_pa <= self.validity.max_pressure_pa {
            return Ok(());
        }
        Err(EosError::PressureOutOfRange {
            fuel: self.label(),
            p_pa,
            upper_pa: self.validity.max_pressure_pa,
            source_key: self.validity.source.clone(),
        })
    }

    fn stuck(&self, what: &'static str, at: String) -> EosError {
        EosError::NotConverged {
            what,
            fuel: self.label(),
            at,
        }
    }

    fn above_critical(&self, at: String) -> EosError {
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

    // ---- one phase --------------------------------------------------------------------------

    fn side(&self, mixed: &Mixed, iso: &MixIsotherm, rho: f64) -> Side {
        self.caloric(mixed, iso, rho).0
    }

    /// One phase with its pressure and response functions.
    fn caloric(&self, mixed: &Mixed, iso: &MixIsotherm, rho: f64) -> (Side, f64, Response) {
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

    fn single(&self, iso: &MixIsotherm, p_pa: f64, rho: f64, phase: Phase) -> State {
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

    fn isotherm(&self, t_k: f64) -> MixIsotherm {
        self.model.isotherm(&self.mixed, t_k)
    }

    fn root(&self, iso: &MixIsotherm, p_pa: f64, root: Root, guess: Option<f64>) -> Option<f64> {
        match root {
            Root::Gas => density::gas(&self.model, &self.mixed, iso, p_pa, guess),
            Root::Liquid => {
                let guess = guess.unwrap_or_else(|| {
                    blend_equilibrium::start_liquid_density(&self.model, &self.mixed, iso.t_k)
                });
                density::liquid(&self.model, &self.mixed, iso, p_pa, Some(guess))
            }
            // below the critical temperature the only root is the liquid's; the equations have others
            // without meaning at lower density
            Root::Only if iso.t_k < 0.97 * self.mixed.t_r_k => self
                .root(iso, p_pa, Root::Liquid, guess)
                .or_else(|| density::only(&self.model, &self.mixed, iso, p_pa, guess)),
            Root::Only => density::only(&self.model, &self.mixed, iso, p_pa, guess),
        }
    }

    /// Phase lines: at once for a pure fluid (they cost little), for a blend after some calls.
    fn lines(&self) -> Option<&PhaseLines> {
        if self.model.is_pure() {
            return Some(self.lines.get_or_init(|| PhaseLines::pure(&self.model)));
        }
        if self.lines.get().is_none()
            && self.asked.fetch_add(1, Ordering::Relaxed) < LINES_WORTHWHILE
        {
            return None;
        }
        let t_min_k = *self.validity.temperature_k.start();
        Some(
            self.lines.get_or_init(|| {
                PhaseLines::new(&self.model, &self.mixed.x, self.mixed.t_r_k, t_min_k)
            }),
        )
    }

    /// A state at pressure and entropy or enthalpy that lies clear of the phase lines; `None` if it
    /// does not, or if that cannot be told.
    fn px_clear(&self, p_pa: f64, value: f64, caloric: Caloric) -> Option<State> {
        let lines = self.lines()?;
        let (gas_above, liquid_below) = (lines.gas_above_k(p_pa)?, lines.liquid_below_k(p_pa));
        let (t_low, t_high) = (
            *self.validity.temperature_k.start(),
            *self.validity.temperature_k.end(),
        );
        let iso = self.isotherm(gas_above);
        let rho = self.root(&iso, p_pa, Root::Gas, None)?;
        let (side, _, response) = self.caloric(&self.mixed, &iso, rho);
        let off = value - caloric.of_side(&side);
        if off > 0.0 {
            let start = match caloric {
                Caloric::Entropy => gas_above * (off / response.cp_j_kg_k).exp(),
                Caloric::Enthalpy => gas_above + off / response.cp_j_kg_k,
            };
            let guess = rho * gas_above / start;
            let (iso, rho) = self.single_px(
                p_pa,
                value,
                caloric,
                Root::Gas,
                (gas_above, t_high),
                (start.min(t_high), Some(guess)),
            )?;
            let phase = if self.model.is_pure() {
                self.critical_phase(p_pa, iso.t_k, rho)
            } else {
                Phase::Gas
            };
            return Some(self.single(&iso, p_pa, rho, phase));
        }
        let liquid_below = liquid_below?;
        let iso = self.isotherm(liquid_below);
        let rho = self.root(&iso, p_pa, Root::Liquid, None)?;
        let (side, _, response) = self.caloric(&self.mixed, &iso, rho);
        let off = value - caloric.of_side(&side);
        if off > 0.0 {
            return None;
        }
        let start = match caloric {
            Caloric::Entropy => liquid_below * (off / response.cp_j_kg_k).exp(),
            Caloric::Enthalpy => liquid_below + off / response.cp_j_kg_k,
        };
        let (iso, rho) = self.single_px(
            p_pa,
            value,
            caloric,
            Root::Liquid,
            (t_low, liquid_below),
            (start.max(t_low), Some(rho)),
        )?;
        Some(self.single(&iso, p_pa, rho, Phase::Liquid))
    }

    fn critical_phase(&self, p_pa: f64, t_k: f64, rho_mol: f64) -> Phase {
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

    // ---- equilibrium ------------------------------------------------------------------------

    fn pure_saturation(
        &self,
        iso: &MixIsotherm,
        start: Option<&PureSaturation>,
    ) -> Result<PureSaturation, EosError> {
        let t_c = self.equation().t_critical_k;
        if iso.t_k >= t_c * (1.0 - NEAR_CRITICAL) {
            return Err(self.above_critical(format!("{} K", iso.t_k)));
        }
        pure_saturation::at_temperature(&self.model, &self.mixed, iso, start)
            .or_else(|| {
                feos_bridge::incipient(&self.model, &[1.0], iso.t_k, true).map(|s| PureSaturation {
                    p_pa: s.p_pa,
                    liquid_mol_m3: s.liquid_mol_m3,
                    vapour_mol_m3: s.vapour_mol_m3,
                })
            })
            .ok_or_else(|| self.stuck("saturation", format!("{} K", iso.t_k)))
    }

    /// Saturation temperature of the pure fluid: Newton with the Clapeyron slope.
    fn pure_saturation_p(&self, p_pa: f64) -> Result<(MixIsotherm, PureSaturation), EosError> {
        let e = self.equation();
        let (t_low, t_high) = (e.t_triple_k, e.t_critical_k * (1.0 - 2.0 * NEAR_CRITICAL));
        if p_pa >= e.p_critical_pa {
            return Err(self.above_critical(format!("{p_pa} Pa")));
        }
        let ln_p = p_pa.ln();
        let mut t_k = match self.lines().and_then(|l| l.dew_k(p_pa)) {
            Some(t_k) => t_k,
            // above or below the table
            None if p_pa > 0.5 * e.p_critical_pa => 0.99 * e.t_critical_k,
            None => 0.4 * e.t_critical_k,
        }
        .clamp(t_low, t_high);
        let mut iso = self.isotherm(t_k);
        let mut last: Option<PureSaturation> = None;
        for _ in 0..MAX_STEPS {
            let sat = self.pure_saturation(&iso, last.as_ref())?;
            last = Some(sat);
            let off = ln_p - sat.p_pa.ln();
            let liquid = self.side(&self.mixed, &iso, sat.liquid_mol_m3);
            let vapour = self.side(&self.mixed, &iso, sat.vapour_mol_m3);
            let dv = vapour.density_kg_m3.recip() - liquid.density_kg_m3.recip();
            let slope = (vapour.enthalpy_j_kg - liquid.enthalpy_j_kg) / (t_k * dv * sat.p_pa);
            // ln p is nearly straight in 1/T
            let next = (t_k.recip() - off / (slope * t_k * t_k))
                .max(t_high.recip() * 0.5)
                .recip();
            if (next - t_k).abs() <= 1e-13 * t_k {
                return Ok((iso, sat));
            }
            if next < t_low {
                return Err(EosError::TemperatureOutOfRange {
                    fuel: self.label(),
                    t_k: next,
                    lower_k: t_low,
                    upper_k: e.t_max_k,
                    source_key: self.validity.source.clone(),
                });
            }
            let next = next.min(t_high);
            if (next - t_k).abs() <= 1e-15 * t_k {
                return Ok((iso, sat));
            }
            t_k = next;
            self.model.isotherm_into(&self.mixed, t_k, &mut iso);
        }
        Err(self.stuck(
            "boiling temperature",
            format!("{p_pa} Pa, last tried {t_k} K"),
        ))
    }

    fn pure_equilibrium(&self, iso: &MixIsotherm, sat: &PureSaturation) -> Equilibrium {
        Equilibrium {
            temperature_k: iso.t_k,
            pressure_pa: sat.p_pa,
            liquid: self.side(&self.mixed, iso, sat.liquid_mol_m3),
            vapour: self.side(&self.mixed, iso, sat.vapour_mol_m3),
        }
    }

    fn blend_side(&self, x: &MoleFractions, t_k: f64, rho: f64) -> Side {
        let mixed = self.model.mixed(x);
        self.side(&mixed, &self.model.isotherm(&mixed, t_k), rho)
    }

    fn blend_equilibrium(&self, s: &Split) -> Equilibrium {
        Equilibrium {
            temperature_k: s.t_k,
            pressure_pa: s.p_pa,
            liquid: self.blend_side(&s.x, s.t_k, s.liquid_mol_m3),
            vapour: self.blend_side(&s.y, s.t_k, s.vapour_mol_m3),
        }
    }

    fn incipient_t(&self, t_k: f64, liquid_given: bool) -> Result<Equilibrium, EosError> {
        self.check_t(t_k)?;
        if self.model.is_pure() {
            let iso = self.isotherm(t_k);
            let sat = self.pure_saturation(&iso, None)?;
            return Ok(self.pure_equilibrium(&iso, &sat));
        }
        let z = &self.mixed.x;
        let split = if liquid_given {
            blend_equilibrium::bubble_at_temperature(&self.model, z, t_k, None)
        } else {
            blend_equilibrium::dew_at_temperature(&self.model, z, t_k, None)
        };
        match split {
            Some(s) => Ok(self.blend_equilibrium(&s)),
            None => Err(self.above_critical(format!("{t_k} K"))),
        }
    }

    fn incipient_p(&self, p_pa: f64, liquid_given: bool) -> Result<Equilibrium, EosError> {
        self.check_p(p_pa)?;
        if self.model.is_pure() {
            let (iso, sat) = self.pure_saturation_p(p_pa)?;
            return Ok(self.pure_equilibrium(&iso, &sat));
        }
        self.blend_incipient_p(p_pa, liquid_given)
            .map(|s| self.blend_equilibrium(&s))
    }

    fn blend_incipient_p(&self, p_pa: f64, liquid_given: bool) -> Result<Split, EosError> {
        let range = (
            *self.validity.temperature_k.start(),
            *self.validity.temperature_k.end(),
        );
        blend_equilibrium::at_pressure(&self.model, &self.mixed.x, p_pa, liquid_given, range)
            .filter(|s| self.validity.temperature_k.contains(&s.t_k))
            .ok_or_else(|| self.above_critical(format!("{p_pa} Pa")))
    }

    /// Liquid and vapour together, `v` moles of vapour per mole.
    fn two_phase(&self, e: Equilibrium, v: f64) -> State {
        let (ml, mv) = (e.liquid.molar_mass_kg_mol, e.vapour.molar_mass_kg_mol);
        let q = v * mv / (v * mv + (1.0 - v) * ml);
        let mix = |l: f64, g: f64| l + q * (g - l);
        State {
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
            equilibrium: Some(e),
        }
    }

    // ---- flashes ----------------------------------------------------------------------------

    /// Stable state of a pure fluid: which root follows from the saturation pressure.
    fn pure_pt(&self, p_pa: f64, t_k: f64) -> Result<State, EosError> {
        let e = self.equation();
        let iso = self.isotherm(t_k);
        let fail = || self.stuck("density", format!("{p_pa} Pa, {t_k} K"));
        if t_k >= e.t_critical_k * (1.0 - NEAR_CRITICAL) {
            let rho = self.root(&iso, p_pa, Root::Only, None).ok_or_else(fail)?;
            return Ok(self.single(&iso, p_pa, rho, self.critical_phase(p_pa, t_k, rho)));
        }
        let start = pure_saturation::ancillary(&e.ancillary.vapour_pressure, t_k);
        let liquid = if p_pa > start * (1.0 + ANCILLARY_BAND) {
            true
        } else if p_pa < start * (1.0 - ANCILLARY_BAND) {
            false
        } else {
            p_pa >= self.pure_saturation(&iso, None)?.p_pa
        };
        let (root, phase) = if liquid {
            (Root::Liquid, Phase::Liquid)
        } else {
            (Root::Gas, Phase::Gas)
        };
        let rho = self
            .root(&iso, p_pa, root, None)
            .or_else(|| self.root(&iso, p_pa, Root::Only, None));
        Ok(self.single(&iso, p_pa, rho.ok_or_else(fail)?, phase))
    }

    fn blend_pt(&self, p_pa: f64, t_k: f64) -> Result<State, EosError> {
        if let Some(lines) = self.lines() {
            let clear = if lines.gas_above_k(p_pa).is_some_and(|t| t_k > t) {
                Some((Root::Gas, Phase::Gas))
            } else if lines.liquid_below_k(p_pa).is_some_and(|t| t_k < t) {
                Some((Root::Liquid, Phase::Liquid))
            } else {
                None
            };
            if let Some((root, phase)) = clear {
                let iso = self.isotherm(t_k);
                if let Some(rho) = self.root(&iso, p_pa, root, None) {
                    return Ok(self.single(&iso, p_pa, rho, phase));
                }
            }
        }
        match blend_equilibrium::stable_state(&self.model, &self.mixed.x, p_pa, t_k) {
            Some(Stable::Single(rho, is_liquid)) => {
                let phase = if t_k >= self.mixed.t_r_k {
                    self.critical_phase(p_pa, t_k, rho)
                } else if is_liquid {
                    Phase::Liquid
                } else {
                    Phase::Gas
                };
                Ok(self.single(&self.isotherm(t_k), p_pa, rho, phase))
            }
            Some(Stable::Two(s)) => {
                Ok(self.two_phase(self.blend_equilibrium(&s), s.vapour_fraction))
            }
            None => Err(self.stuck("stable state", format!("{p_pa} Pa, {t_k} K"))),
        }
    }

    /// Single phase at pressure and entropy or enthalpy: Newton in temperature, slope cp (or cp/T),
    /// kept in a bracket; the density goes along as its own start.
    fn single_px(
        &self,
        p_pa: f64,
        value: f64,
        caloric: Caloric,
        root: Root,
        (mut low, mut high): (f64, f64),
        start: (f64, Option<f64>),
    ) -> Option<(MixIsotherm, f64)> {
        let (mut t_k, mut rho) = (start.0.clamp(low, high), start.1);
        let mut iso = self.isotherm(t_k);
        // Newton alone cycles around the spike of cp near the critical point
        let (mut step_before_last, mut last_step) = (high - low, high - low);
        for _ in 0..MAX_BRACKETED_STEPS {
            // a start from another temperature may be a poor one
            let density = self
                .root(&iso, p_pa, root, rho)
                .or_else(|| rho.and_then(|_| self.root(&iso, p_pa, root, None)));
            let Some(density) = density else {
                // no such root at this temperature: back towards where there is one
                match root {
                    Root::Gas => low = t_k,
                    Root::Liquid => high = t_k,
                    Root::Only => return None,
                }
                rho = None;
                t_k = 0.5 * (low + high);
                if high - low < 1e-9 * high {
                    return None;
                }
                self.model.isotherm_into(&self.mixed, t_k, &mut iso);
                continue;
            };
            rho = Some(density);
            let (side, _, response) = self.caloric(&self.mixed, &iso, density);
            let (off, slope) = match caloric {
                Caloric::Entropy => (value - side.entropy_j_kg_k, response.cp_j_kg_k / t_k),
                Caloric::Enthalpy => (value - side.enthalpy_j_kg, response.cp_j_kg_k),
            };
            if off > 0.0 {
                low = low.max(t_k);
            } else {
                high = high.min(t_k);
            }
            let change = off / slope;
            if change.abs() <= 1e-13 * t_k {
                return Some((iso, density));
            }
            let next = t_k + change;
            let shrinks = 2.0 * change.abs() < step_before_last;
            let next = if next >= low && next <= high && slope > 0.0 && shrinks {
                next
            } else {
                0.5 * (low + high)
            };
            step_before_last = last_step;
            last_step = (next - t_k).abs();
            if (next - t_k).abs() <= 2e-16 * t_k {
                return ((off / slope).abs() <= 1e-6 * t_k).then_some((iso, density));
            }
            t_k = next;
            self.model.isotherm_into(&self.mixed, t_k, &mut iso);
        }
        None
    }

    fn px(&self, p_pa: f64, value: f64, caloric: Caloric) -> Result<State, EosError> {
        self.check_p(p_pa)?;
        if !value.is_finite() {
            return Err(EosError::NotFinite {
                name: caloric.name(),
            });
        }
        if let Some(state) = self.px_clear(p_pa, value, caloric) {
            return Ok(state);
        }
        let (t_low, t_high) = (
            *self.validity.temperature_k.start(),
            *self.validity.temperature_k.end(),
        );
        let fail = || self.stuck("state", format!("{p_pa} Pa and {} {value}", caloric.name()));
        let finish =
            |found: Option<(MixIsotherm, f64)>, phase: Option<Phase>| -> Result<State, EosError> {
                let (iso, rho) = found.ok_or_else(fail)?;
                let phase = phase.unwrap_or_else(|| self.critical_phase(p_pa, iso.t_k, rho));
                Ok(self.single(&iso, p_pa, rho, phase))
            };
        // the equilibrium at this pressure, if there is one, tells which side of it the state is on
        let (bubble, dew, gas_start, liquid_start) = if self.model.is_pure() {
            if self.below_triple(p_pa) {
                let start = (self.only_start(p_pa), None);
                return finish(
                    self.single_px(p_pa, value, caloric, Root::Gas, (t_low, t_high), start),
                    Some(Phase::Gas),
                )
                .map_err(|_| self.beyond(p_pa, value, caloric));
            }
            if p_pa >= self.equation().p_critical_pa * (1.0 - 1e-6) {
                return finish(
                    self.single_px(
                        p_pa,
                        value,
                        caloric,
                        Root::Only,
                        (t_low, t_high),
                        (self.only_start(p_pa), None),
                    ),
                    None,
                )
                .map_err(|_| self.beyond(p_pa, value, caloric));
            }
            let (iso, sat) = self.pure_saturation_p(p_pa)?;
            let e = self.pure_equilibrium(&iso, &sat);
            (e, e, sat.vapour_mol_m3, sat.liquid_mol_m3)
        } else {
            let m = self.mixed.molar_mass_kg_mol;
            // in or above the critical region: one phase, if it stands the stability test
            if p_pa > 0.5 * self.lowest_critical_pressure() {
                let start = (self.only_start(p_pa), None);
                let found =
                    self.single_px(p_pa, value, caloric, Root::Only, (t_low, t_high), start);
                if let Some((iso, rho)) = found
                    && let Ok(stable) = self.blend_pt(p_pa, iso.t_k)
                    && stable.phase != Phase::TwoPhase
                    && (stable.density_kg_m3 / (rho * m) - 1.0).abs() < 1e-8
                {
                    return Ok(self.single(&iso, p_pa, rho, stable.phase));
                }
            }
            let dew = match self.blend_incipient_p(p_pa, false) {
                Ok(s) => s,
                // no dew point at this pressure: above the two-phase region
                Err(_) => {
                    return finish(
                        self.single_px(
                            p_pa,
                            value,
                            caloric,
                            Root::Only,
                            (t_low, t_high),
                            (self.only_start(p_pa), None),
                        ),
                        None,
                    )
                    .map_err(|_| self.beyond(p_pa, value, caloric));
                }
            };
            let dew = self.blend_equilibrium(&dew);
            if value >= caloric.of_side(&dew.vapour) {
                (
                    dew,
                    dew,
                    dew.vapour.density_kg_m3 / m,
                    dew.liquid.density_kg_m3 / m,
                )
            } else {
                let bubble = self.incipient_p(p_pa, true)?;
                (
                    bubble,
                    dew,
                    dew.vapour.density_kg_m3 / m,
                    bubble.liquid.density_kg_m3 / m,
                )
            }
        };
        let (at_bubble, at_dew) = (
            caloric.of_side(&bubble.liquid),
            caloric.of_side(&dew.vapour),
        );
        if value >= at_dew {
            let start_k = self.extrapolate(&dew, value - at_dew, caloric, gas_start);
            let found = self.single_px(
                p_pa,
                value,
                caloric,
                Root::Gas,
                (dew.temperature_k, t_high),
                (start_k, None),
            );
            return finish(found, Some(Phase::Gas))
                .map_err(|_| self.beyond(p_pa, value, caloric))
                .map(|s| {
                    let t_c = if self.model.is_pure() {
                        self.equation().t_critical_k
                    } else {
                        f64::INFINITY
                    };
                    State {
                        phase: if s.temperature_k >= t_c {
                            self.critical_phase(p_pa, s.temperature_k, gas_start)
                        } else {
                            s.phase
                        },
                        ..s
                    }
                });
        }
        if value <= at_bubble {
            let start = (bubble.temperature_k, Some(liquid_start));
            let found = self.single_px(
                p_pa,
                value,
                caloric,
                Root::Liquid,
                (t_low, bubble.temperature_k),
                start,
            );
            return finish(found, Some(Phase::Liquid))
                .map_err(|_| self.beyond(p_pa, value, caloric));
        }
        if self.model.is_pure() {
            let q = (value - at_bubble) / (at_dew - at_bubble);
            return Ok(self.two_phase(bubble, q));
        }
        // a blend boils over a range of temperatures
        let off = |t_k: f64| self.blend_pt(p_pa, t_k).map(|s| caloric.of(&s) - value);
        let ends = (
            (bubble.temperature_k, at_bubble - value),
            (dew.temperature_k, at_dew - value),
        );
        let t_k = root::brent_from(
            |t| off(t).map_err(root::RootError::Function),
            ends.0,
            ends.1,
            1e-13,
        )
        .map_err(|e| e.or_from(|_| fail()))?;
        self.blend_pt(p_pa, t_k)
    }

    /// Lowest critical pressure of the components, Pa.
    fn lowest_critical_pressure(&self) -> f64 {
        self.model
            .fluids()
            .iter()
            .map(|f| f.equation.p_critical_pa)
            .fold(f64::INFINITY, f64::min)
    }

    /// Start temperature of a gas state beyond the dew point: constant heat capacity.
    fn extrapolate(&self, dew: &Equilibrium, off: f64, caloric: Caloric, rho_mol: f64) -> f64 {
        let iso = self.isotherm(dew.temperature_k);
        let cp = self.caloric(&self.mixed, &iso, rho_mol).2.cp_j_kg_k;
        let t_k = match caloric {
            Caloric::Entropy => dew.temperature_k * (off / cp).exp(),
            Caloric::Enthalpy => dew.temperature_k + off / cp,
        };
        t_k.min(*self.validity.temperature_k.end())
    }

    fn only_start(&self, p_pa: f64) -> f64 {
        let t_k = self.mixed.t_r_k * if p_pa > 1e6 { 1.1 } else { 0.8 };
        t_k.clamp(
            *self.validity.temperature_k.start(),
            *self.validity.temperature_k.end(),
        )
    }

    /// Whether a pressure is below that of the triple point: only gas there.
    fn below_triple(&self, p_pa: f64) -> bool {
        let e = self.equation();
        p_pa < pure_saturation::ancillary(&e.ancillary.vapour_pressure, e.t_triple_k)
    }

    fn beyond(&self, p_pa: f64, value: f64, caloric: Caloric) -> EosError {
        let range = &self.validity.temperature_k;
        EosError::NotConverged {
            what: "state",
            fuel: self.label(),
            at: format!(
                "{p_pa} Pa and {} {value} (searched {} K to {} K)",
                caloric.name(),
                range.start(),
                range.end()
            ),
        }
    }

    fn density_checked(&self, rho_kg_m3: f64) -> Result<f64, EosError> {
        if !rho_kg_m3.is_finite() {
            return Err(EosError::NotFinite { name: "density" });
        }
        let rho = rho_kg_m3 / self.mixed.molar_mass_kg_mol;
        let top = self.model.rho_max_generic::<f64>(&self.mixed.x);
        if rho > 0.0 && rho <= top {
            return Ok(rho);
        }
        Err(EosError::NotAvailable {
            what: "state",
            fuel: self.label(),
            why: format!(
                "density {rho_kg_m3} kg/m³ is outside the equation, above 0 and up to {:.1} kg/m³",
                top * self.mixed.molar_mass_kg_mol
            ),
        })
    }

    /// Two-phase state of given density at a temperature.
    fn blend_rho_t(&self, rho: f64, t_k: f64) -> Result<State, EosError> {
        let iso = self.isotherm(t_k);
        let (side, p_pa, response) = self.caloric(&self.mixed, &iso, rho);
        let mechanically_stable = response.dp_drho_pa_m3_kg > 0.0 && p_pa > 0.0;
        if mechanically_stable && p_pa <= self.validity.max_pressure_pa {
            let stable = self.blend_pt(p_pa, t_k)?;
            if stable.phase != Phase::TwoPhase
                && (stable.density_kg_m3 / side.density_kg_m3 - 1.0).abs() < 1e-7
            {
                return Ok(State {
                    pressure_pa: p_pa,
                    ..self.single(&iso, p_pa, rho, stable.phase)
                });
            }
        } else if mechanically_stable {
            return Err(EosError::PressureOutOfRange {
                fuel: self.label(),
                p_pa,
                upper_pa: self.validity.max_pressure_pa,
                source_key: self.validity.source.clone(),
            });
        }
        // two phases: the pressure at which the split has this density
        let bubble = self.incipient_t(t_k, true)?.pressure_pa;
        let dew = self.incipient_t(t_k, false)?.pressure_pa;
        let target = (rho * self.mixed.molar_mass_kg_mol).recip();
        let off = |p: f64| {
            self.blend_pt(p, t_k)
                .map(|s| (s.density_kg_m3.recip() - target) / target)
        };
        let p_pa =
            root::brent(off, dew * (1.0 - 1e-9), bubble * (1.0 + 1e-9), 1e-13).map_err(|e| {
                e.or_from(|_| self.stuck("two-phase state", format!("{rho} mol/m³, {t_k} K")))
            })?;
        self.blend_pt(p_pa, t_k)
    }

    fn pure_rho_t(&self, rho: f64, t_k: f64) -> Result<State, EosError> {
        let iso = self.isotherm(t_k);
        if t_k < self.equation().t_critical_k * (1.0 - NEAR_CRITICAL) {
            let sat = self.pure_saturation(&iso, None)?;
            if rho > sat.vapour_mol_m3 && rho < sat.liquid_mol_m3 {
                let e = self.pure_equilibrium(&iso, &sat);
                let (vl, vv) = (
                    e.liquid.density_kg_m3.recip(),
                    e.vapour.density_kg_m3.recip(),
                );
                let q = ((rho * self.mixed.molar_mass_kg_mol).recip() - vl) / (vv - vl);
                return Ok(self.two_phase(e, q));
            }
        }
        let p_pa = self.caloric(&self.mixed, &iso, rho).1;
        self.check_p(p_pa)?;
        Ok(self.single(&iso, p_pa, rho, self.critical_phase(p_pa, t_k, rho)))
    }

    fn rho_t(&self, rho: f64, t_k: f64) -> Result<State, EosError> {
        if self.model.is_pure() {
            self.pure_rho_t(rho, t_k)
        } else {
            self.blend_rho_t(rho, t_k)
        }
    }

    /// Checks a vapour fraction.
    fn check_fraction(v: f64) -> Result<(), EosError> {
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
        *self.critical.get_or_init(|| {
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
        self.model.assumptions()
    }
    fn recomposed(&self, mole_fractions: &[f64]) -> Result<Arc<dyn Backend>, EosError> {
        let n = self.model.fluids().len();
        let sum: f64 = mole_fractions.iter().sum();
        if mole_fractions.len() != n
            || mole_fractions.iter().any(|x| !(*x >= 0.0))
            || !((sum - 1.0).abs() < 1e-6)
        {
            return Err(EosError::NotAvailable {
                what: "other composition",
                fuel: self.label(),
                why: format!("it takes {n} mole fractions that add up to one"),
            });
        }
        Ok(Arc::new(Self {
            mixed: self.model.mixed(mole_fractions),
            composition: self.composition.with_mole_fractions(mole_fractions),
            critical: OnceLock::new(),
            lines: OnceLock::new(),
            asked: Arc::default(),
            ..self.clone()
        }))
    }

    fn bubble_t(&self, t_k: f64) -> Result<Equilibrium, EosError> {
        self.incipient_t(t_k, true)
    }
    fn bubble_t_near(&self, t_k: f64, near: &Equilibrium) -> Result<Equilibrium, EosError> {
        self.check_t(t_k)?;
        let start = blend_equilibrium::bubble_start_near(&self.mixed.x, t_k, near);
        let found = start.and_then(|start| {
            let z = &self.mixed.x;
            blend_equilibrium::bubble_at_temperature(&self.model, z, t_k, Some(&start))
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
            self.blend_pt(p_pa, t_k)
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
                why: format!("there is no such density at {p_pa} Pa, {t_k} K"),
            })?;
        Ok(self.single(&iso, p_pa, rho, phase))
    }
    fn state_ps(&self, p_pa: f64, s_j_kg_k: f64) -> Result<State, EosError> {
        self.px(p_pa, s_j_kg_k, Caloric::Entropy)
    }
    fn state_ph(&self, p_pa: f64, h_j_kg: f64) -> Result<State, EosError> {
        self.px(p_pa, h_j_kg, Caloric::Enthalpy)
    }
    fn state_rho_t(&self, rho_kg_m3: f64, t_k: f64) -> Result<State, EosError> {
        self.check_t(t_k)?;
        self.rho_t(self.density_checked(rho_kg_m3)?, t_k)
    }
    fn state_rho_u(&self, rho_kg_m3: f64, u_j_kg: f64) -> Result<State, EosError> {
        let rho = self.density_checked(rho_kg_m3)?;
        if !u_j_kg.is_finite() {
            return Err(EosError::NotFinite {
                name: "internal energy",
            });
        }
        let fail = || {
            self.stuck(
                "state",
                format!("{rho_kg_m3} kg/m³ and internal energy {u_j_kg}"),
            )
        };
        // u rises with T along an isochore; outside the pressure range there is no answer, so the
        // bracket grows from the middle of the range and stops at its ends
        let off = |t_k: f64| {
            self.rho_t(rho, t_k)
                .map(|s| s.internal_energy_j_kg() - u_j_kg)
        };
        let (start, end) = (
            *self.validity.temperature_k.start(),
            *self.validity.temperature_k.end(),
        );
        let (mut low, mut high) = (start, end);
        let scale = 1.0 / (self.model.r() / self.mixed.molar_mass_kg_mol);
        // find a temperature where the isochore can be evaluated, from the critical temperature down
        let mut t_k = (0.8 * self.mixed.t_r_k).clamp(low, high);
        let mut f = off(t_k);
        for k in 0..30 {
            if f.is_ok() {
                break;
            }
            // too hot for a full vessel, too cold for none: halve towards the cold end
            high = t_k;
            t_k = if k < 29 { 0.5 * (low + t_k) } else { low };
            f = off(t_k);
        }
        let mut f = f?;
        let direction = if f < 0.0 { 1.0 } else { -1.0 };
        let (mut a, mut fa) = (t_k, f);
        for _ in 0..80 {
            let mut step = (f.abs() * scale / 8.0).clamp(1e-6 * t_k, 40.0) * direction;
            let mut next = (t_k + step).clamp(low, high);
            let mut g = off(next);
            for _ in 0..40 {
                if g.is_ok() {
                    break;
                }
                if direction > 0.0 {
                    high = next
                } else {
                    low = next
                }
                step *= 0.5;
                next = (t_k + step).clamp(low, high);
                g = off(next);
            }
            let g = g?;
            if (g < 0.0) != (fa < 0.0) || g == 0.0 {
                let t = root::brent_from(
                    |t| off(t).map_err(root::RootError::Function),
                    (a, fa),
                    (next, g),
                    1e-14,
                )
                .map_err(|e| e.or_from(|_| fail()))?;
                return self.rho_t(rho, t);
            }
            if (next - t_k).abs() < 1e-12 * t_k {
                break;
            }
            (t_k, f) = (next, g);
            (a, fa) = (t_k, f);
        }
        Err(fail())
    }
    fn state_pq(&self, p_pa: f64, vapour_mole_fraction: f64) -> Result<State, EosError> {
        Self::check_fraction(vapour_mole_fraction)?;
        if self.model.is_pure() || vapour_mole_fraction == 0.0 {
            return Ok(self.two_phase(self.bubble_p(p_pa)?, vapour_mole_fraction));
        }
        let dew = self.dew_p(p_pa)?;
        if vapour_mole_fraction >= 1.0 {
            return Ok(self.two_phase(dew, 1.0));
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
        .map_err(|e| e.or_from(|_| self.stuck("two-phase state", format!("{p_pa} Pa"))))?;
        self.blend_pt(p_pa, t_k)
    }
    fn state_tq(&self, t_k: f64, vapour_mole_fraction: f64) -> Result<State, EosError> {
        Self::check_fraction(vapour_mole_fraction)?;
        if self.model.is_pure() || vapour_mole_fraction == 0.0 {
            return Ok(self.two_phase(self.bubble_t(t_k)?, vapour_mole_fraction));
        }
        let dew = self.dew_t(t_k)?;
        if vapour_mole_fraction >= 1.0 {
            return Ok(self.two_phase(dew, 1.0));
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
        .map_err(|e| e.or_from(|_| self.stuck("two-phase state", format!("{t_k} K"))))?;
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
        transport.viscosity_pa_s(&self.mixed.x, state.temperature_k, rho_mol_m3)
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
