//! A blend by CoolProp: bubble and dew points of its own, properties of phases whose composition the own
//! model gives.

use super::native::At;
use super::{CLOSE_ENOUGH, CoolProp, MAX_STEPS, State};
use crate::eos::embedded::Caloric;
use crate::eos::{Backend, EosError, Equilibrium, Phase};
use crate::quantity::sentence::{Told, density, in_kelvin, pressure, sentence};
use std::sync::atomic::Ordering;

impl CoolProp {
    /// Bubble or dew point, at a temperature or pressure; the own model's equilibrium has the compositions,
    /// and stands in where the library finds none.
    pub(super) fn incipient(
        &self,
        own: &Equilibrium,
        liquid_given: bool,
        at: At,
    ) -> Result<Equilibrium, EosError> {
        if self.is_pure() {
            return self.pure_equilibrium(own, at);
        }
        let given = if liquid_given {
            &own.liquid
        } else {
            &own.vapour
        };
        let (t_k, p_pa) = self.point(&given.mole_fractions, own, at);
        self.sides(own, t_k, p_pa)
    }

    /// Temperature and pressure where a composition begins to boil or to condense.
    fn point(&self, x: &[f64], own: &Equilibrium, at: At) -> (f64, f64) {
        self.points.asked.fetch_add(1, Ordering::Relaxed);
        self.pool.saturation(x, at).unwrap_or_else(|_| {
            self.points.not_found.fetch_add(1, Ordering::Relaxed);
            (own.temperature_k, own.pressure_pa)
        })
    }

    /// Both phases, each by the library, of the compositions of the own model.
    fn sides(&self, own: &Equilibrium, t_k: f64, p_pa: f64) -> Result<Equilibrium, EosError> {
        let at = At::Pt(p_pa, t_k);
        let liquid = self.read(&own.liquid.mole_fractions, Some(Phase::Liquid), at)?;
        let vapour = self.read(&own.vapour.mole_fractions, Some(Phase::Gas), at)?;
        Ok(Equilibrium {
            temperature_k: t_k,
            pressure_pa: p_pa,
            liquid: Self::side(&liquid, &own.liquid),
            vapour: Self::side(&vapour, &own.vapour),
        })
    }

    /// Both phases of an own two-phase state, at the temperature or pressure where the library has its liquid
    /// boil.
    fn boiling(&self, own: &State, at: At) -> Result<Equilibrium, EosError> {
        let split = own.equilibrium.ok_or_else(|| {
            let at = sentence!(
                "{}, {}",
                pressure(own.pressure_pa).digits(7),
                in_kelvin(own.temperature_k)
            );
            self.own.stuck("two-phase state", at)
        })?;
        let (t_k, p_pa) = self.point(&split.liquid.mole_fractions, &split, at);
        self.sides(&split, t_k, p_pa)
    }

    pub(super) fn blend_pt(&self, p_pa: f64, t_k: f64) -> Result<State, EosError> {
        let own = self.own.state_pt(p_pa, t_k)?;
        match own.equilibrium {
            Some(split) => {
                let e = self.sides(&split, t_k, p_pa)?;
                Ok(State::two_phase(&e, own.vapour_mole_fraction))
            }
            None => self.in_phase(p_pa, t_k, own.phase),
        }
    }

    pub(super) fn blend_px(
        &self,
        p_pa: f64,
        value: f64,
        caloric: Caloric,
    ) -> Result<State, EosError> {
        let own = self.own_px(p_pa, value, caloric)?;
        if own.phase != Phase::TwoPhase {
            return self.one_phase_px((p_pa, value, caloric), &own);
        }
        let e = self.boiling(&own, At::Pq(p_pa, 0.0))?;
        let (liquid, vapour) = (caloric.of_side(&e.liquid), caloric.of_side(&e.vapour));
        let q = (value - liquid) / (vapour - liquid);
        Ok(State::two_phase(&e, Self::mole_share(&e, q)))
    }

    pub(super) fn blend_rho_t(
        &self,
        rho_kg_m3: f64,
        t_k: f64,
        own: &State,
    ) -> Result<State, EosError> {
        if own.phase != Phase::TwoPhase {
            let at = At::RhoT(rho_kg_m3, t_k);
            let reading = self.read(&self.whole(), Some(own.phase), at)?;
            return Ok(Self::single(&reading, own.phase));
        }
        let e = self.boiling(own, At::Tq(t_k, 0.0))?;
        let (liquid, vapour) = (
            e.liquid.density_kg_m3.recip(),
            e.vapour.density_kg_m3.recip(),
        );
        let q = (rho_kg_m3.recip() - liquid) / (vapour - liquid);
        Ok(State::two_phase(&e, Self::mole_share(&e, q)))
    }

    /// State at density and internal energy from the own model's: Newton's rule along the isochore, with the
    /// own model's slope.
    pub(super) fn rho_u_near(
        &self,
        rho_kg_m3: f64,
        u_j_kg: f64,
        own: &State,
    ) -> Result<State, EosError> {
        let mut t_k = own.temperature_k;
        let step = if self.own.check_t(1.0001 * t_k).is_ok() {
            1e-4
        } else {
            -1e-4
        };
        let beside_k = t_k * (1.0 + step);
        let beside = self.own.state_rho_t(rho_kg_m3, beside_k)?;
        let slope = (own.internal_energy_j_kg() - beside.internal_energy_j_kg()) / (t_k - beside_k);
        for _ in 0..MAX_STEPS {
            let state = self.state_rho_t(rho_kg_m3, t_k)?;
            let step = (u_j_kg - state.internal_energy_j_kg()) / slope;
            if step.abs() <= 10.0 * CLOSE_ENOUGH * t_k {
                return Ok(state);
            }
            t_k += step;
        }
        let at = sentence!(
            "{} and internal energy {}",
            density(rho_kg_m3).plain("kg/m³", 1.0),
            &u_j_kg
        );
        Err(self.own.stuck("state", at))
    }

    /// Liquid and vapour together at a share of the moles.
    pub(super) fn at_share(&self, own: &State, v: f64, at: At) -> Result<State, EosError> {
        if self.is_pure() {
            let e = own
                .equilibrium
                .ok_or_else(|| self.own.stuck("state", at.told()))?;
            return Ok(State::two_phase(&self.pure_equilibrium(&e, at)?, v));
        }
        let end = |q: f64| match at {
            At::Tq(t_k, _) => At::Tq(t_k, q),
            At::Pq(p_pa, _) => At::Pq(p_pa, q),
            other => other,
        };
        let e = match own.equilibrium {
            Some(e) if v >= 1.0 => self.incipient(&e, false, end(1.0))?,
            _ => self.boiling(own, end(0.0))?,
        };
        Ok(State::two_phase(&e, v))
    }
}
