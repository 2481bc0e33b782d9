//! A rig that lists no train: what feeds its holes.

use super::duty::TrainNeed;
use super::planner::Planner;
use super::rig::Rig;
use super::{Chamber, Conditions, Supply};
use crate::injector::duty::Duty;
use crate::quantity::AbsolutePressure;

/// What feeds the holes of a rig that lists no train.
pub(super) fn without_train(rig: &Rig) -> &'static str {
    let given = |d: &Duty| pressure_given(rig, d).is_some();
    if rig.duties.iter().all(given) {
        "The file lists no train: the holes are fed at the pressure given before them, or at that of the supply where it is lower."
    } else {
        "The file lists no train: where no pressure is given before the holes, they are fed straight from the supply at its full pressure."
    }
}

/// Pressure before the holes that the file gives for a duty, by itself or in `[injector]`.
fn pressure_given(rig: &Rig, duty: &Duty) -> Option<AbsolutePressure> {
    duty.injector_pressure.or(rig.injector.pressure)
}

impl<'a> Planner<'a> {
    /// Conditions of a duty. Where the file lists no train, something that it does not list lets the fuel down
    /// to the pressure given before the holes; a supply that is lower, or that is liquid or wet at that pressure,
    /// feeds them as it is.
    pub(super) fn conditions_of(&self, need: &TrainNeed) -> Conditions<'a> {
        let mut conditions = self.conditions(Chamber::Fixed(need.chamber));
        if self.rig.train.parts().is_empty()
            && let Some(pressure) =
                (self.rig.duty(&need.name)).and_then(|d| pressure_given(self.rig, d))
        {
            let let_down = Supply::At {
                pressure,
                temperature: self
                    .rig
                    .injector
                    .temperature
                    .unwrap_or(self.rig.site.ambient),
            };
            for (supply, source) in conditions.supplies.iter_mut().zip(&self.rig.train.sources) {
                let state = |s: &Supply| s.state(self.fuel, source.draw, &source.name);
                let higher = state(supply).is_ok_and(|s| s.pressure_pa > pressure.pascals());
                if higher && state(&let_down).is_ok() {
                    *supply = let_down;
                }
            }
        }
        conditions
    }
}
