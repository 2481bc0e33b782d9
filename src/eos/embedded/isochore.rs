//! States at density and temperature or internal energy.

use super::flash::HEAT;
use super::search::{Search, alike};
use super::{Embedded, NEAR_CRITICAL};
use crate::eos::blend_equilibrium::{Split, own_incipient, start_pressure};
use crate::eos::blend_flash::{split_of_density, split_of_density_and_energy, start_from};
use crate::eos::{EosError, Equilibrium, Side, State};
use crate::numerics::effort::Allowance;
use crate::quantity::sentence::{Sentence, density, in_kelvin, sentence};

/// Pressure at which a search for a density begins, Pa.
const LEAST_PRESSURE_PA: f64 = 1e-3;
/// Steps that a state of given density may take: some fifty are usual, and these take about a millisecond.
const MOST_STEPS: u64 = 500;
/// The same of given density and temperature, for which nobody is in a hurry.
const MOST_STEPS_AT_TEMPERATURE: u64 = 5000;
/// Logarithm of a ratio of densities from which on a state is no start for another.
const FAR: f64 = 0.3;

impl Embedded {
    pub(super) fn density_checked(&self, rho_kg_m3: f64) -> Result<f64, EosError> {
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
            why: sentence!(
                "density {} is outside the equation, above 0 and up to {}",
                density(rho_kg_m3).plain("kg/m³", 1.0),
                density(top * self.mixed.molar_mass_kg_mol).fixed("kg/m³", 1.0, 1)
            ),
        })
    }

    /// Stable state of a blend of given density at a temperature.
    fn blend_rho_t(&self, rho: f64, t_k: f64, allowance: Allowance) -> Result<State, EosError> {
        let one = self.one_phase_rho(rho, t_k);
        let near = if let Some(one) = &one {
            let stable = self.blend_pt(one.pressure_pa, t_k)?;
            if alike(one, &stable) {
                return Ok(*one);
            }
            let share = Some(stable.vapour_mole_fraction);
            stable.equilibrium.map(|e| (e, share))
        } else {
            own_incipient(&self.model, &self.mixed.x, t_k, true, None)
                .map(|bubble| (self.blend_equilibrium(&bubble), None))
        };
        if let Some((e, share)) = &near
            && let Some(state) = self.split_rho(rho, e, *share)
            && self.is_stable(&state)
        {
            return Ok(state);
        }
        let top_pa = self.validity.max_pressure_pa;
        let at = |p_pa: f64, guess: Option<&State>| match guess {
            Some(guess) if self.is_stable(guess) => Ok(*guess),
            _ => self.blend_pt(p_pa, t_k),
        };
        let lacks = |s: &State| (rho * self.mixed.molar_mass_kg_mol / s.density_kg_m3).ln();
        let guess = |s: &State| match &s.equilibrium {
            Some(e) => self.split_rho(rho, e, Some(s.vapour_mole_fraction)),
            None => one,
        };
        // what boils, as an ideal liquid does
        let ideal = |i: usize| self.mixed.x[i] * start_pressure(&self.model, i, t_k);
        let boils_pa = near.map_or_else(
            || (0..self.mixed.x.len()).map(ideal).sum(),
            |(e, _)| e.pressure_pa,
        );
        let search = Search {
            range: (LEAST_PRESSURE_PA, top_pa),
            start: one.map_or(boils_pa.min(0.5 * top_pa), |s| s.pressure_pa),
            place: |s| s.pressure_pa,
            at: &at,
            lacks: &lacks,
            guess: &guess,
            allowance,
            spent: &|| {
                let rho_kg_m3 = rho * self.mixed.molar_mass_kg_mol;
                let at = sentence!(
                    "{}, {}: {} steps did not suffice",
                    density(rho_kg_m3).plain("kg/m³", 1.0),
                    in_kelvin(t_k),
                    &allowance.most()
                );
                self.stuck("state", at)
            },
        };
        search.run()?.ok_or_else(|| EosError::PressureOutOfRange {
            fuel: self.label(),
            p_pa: self.caloric(&self.mixed, &self.isotherm(t_k), rho).1,
            upper_pa: top_pa,
            source_key: self.validity.source.clone(),
        })
    }

    /// Liquid and vapour of a mean density, from an equilibrium at their temperature; not tested.
    fn split_rho(&self, rho: f64, e: &Equilibrium, share: Option<f64>) -> Option<State> {
        let molar = |s: &Side| s.molar_mass_kg_mol / s.density_kg_m3;
        let (v_l, v_g) = (molar(&e.liquid), molar(&e.vapour));
        let share = share.unwrap_or((rho.recip() - v_l) / (v_g - v_l));
        if !(0.0..=1.0).contains(&share) {
            return None;
        }
        let start = start_from(e, share, e.pressure_pa, self.model.r());
        self.two_phase_in_range(&split_of_density(&self.model, &self.mixed.x, rho, &start)?)
    }

    /// One phase of given density at a temperature, stable or not, within the range of pressure.
    fn one_phase_rho(&self, rho: f64, t_k: f64) -> Option<State> {
        let iso = self.isotherm(t_k);
        let p_pa = self.caloric(&self.mixed, &iso, rho).1;
        self.check_p(p_pa).ok()?;
        self.single(&iso, p_pa, rho, self.blend_phase(t_k, rho))
            .ok()
    }

    pub(super) fn pure_rho_t(&self, rho: f64, t_k: f64) -> Result<State, EosError> {
        let iso = self.isotherm(t_k);
        if t_k < self.equation().t_critical_k * (1.0 - NEAR_CRITICAL) {
            let sat = self.pure_saturation(&iso)?;
            if rho > sat.vapour_mol_m3 && rho < sat.liquid_mol_m3 {
                let e = self.pure_equilibrium(&iso, &sat);
                let (vl, vv) = (
                    e.liquid.density_kg_m3.recip(),
                    e.vapour.density_kg_m3.recip(),
                );
                let q = ((rho * self.mixed.molar_mass_kg_mol).recip() - vl) / (vv - vl);
                return Ok(State::two_phase(&e, q));
            }
        }
        let p_pa = self.caloric(&self.mixed, &iso, rho).1;
        self.check_p(p_pa)?;
        self.single(&iso, p_pa, rho, self.critical_phase(p_pa, t_k, rho))
    }

    pub(super) fn rho_t(&self, rho: f64, t_k: f64) -> Result<State, EosError> {
        self.rho_t_within(rho, t_k, Allowance::of(MOST_STEPS_AT_TEMPERATURE))
    }

    fn rho_t_within(&self, rho: f64, t_k: f64, allowance: Allowance) -> Result<State, EosError> {
        if self.model.is_pure() {
            self.pure_rho_t(rho, t_k)
        } else {
            self.blend_rho_t(rho, t_k, allowance)
        }
    }

    /// State at density and internal energy.
    pub(super) fn rho_u(&self, rho_kg_m3: f64, u_j_kg: f64) -> Result<State, EosError> {
        let rho = self.density_checked(rho_kg_m3)?;
        if !u_j_kg.is_finite() {
            return Err(EosError::NotFinite {
                name: "internal energy",
            });
        }
        let allowance = Allowance::of(MOST_STEPS);
        let at_asked = |why: Sentence| {
            let at = sentence!(
                "{} and internal energy {}{}",
                density(rho_kg_m3).plain("kg/m³", 1.0),
                &u_j_kg,
                why
            );
            self.stuck("state", at)
        };
        if !self.model.is_pure()
            && let Some(state) = self.blend_rho_u_soon(rho, u_j_kg, allowance)
        {
            return Ok(state);
        }
        // u rises with T along an isochore
        let at = |t_k: f64, guess: Option<&State>| match guess {
            Some(guess) if self.is_stable(guess) => Ok(*guess),
            _ => self.rho_t_within(rho, t_k, allowance),
        };
        let heat = HEAT * self.model.r() / self.mixed.molar_mass_kg_mol;
        let lacks = |s: &State| (u_j_kg - s.internal_energy_j_kg()) / (heat * s.temperature_k);
        let guess = |s: &State| match &s.equilibrium {
            Some(_) if self.model.is_pure() => None,
            Some(e) => self.split_rho_u(rho, u_j_kg, e, s.vapour_mole_fraction),
            None => {
                let t_k = self.isochore_k(rho, u_j_kg, s.temperature_k)?;
                self.one_phase_rho(rho, t_k)
            }
        };
        let start = self.isochore_k(rho, u_j_kg, self.mixed.t_r_k);
        let search = Search {
            range: self.range(),
            start: start.unwrap_or(0.8 * self.mixed.t_r_k),
            place: |s| s.temperature_k,
            at: &at,
            lacks: &lacks,
            guess: &guess,
            allowance,
            spent: &|| at_asked(sentence!(": {} steps did not suffice", &MOST_STEPS)),
        };
        search.run()?.ok_or_else(|| at_asked(sentence!("")))
    }

    /// State of a blend of given density and internal energy by one phase or by two from the starts at hand.
    fn blend_rho_u_soon(&self, rho: f64, u_j_kg: f64, allowance: Allowance) -> Option<State> {
        let two = |start: &Split| {
            if allowance.is_spent() {
                return None;
            }
            let asked = (rho, u_j_kg * self.mixed.molar_mass_kg_mol);
            let split = split_of_density_and_energy(&self.model, &self.mixed.x, asked, start)?;
            let state = self.two_phase_in_range(&split)?;
            self.is_stable(&state).then_some(state)
        };
        let from = |s: &State| {
            let e = s.equilibrium?;
            two(&start_from(
                &e,
                s.vapour_mole_fraction,
                e.pressure_pa,
                self.model.r(),
            ))
        };
        let one = self
            .isochore_k(rho, u_j_kg, self.mixed.t_r_k)
            .and_then(|t_k| self.one_phase_rho(rho, t_k));
        let mut near = None;
        if let Some(one) = &one {
            let stable = self.blend_pt(one.pressure_pa, one.temperature_k).ok();
            if let Some(stable) = &stable
                && alike(one, stable)
            {
                return Some(*one);
            }
            near = stable;
        }
        let is_near = |s: &State| {
            let rho_kg_m3 = rho * self.mixed.molar_mass_kg_mol;
            (s.density_kg_m3 / rho_kg_m3).ln().abs() < FAR
        };
        if let Some(state) = near.as_ref().filter(|s| is_near(s)).and_then(from) {
            return Some(state);
        }
        let idea = self.first_idea(rho, u_j_kg);
        if let Some(state) = idea.as_ref().and_then(two) {
            return Some(state);
        }
        let by_temperature = idea.and_then(|i| self.split_by_temperature(rho, u_j_kg, i));
        if let Some(state) = by_temperature.filter(|s| self.is_stable(s)) {
            return Some(state);
        }
        // with the K values of the model at the pressure and temperature of the idea
        let at_idea = idea.and_then(|i| self.blend_pt(i.p_pa, i.t_k).ok());
        at_idea.as_ref().and_then(from).or_else(|| {
            let far = near.as_ref().filter(|s| !is_near(s));
            far.and_then(from)
        })
    }

    /// Liquid and vapour of given density and internal energy by splits of that density at one temperature after
    /// another: what boils in a narrow range is soon all liquid or all vapour where both are sought together. Not
    /// tested.
    fn split_by_temperature(&self, rho: f64, u_j_kg: f64, mut start: Split) -> Option<State> {
        /// Temperatures; six are usual.
        const TEMPERATURES: usize = 15;
        /// Largest step, relative, and what is left at the end, as a share.
        const LARGEST: f64 = 0.05;
        const FIRST_RISE: f64 = 3.0;
        const EXACT: f64 = 1e-12;
        let heat = HEAT * self.model.r() / self.mixed.molar_mass_kg_mol;
        let mut last: Option<(f64, f64)> = None;
        for _ in 0..TEMPERATURES {
            let split = split_of_density(&self.model, &self.mixed.x, rho, &start)?;
            let state = self.two_phase_in_range(&split)?;
            let t_k = split.t_k;
            let off = (u_j_kg - state.internal_energy_j_kg()) / (heat * t_k);
            if off.abs() <= EXACT {
                return Some(state);
            }
            // rise of the energy with ln T: that of the last two, or that of a liquid with vapour that forms from it
            let rise = last.map_or(FIRST_RISE, |(t, o)| (o - off) / (t_k / t).ln());
            let change = off / rise;
            if !(rise > 0.0 && change.is_finite()) {
                return None;
            }
            last = Some((t_k, off));
            let change = change.clamp(-LARGEST, LARGEST);
            let e = state.equilibrium?;
            let molar = |s: &Side| s.enthalpy_j_kg * s.molar_mass_kg_mol;
            let latent = (molar(&e.vapour) - molar(&e.liquid)) / (self.model.r() * t_k);
            start = Split {
                t_k: t_k * change.exp(),
                p_pa: split.p_pa * (latent * change).exp(),
                vapour_mol_m3: split.vapour_mol_m3 * ((latent - 1.0) * change).exp(),
                ..split
            };
        }
        None
    }

    /// Liquid and vapour of given density and internal energy, from an equilibrium near; not tested.
    fn split_rho_u(&self, rho: f64, u_j_kg: f64, e: &Equilibrium, share: f64) -> Option<State> {
        let start = start_from(e, share, e.pressure_pa, self.model.r());
        let asked = (rho, u_j_kg * self.mixed.molar_mass_kg_mol);
        let split = split_of_density_and_energy(&self.model, &self.mixed.x, asked, &start)?;
        self.two_phase_in_range(&split)
    }

    /// Liquid and vapour within the range of the equations.
    fn two_phase_in_range(&self, split: &Split) -> Option<State> {
        self.check_t(split.t_k).ok()?;
        self.check_p(split.p_pa).ok()?;
        let e = self.blend_equilibrium(split);
        Some(State::two_phase(&e, split.vapour_fraction))
    }

    /// Whether a state of a blend is the stable one at its pressure and temperature.
    fn is_stable(&self, s: &State) -> bool {
        if s.equilibrium.is_some_and(|e| self.are_apart(&e)) {
            return true;
        }
        self.blend_pt(s.pressure_pa, s.temperature_k)
            .is_ok_and(|stable| alike(s, &stable))
    }

    /// Temperature at which one phase of given density, stable or not, has an internal energy: Newton.
    fn isochore_k(&self, rho: f64, u_j_kg: f64, start_k: f64) -> Option<f64> {
        /// Steps; four are usual.
        const STEPS: usize = 12;
        let (low, high) = self.range();
        let mut t_k = start_k.clamp(low, high);
        let mut iso = self.isotherm(t_k);
        for _ in 0..STEPS {
            let (side, p_pa, r) = self.caloric(&self.mixed, &iso, rho);
            let off = u_j_kg - (side.enthalpy_j_kg - p_pa / side.density_kg_m3);
            let change = off / r.cv_j_kg_k;
            if !(change.is_finite() && r.cv_j_kg_k > 0.0) {
                return None;
            }
            let next = (t_k + change).clamp(0.5 * t_k, 2.0 * t_k).clamp(low, high);
            if (next - t_k).abs() <= 1e-13 * t_k {
                return Some(next);
            }
            t_k = next;
            self.model.isotherm_into(&self.mixed, t_k, &mut iso);
        }
        None
    }
}
