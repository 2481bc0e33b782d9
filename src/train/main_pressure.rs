//! Pressure of a main: that of moving gas or of gas at rest, and what lies between them.

use super::blocked::Blocked;
use super::duty::{MainHead, TrainDuty};
use super::law::Laws;
use super::planner::Planner;
use super::rig::{self, PressureRead};
use super::solution::PartProblem;
use super::{Part, PartKind, Supply};
use crate::eos::State;
use crate::flow::orifice::{Stagnation, flux_alone};
use crate::flow::stagnation::{pressure_at_rest_pa, sped_up};
use crate::quantity::{
    AbsolutePressure, ThermodynamicTemperature, pascals_absolute, pascals_difference,
};
use std::f64::consts::FRAC_PI_4;

/// Back pressure, as a share of the main's, against which its gas is choked.
const FAR_BELOW: f64 = 1e-2;

impl PressureRead {
    /// The supply that a main is, at its pressure.
    pub(super) fn supply(
        self,
        pressure: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Supply {
        match self {
            Self::Moving => Supply::At {
                pressure,
                temperature,
            },
            Self::AtRest => Supply::AtRest {
                pressure,
                temperature,
            },
        }
    }
}

impl Laws<'_> {
    /// Gas at rest in a wide main sped up into a bore, at constant entropy.
    pub(super) fn sped_up_from_rest(
        &self,
        rest: &State,
        area_m2: f64,
        m: f64,
    ) -> Result<State, Blocked> {
        let backend = self.stream.backend();
        if let Some(moving) = sped_up(backend, rest, m / area_m2)? {
            return Ok(moving);
        }
        let up = Stagnation::of(backend, *rest);
        let most = flux_alone(&up, pascals_absolute(FAR_BELOW * rest.pressure_pa));
        let (most, _) = most.map_err(|e| Blocked::fault(PartProblem::from(e)))?;
        Err(Blocked::limit(most * area_m2, m))
    }
}

impl Planner<'_> {
    /// What speed makes of the pressure of the main at the first part, where it makes most; `None` where that part is slow.
    pub(super) fn main_head(&self, duties: &[TrainDuty]) -> Option<MainHead> {
        let rig::Supply::Mains(main) = &self.rig.supply else {
            return None;
        };
        let read = main.read;
        let parts = self.rig.train.parts();
        let passed =
            |p: &&&Part| !matches!(p.kind, PartKind::ReliefValve(_) | PartKind::Tapping(_));
        let part = parts.iter().find(passed)?;
        let bore_m = part.kind.bore()?.value;
        let source = self.rig.train.sources.first()?;
        let state = self
            .supply
            .state(self.fuel, source.draw, &source.name)
            .ok()?;
        let heads = duties.iter().filter_map(|duty| {
            let flow = duty.solution.as_ref().ok()?.part(&part.name)?.flow;
            let flux = flow.value / (FRAC_PI_4 * bore_m * bore_m);
            let other_pa = match read {
                PressureRead::Moving => pressure_at_rest_pa(self.fuel, &state, flux).ok()?,
                PressureRead::AtRest => sped_up(self.fuel, &state, flux).ok()??.pressure_pa,
            };
            Some(MainHead {
                read,
                part: part.name.clone(),
                duty: duty.name.clone(),
                head: pascals_difference((other_pa - state.pressure_pa).abs()),
            })
        });
        heads.max_by(|a, b| a.head.pascals().total_cmp(&b.head.pascals()))
    }
}
