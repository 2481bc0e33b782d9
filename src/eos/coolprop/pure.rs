//! A pure fluid by CoolProp: its own search for phase and state. Where that gives up, which happens within a
//! hair of saturation, the phase or the start is the own model's.

use super::native::{At, Reading};
use super::{CoolProp, State};
use crate::eos::embedded::Caloric;
use crate::eos::{Backend, EosError, Equilibrium, Phase};

impl CoolProp {
    /// Saturation, at a temperature or pressure; the own model's equilibrium has the composition.
    pub(super) fn pure_equilibrium(
        &self,
        own: &Equilibrium,
        at: At,
    ) -> Result<Equilibrium, EosError> {
        let side = |q| {
            let at = match at {
                At::Tq(t_k, _) => At::Tq(t_k, q),
                At::Pq(p_pa, _) => At::Pq(p_pa, q),
                other => other,
            };
            self.read(&[1.0], None, at)
        };
        let (liquid, vapour) = (side(0.0)?, side(1.0)?);
        Ok(Equilibrium {
            temperature_k: liquid.t_k,
            pressure_pa: liquid.p_pa,
            liquid: Self::side(&liquid, &own.liquid),
            vapour: Self::side(&vapour, &own.vapour),
        })
    }

    /// The state that a reading without imposed phase is, liquid and vapour together among them.
    fn found(&self, reading: &Reading) -> Result<State, EosError> {
        if reading.phase != Phase::TwoPhase {
            return Ok(Self::single(reading, reading.phase));
        }
        let e = self.bubble_t(reading.t_k)?;
        let volume = |density: f64| density.recip();
        let (liquid, vapour) = (
            volume(e.liquid.density_kg_m3),
            volume(e.vapour.density_kg_m3),
        );
        let q = (volume(reading.density_kg_m3) - liquid) / (vapour - liquid);
        Ok(State::two_phase(&e, q.clamp(0.0, 1.0)))
    }

    pub(super) fn pure_pt(&self, p_pa: f64, t_k: f64) -> Result<State, EosError> {
        match self.pool.read(&[1.0], None, At::Pt(p_pa, t_k)) {
            Ok(reading) => self.found(&reading),
            Err(_) => self.in_phase(p_pa, t_k, self.own.state_pt(p_pa, t_k)?.phase),
        }
    }

    pub(super) fn pure_px(
        &self,
        p_pa: f64,
        value: f64,
        caloric: Caloric,
    ) -> Result<State, EosError> {
        let at = match caloric {
            Caloric::Entropy => At::Ps(p_pa, value),
            Caloric::Enthalpy => At::Ph(p_pa, value),
        };
        if let Ok(reading) = self.pool.read(&[1.0], None, at)
            && self.own.check_t(reading.t_k).is_ok()
        {
            return self.found(&reading);
        }
        let own = self.own_px(p_pa, value, caloric)?;
        if own.phase != Phase::TwoPhase {
            return self.one_phase_px((p_pa, value, caloric), &own);
        }
        let e = self.bubble_p(p_pa)?;
        let (liquid, vapour) = (caloric.of_side(&e.liquid), caloric.of_side(&e.vapour));
        let q = (value - liquid) / (vapour - liquid);
        Ok(State::two_phase(&e, q.clamp(0.0, 1.0)))
    }

    pub(super) fn pure_rho_t(&self, rho_kg_m3: f64, t_k: f64) -> Result<State, EosError> {
        let state = self.found(&self.read(&[1.0], None, At::RhoT(rho_kg_m3, t_k))?)?;
        self.own.check_p(state.pressure_pa)?;
        Ok(state)
    }

    /// `None` where the library does not find it.
    pub(super) fn pure_rho_u(&self, rho_kg_m3: f64, u_j_kg: f64) -> Option<State> {
        let at = At::RhoU(rho_kg_m3, u_j_kg);
        let state = self.found(&self.pool.read(&[1.0], None, at).ok()?).ok()?;
        let inside = self.own.check_t(state.temperature_k).is_ok()
            && self.own.check_p(state.pressure_pa).is_ok();
        inside.then_some(state)
    }
}
