//! Saturation, bubble and dew points of the embedded backend, and liquid and vapour together.

use super::remembered::Asked;
use super::{Embedded, LINES_WORTHWHILE, MAX_STEPS, NEAR_CRITICAL};
use crate::eos::blend_equilibrium::{self, Split, start_pressure};
use crate::eos::blend_split::liquid_splits;
use crate::eos::mixture::MixIsotherm;
use crate::eos::phase_lines::PhaseLines;
use crate::eos::pure_saturation::{self, PureSaturation};
use crate::eos::saturation_table::{Point, SaturationTable};
use crate::eos::splitting::{LOOKED_AT_K, PARTED_UP_TO_K};
use crate::eos::{Backend, EosError, Equilibrium, MoleFractions, Phase, Side, State, feos_bridge};
use crate::quantity::sentence::{in_kelvin, pressure, sentence};
use std::sync::atomic::Ordering;

/// Below this share of the critical temperature or pressure of a blend a point that is not found is the
/// solver's failure; above it there may be none.
const WELL_BELOW_CRITICAL: f64 = 0.9;
/// Above this share of the critical temperature only dew points are left, which the own solver finds.
const WELL_ABOVE_CRITICAL: f64 = 1.05;

/// Temperatures tried to see whether a fuel still boils at the lowest one of its equations, and the steps between
/// them, relative.
const COLDEST_TRIALS: u32 = 6;
const COLDEST_STEP: f64 = 0.02;

/// Name of the point where the first vapour or the first liquid appears.
fn incipient_name(liquid_given: bool) -> &'static str {
    if liquid_given {
        "bubble point"
    } else {
        "dew point"
    }
}

impl Embedded {
    /// Phase lines: at once for a pure fluid (they cost little), for a blend after some calls.
    pub(super) fn lines(&self) -> Option<&PhaseLines> {
        if self.model.is_pure() {
            let lines = &self.known.lines;
            return Some(lines.get_or_init(|| PhaseLines::pure(&self.model)));
        }
        // tabulated lines say nothing of a second liquid
        if self.model.may_split(f64::INFINITY) {
            return None;
        }
        if !self.known.stays
            && self.known.lines.get().is_none()
            && self.known.asked.fetch_add(1, Ordering::Relaxed) < LINES_WORTHWHILE
        {
            return None;
        }
        let t_min_k = *self.validity.temperature_k.start();
        Some(
            self.known.lines.get_or_init(|| {
                PhaseLines::new(&self.model, &self.mixed.x, self.mixed.t_r_k, t_min_k)
            }),
        )
    }

    /// Whether Raoult's law keeps a gas so far from its dew point that no departure from it matters:
    /// `Σ p x_i/p_i < 0.2` at a low pressure, where liquids that repel or attract one another change it by half. Asked
    /// of blends whose dew line is not tabulated, to spare them the table.
    pub(super) fn is_far_from_dew(&self, p_pa: f64, t_k: f64) -> bool {
        /// Share of a dew point.
        const DRY: f64 = 0.2;
        /// Share of the lowest critical pressure.
        const THIN: f64 = 0.2;
        if self.model.is_pure()
            || self.known.lines.get().is_some_and(PhaseLines::has_dew)
            || p_pa > THIN * self.lowest_critical_pressure()
            || self.model.may_split(f64::INFINITY)
        {
            return false;
        }
        let parts = self.mixed.x.iter().enumerate();
        let parts = parts.filter(|(_, x)| **x > 0.0);
        let shares = parts.map(|(i, x)| p_pa * x / start_pressure(&self.model, i, t_k));
        shares.sum::<f64>() < DRY
    }

    /// The saturation line of the pure fluid, as far as it is tabulated.
    fn line(&self) -> &SaturationTable {
        self.line
            .get_or_init(|| SaturationTable::of(self.equation(), self.mixed.molar_mass_kg_mol))
    }

    /// A point of it, from the equation.
    fn solved_point(&self, t_k: f64) -> Option<Point> {
        let iso = self.isotherm(t_k);
        let sat = self.solved_saturation(&iso, None).ok()?;
        let e = self.pure_equilibrium(&iso, &sat);
        Some(Point {
            t_k,
            p_pa: sat.p_pa,
            density_mol_m3: [sat.liquid_mol_m3, sat.vapour_mol_m3],
            enthalpy_j_kg: [e.liquid.enthalpy_j_kg, e.vapour.enthalpy_j_kg],
            entropy_j_kg_k: [e.liquid.entropy_j_kg_k, e.vapour.entropy_j_kg_k],
        })
    }

    /// Saturation of the pure fluid at a temperature.
    pub(super) fn pure_saturation(&self, iso: &MixIsotherm) -> Result<PureSaturation, EosError> {
        match self.line().at(iso.t_k, &|t_k| self.solved_point(t_k)) {
            Some(p) => Ok(PureSaturation {
                p_pa: p.p_pa,
                liquid_mol_m3: p.density_mol_m3[0],
                vapour_mol_m3: p.density_mol_m3[1],
            }),
            None => self.solved_saturation(iso, None),
        }
    }

    /// Liquid and vapour of the pure fluid at a point of its line.
    fn at_point(&self, p: &Point) -> Equilibrium {
        let m = self.mixed.molar_mass_kg_mol;
        let side = |i: usize| Side {
            density_kg_m3: p.density_mol_m3[i] * m,
            enthalpy_j_kg: p.enthalpy_j_kg[i],
            entropy_j_kg_k: p.entropy_j_kg_k[i],
            molar_mass_kg_mol: m,
            mole_fractions: self.mixed.x,
        };
        Equilibrium {
            temperature_k: p.t_k,
            pressure_pa: p.p_pa,
            liquid: side(0),
            vapour: side(1),
        }
    }

    /// Liquid and vapour of the pure fluid at a pressure.
    pub(super) fn pure_equilibrium_p(&self, p_pa: f64) -> Result<Equilibrium, EosError> {
        let solver = |t_k| self.solved_point(t_k);
        let start_k = self.boiling_start(p_pa);
        if let Some(point) = self.line().at_pressure(p_pa, start_k, &solver) {
            return Ok(self.at_point(&point));
        }
        let (iso, sat) = self.solved_saturation_p(p_pa)?;
        Ok(self.pure_equilibrium(&iso, &sat))
    }

    fn solved_saturation(
        &self,
        iso: &MixIsotherm,
        start: Option<&PureSaturation>,
    ) -> Result<PureSaturation, EosError> {
        let t_c = self.equation().t_critical_k;
        if iso.t_k >= t_c * (1.0 - NEAR_CRITICAL) {
            return Err(self.above_critical(sentence!("{}", in_kelvin(iso.t_k))));
        }
        pure_saturation::at_temperature(&self.model, &self.mixed, iso, start)
            .or_else(|| {
                feos_bridge::incipient(&self.model, &[1.0], iso.t_k, true).map(|s| PureSaturation {
                    p_pa: s.p_pa,
                    liquid_mol_m3: s.liquid_mol_m3,
                    vapour_mol_m3: s.vapour_mol_m3,
                })
            })
            .ok_or_else(|| self.stuck("saturation", sentence!("{}", in_kelvin(iso.t_k))))
    }

    /// Where the search for a boiling temperature begins.
    fn boiling_start(&self, p_pa: f64) -> f64 {
        let e = self.equation();
        match self.lines().and_then(|l| l.dew_k(p_pa)) {
            Some(t_k) => t_k,
            // above or below the table
            None if p_pa > 0.5 * e.p_critical_pa => 0.99 * e.t_critical_k,
            None => 0.4 * e.t_critical_k,
        }
    }

    /// Saturation temperature of the pure fluid: Newton with the Clapeyron slope.
    fn solved_saturation_p(&self, p_pa: f64) -> Result<(MixIsotherm, PureSaturation), EosError> {
        let e = self.equation();
        let (t_low, t_high) = (e.t_triple_k, e.t_critical_k * (1.0 - 2.0 * NEAR_CRITICAL));
        if p_pa >= e.p_critical_pa {
            return Err(self.above_critical(sentence!("{}", pressure(p_pa).digits(7))));
        }
        let ln_p = p_pa.ln();
        let mut t_k = self.boiling_start(p_pa).clamp(t_low, t_high);
        let mut iso = self.isotherm(t_k);
        let mut last: Option<PureSaturation> = None;
        for _ in 0..MAX_STEPS {
            let sat = self.solved_saturation(&iso, last.as_ref())?;
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
            // a first step may go too far; from the end itself it may not
            if next < t_low && t_k <= t_low * (1.0 + 1e-12) {
                return Err(EosError::TemperatureOutOfRange {
                    fuel: self.label(),
                    t_k: next,
                    lower_k: t_low,
                    upper_k: e.t_max_k,
                    source_key: self.validity.source.clone(),
                });
            }
            let next = next.clamp(t_low, t_high);
            if (next - t_k).abs() <= 1e-15 * t_k {
                return Ok((iso, sat));
            }
            t_k = next;
            self.model.isotherm_into(&self.mixed, t_k, &mut iso);
        }
        Err(self.stuck(
            "boiling temperature",
            sentence!(
                "{}, last tried {}",
                pressure(p_pa).digits(7),
                in_kelvin(t_k)
            ),
        ))
    }

    pub(super) fn pure_equilibrium(&self, iso: &MixIsotherm, sat: &PureSaturation) -> Equilibrium {
        Equilibrium {
            temperature_k: iso.t_k,
            pressure_pa: sat.p_pa,
            liquid: self.side(&self.mixed, iso, sat.liquid_mol_m3),
            vapour: self.side(&self.mixed, iso, sat.vapour_mol_m3),
        }
    }

    pub(super) fn blend_side(&self, x: &MoleFractions, t_k: f64, rho: f64) -> Side {
        let mixed = self.model.mixed(x);
        self.side(&mixed, &self.model.isotherm(&mixed, t_k), rho)
    }

    pub(super) fn blend_equilibrium(&self, s: &Split) -> Equilibrium {
        Equilibrium {
            temperature_k: s.t_k,
            pressure_pa: s.p_pa,
            liquid: self.blend_side(&s.x, s.t_k, s.liquid_mol_m3),
            vapour: self.blend_side(&s.y, s.t_k, s.vapour_mol_m3),
        }
    }

    pub(super) fn incipient_t(
        &self,
        t_k: f64,
        liquid_given: bool,
    ) -> Result<Equilibrium, EosError> {
        self.check_t(t_k)?;
        if self.model.is_pure() {
            if let Some(point) = self.line().at(t_k, &|t_k| self.solved_point(t_k)) {
                return Ok(self.at_point(&point));
            }
            let iso = self.isotherm(t_k);
            let sat = self.solved_saturation(&iso, None)?;
            return Ok(self.pure_equilibrium(&iso, &sat));
        }
        let asked = Asked::AtTemperature(t_k, liquid_given);
        self.known
            .remembered
            .or_find(asked, || {
                let split = self.split_t(t_k, liquid_given)?;
                self.with_one_liquid(split)
            })
            .map(|s| self.blend_equilibrium(&s))
    }

    /// Bubble or dew point of a blend at a temperature; above the critical temperature the second solver is not asked,
    /// which takes long to find none.
    fn split_t(&self, t_k: f64, liquid_given: bool) -> Result<Split, EosError> {
        let (model, z) = (&self.model, &self.mixed.x);
        if let Some(split) = blend_equilibrium::own_incipient(model, z, t_k, liquid_given, None) {
            return Ok(split);
        }
        // the reducing temperature is hardly above the critical one, and at hand
        let below = t_k < self.mixed.t_r_k || t_k < WELL_ABOVE_CRITICAL * self.critical().0;
        let other = below
            .then(|| feos_bridge::incipient(model, z, t_k, liquid_given))
            .flatten();
        other.ok_or_else(|| {
            let at = sentence!("{}", in_kelvin(t_k));
            if t_k < WELL_BELOW_CRITICAL * self.critical().0 {
                self.stuck(incipient_name(liquid_given), at)
            } else {
                self.above_critical(at)
            }
        })
    }

    /// Refuses a point whose liquid is two.
    fn with_one_liquid(&self, s: Split) -> Result<Split, EosError> {
        if self.is_parted(s.t_k)
            || self.model.may_split(s.t_k) && liquid_splits(&self.model, &s.x, s.p_pa, s.t_k)
        {
            return Err(EosError::LiquidSplits {
                fuel: self.label(),
                t_k: s.t_k,
            });
        }
        Ok(s)
    }

    /// Refuses a state with a liquid that the model parts near freezing, whichever way it is asked for.
    pub(super) fn one_liquid(&self, state: State) -> Result<State, EosError> {
        let liquid = matches!(state.phase, Phase::Liquid | Phase::TwoPhase);
        if liquid && self.is_parted(state.temperature_k) {
            return Err(EosError::LiquidSplits {
                fuel: self.label(),
                t_k: state.temperature_k,
            });
        }
        Ok(state)
    }

    /// Whether the model makes two liquids of a blend with an alcohol, which is one in fact; or it is water and oil.
    fn is_parted(&self, t_k: f64) -> bool {
        /// A pressure at which all of it is liquid, Pa.
        const PRESSED_PA: f64 = 5e6;
        if self.model.has_water_with_oil() {
            return true;
        }
        t_k < PARTED_UP_TO_K
            && self.model.has_alcohol_with_other()
            && *self
                .known
                .parted
                .get_or_init(|| liquid_splits(&self.model, &self.mixed.x, PRESSED_PA, LOOKED_AT_K))
    }

    pub(super) fn incipient_p(
        &self,
        p_pa: f64,
        liquid_given: bool,
    ) -> Result<Equilibrium, EosError> {
        self.check_p(p_pa)?;
        if self.model.is_pure() {
            return self.pure_equilibrium_p(p_pa);
        }
        self.blend_incipient_p(p_pa, liquid_given)
            .map(|s| self.blend_equilibrium(&s))
    }

    pub(super) fn blend_incipient_p(
        &self,
        p_pa: f64,
        liquid_given: bool,
    ) -> Result<Split, EosError> {
        let range = (
            *self.validity.temperature_k.start(),
            *self.validity.temperature_k.end(),
        );
        let (model, z) = (&self.model, &self.mixed.x);
        let near = || {
            let (start, rise) = self.lines()?.start(p_pa, liquid_given)?;
            blend_equilibrium::incipient_near_pressure(model, z, p_pa, liquid_given, &start, rise)
        };
        let asked = Asked::AtPressure(p_pa, liquid_given);
        self.known.remembered.or_find(asked, || {
            if let Some(near) = near()
                && self.validity.temperature_k.contains(&near.t_k)
            {
                return self.with_one_liquid(near);
            }
            blend_equilibrium::at_pressure(model, z, p_pa, liquid_given, range)
                .filter(|s| self.validity.temperature_k.contains(&s.t_k))
                .ok_or_else(|| self.no_point(p_pa, liquid_given))
                .and_then(|s| self.with_one_liquid(s))
        })
    }

    /// Why there is no bubble or dew point at a pressure.
    fn no_point(&self, p_pa: f64, liquid_given: bool) -> EosError {
        let lower_k = *self.validity.temperature_k.start();
        let coldest = || {
            let (model, z) = (&self.model, &self.mixed.x);
            // the solver has its own limits near the triple point
            (0..COLDEST_TRIALS).find_map(|k| {
                let t_k = lower_k * (1.0 + COLDEST_STEP * f64::from(k));
                blend_equilibrium::own_incipient(model, z, t_k, liquid_given, None)
            })
        };
        if coldest().is_some_and(|s| s.p_pa > p_pa) {
            return EosError::BoilsColder {
                fuel: self.label(),
                p_pa,
                lower_k,
            };
        }
        if p_pa < WELL_BELOW_CRITICAL * self.critical().1 {
            self.stuck(
                incipient_name(liquid_given),
                sentence!("{}", pressure(p_pa).digits(7)),
            )
        } else {
            self.above_critical(sentence!("{}", pressure(p_pa).digits(7)))
        }
    }

    /// Lowest critical pressure of the components, Pa.
    pub(super) fn lowest_critical_pressure(&self) -> f64 {
        self.model
            .fluids()
            .iter()
            .map(|f| f.equation.p_critical_pa)
            .fold(f64::INFINITY, f64::min)
    }

    /// Whether a pressure is below that of the triple point: only gas there.
    pub(super) fn below_triple(&self, p_pa: f64) -> bool {
        let e = self.equation();
        p_pa < pure_saturation::ancillary(&e.ancillary.vapour_pressure, e.t_triple_k)
    }
}
