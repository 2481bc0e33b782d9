//! Every release of a rig, with the settings its train has at each duty.

use super::Solution;
use super::train::{holes, needs};
use crate::leak::rig::{Duties, LeakPlan, plan};
use crate::train::plan::TrainFire;

/// Every release of the rig; without those that need the duties where the holes are not known.
///
/// # Errors
/// Why there is none: no state of the fuel in the tank.
pub(super) fn planned(solution: &Solution<'_>) -> Result<LeakPlan, String> {
    let mut needs = needs(solution);
    // holes that pass less than their model by a test lessen no hazard
    let tested = solution.rig.injector.tested.map_or(1.0, |t| t.factor);
    for need in &mut needs {
        need.discharge_coefficient /= tested.min(1.0);
    }
    let fire = solution.stoichiometry.as_ref().ok().map(|s| TrainFire {
        air_fuel_ratio: s.air_fuel_ratio.value,
        heating_value: s.lower_heating_value,
    });
    let duties = solution.injector.as_ref().ok().map(|injector| Duties {
        holes: holes(injector),
        needs: &needs,
        fire,
        train: solution.train().as_ref().ok(),
    });
    plan(solution.rig, &solution.fluid, duties.as_ref()).map_err(|e| solution.why(&e))
}
