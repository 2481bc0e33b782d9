//! The holes of a rig at every duty.

use super::{DutySolution, Solution};
use crate::flow::air::MoistAir;
use crate::injector::jet::CrossFlow;
use crate::injector::plan::{DutyNeed, InjectorPlan, PlanBands, PlanError, cross_flow, plan};
use crate::injector::spec::HoleSize;
use crate::quantity::{Kind, MassRate, kilograms_per_second, pascals_absolute, ratio};
use crate::train::rig::Supply;
use crate::train::{Draw, PartKind};

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
        let planned = plan(self.fluid.as_ref(), &rig.injector, &needs, &bands)
            .map_err(|e: PlanError| self.why(&e))?;
        self.refuse_liquid_sizing(&planned)?;
        Ok(planned)
    }

    /// Holes that are to be drilled for vapour are not sized on liquid.
    fn refuse_liquid_sizing(&self, planned: &InjectorPlan) -> Result<(), String> {
        let HoleSize::SizedAt(name) = &self.rig.injector.size else {
            return Ok(());
        };
        let sized = planned.duties.iter().find(|d| d.name == *name);
        let Some(Ok(injection)) = sized.map(|d| &d.injection) else {
            return Ok(());
        };
        let supply = &injection.at_need.supply;
        if !self.wants_vapour() || supply.vapour_mass_fraction >= 1.0 {
            return Ok(());
        }
        let t = self.show(Kind::Temperature, supply.temperature_k);
        let dew = self.fluid.dew_t(supply.temperature_k).map_or_else(
            |_| String::new(),
            |e| {
                let p = pascals_absolute(e.pressure_pa);
                format!("; it stays vapour below {}", self.gauge(p))
            },
        );
        Err(format!(
            "at `{name}` the fuel before the holes is {} at {} and {t}, where the supply gives vapour{dew}",
            supply.phase.name(),
            self.gauge(pascals_absolute(supply.pressure_pa)),
        ))
    }

    /// Whether vapour is meant to reach the holes: it is drawn, or made on the way.
    pub fn wants_vapour(&self) -> bool {
        let drawn = match &self.rig.supply {
            Supply::Tank(tank) => tank.draw == Draw::Vapour && self.no_vapour().is_none(),
            Supply::Mains(_) => true,
        };
        drawn
            || self
                .main_parts()
                .iter()
                .any(|p| matches!(p.kind, PartKind::Vaporiser(_)))
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
