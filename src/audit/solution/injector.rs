//! The holes of a rig at every duty.

use super::{DutySolution, Solution};
use crate::flow::air::MoistAir;
use crate::injector::jet::CrossFlow;
use crate::injector::plan::{DutyNeed, InjectorPlan, PlanBands, PlanError, cross_flow, plan};
use crate::quantity::{MassRate, kilograms_per_second, ratio};

impl Solution<'_> {
    pub(super) fn planned_injector(&mut self) -> Result<InjectorPlan, String> {
        let rig = self.rig;
        let temperature = rig.injector.temperature.unwrap_or_else(|| {
            self.assume(
                "The fuel reaches the holes at the temperature of the site: the injector gives none.",
            );
            rig.site.ambient
        });
        let most_air = self
            .duties
            .iter()
            .filter_map(|d| d.air)
            .fold(kilograms_per_second(0.0), |a, b| if b > a { b } else { a });
        let mut needs = Vec::new();
        for (duty, solved) in rig.duties.iter().zip(&self.duties) {
            let Ok(demand) = &solved.demand else { continue };
            needs.push(DutyNeed {
                name: &duty.name,
                fuel: demand.fuel,
                equivalence_ratio: demand.equivalence_ratio,
                chamber: duty.chamber,
                pressure: duty.injector_pressure,
                temperature,
                cross_flow: self.cross_flow(solved, most_air),
            });
        }
        if needs.is_empty() {
            return Err("no duty has a fuel flow".to_owned());
        }
        let bands = PlanBands {
            air_flow: rig.tolerances.air_flow.map_or(0.0, |r| r.value),
            supply_drop: rig.tolerances.supply_pressure.map_or(0.0, |r| r.value),
            discharge: rig.tolerances.discharge_coefficient.map(|r| r.value),
            tolerance: rig.tolerances.hole_grade,
        };
        plan(self.fluid.as_ref(), &rig.injector, &needs, &bands)
            .map_err(|e: PlanError| e.to_string())
    }

    /// Air that the jets of a duty cross: given at full throttle, or from the passage it takes.
    fn cross_flow(&self, duty: &DutySolution, most_air: MassRate) -> Option<CrossFlow> {
        let air = duty.air?;
        let humidity = self.rig.site.relative_humidity.unwrap_or(ratio(0.0));
        // water in the air changes its density by less than 1 %: hot air holds it all the same
        let density = MoistAir::new(duty.chamber, duty.air_temperature, humidity)
            .or_else(|_| MoistAir::new(duty.chamber, duty.air_temperature, ratio(0.0)))
            .ok()?
            .density();
        if let Some(velocity) = self.rig.injector.cross_flow {
            return Some(CrossFlow {
                velocity: velocity * (air.value / most_air.value),
                density,
            });
        }
        let passage = self.rig.burner.air_passage?;
        Some(cross_flow(air, passage, density))
    }
}
