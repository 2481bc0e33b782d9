//! The train of a rig: its holes and duties handed to the train's own plan.

use super::Solution;
use crate::train::coldest_day::on_coldest_day;
use crate::train::plan::{InjectorHoles, TrainFire, TrainNeed, plan};
use crate::train::{TrainDuty, TrainPlan};

/// The train at every duty with a throttle curve of so many points; none of them for 0.
///
/// # Errors
/// Why there is none: the holes are not known, or there is no state of the fuel in the tank.
pub fn train_with_curve(solution: &Solution<'_>, points: u32) -> Result<TrainPlan, String> {
    if let Some(why) = solution.no_vapour().or_else(|| solution.no_pad()) {
        return Err(why);
    }
    let injector = solution
        .injector
        .as_ref()
        .map_err(|why| format!("the injector is not solved: {why}"))?;
    let fire = solution.stoichiometry.as_ref().ok().map(|s| TrainFire {
        air_fuel_ratio: s.air_fuel_ratio.value,
        heating_value: s.lower_heating_value,
    });
    let needs = needs(solution);
    if needs.is_empty() {
        return Err("no duty has a fuel flow that the holes can be computed with".to_owned());
    }
    let fluid = solution.fluid.as_ref();
    plan(solution.rig, fluid, holes(injector), &needs, fire, points).map_err(|e| solution.why(&e))
}

/// The train on the coldest day of the site at the duties with the largest and the smallest flow; none where there is
/// no colder day.
///
/// # Errors
/// Why there is none.
pub(super) fn cold_day(solution: &Solution<'_>) -> Result<Vec<TrainDuty>, String> {
    if let Some(why) = solution.no_pad() {
        return Err(why);
    }
    let injector = solution.injector.as_ref().map_err(Clone::clone)?;
    let fluid = solution.fluid.as_ref();
    on_coldest_day(solution.rig, fluid, holes(injector), &needs(solution))
        .map_err(|e| solution.why(&e))
}

/// The holes as the train takes them.
pub fn holes(injector: &crate::injector::plan::InjectorPlan) -> InjectorHoles {
    InjectorHoles {
        number: injector.holes,
        diameter: injector.diameter,
    }
}

/// What the duties want, with the discharge coefficient of the holes at each.
pub fn needs(solution: &Solution<'_>) -> Vec<TrainNeed> {
    let injector = solution.injector.as_ref().ok();
    let given = solution.rig.injector.discharge_coefficient;
    let coefficient = |name: &str| {
        injector
            .and_then(|p| p.duties.iter().find(|d| d.name == name))
            .and_then(|d| d.injection.as_ref().ok())
            .map(|i| i.at_need.coefficient.value)
            // holes that cannot be computed (two phases before them) still have what was measured
            .or(given.map(|c| c.value))
    };
    solution
        .duties
        .iter()
        .filter_map(|d| {
            let demand = d.demand.as_ref().ok()?;
            Some(TrainNeed {
                name: d.name.clone(),
                fuel: demand.fuel,
                air: d.air.map(|a| a * d.dry_share.value),
                chamber: d.chamber,
                discharge_coefficient: coefficient(&d.name)?,
            })
        })
        .collect()
}
