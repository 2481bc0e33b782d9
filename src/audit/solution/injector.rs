//! The holes of a rig at every duty.

use super::{DutySolution, Solution};
use crate::flow::air::MoistAir;
use crate::injector::jet::CrossFlow;
use crate::injector::plan::{DutyNeed, InjectorPlan, PlanBands, PlanError, cross_flow, plan};
use crate::injector::spec::HoleSize;
use crate::quantity::show::show_digits;
use crate::quantity::{
    Kind, MassRate, ThermodynamicTemperature, kelvin, kilograms_per_second, pascals_absolute, ratio,
};
use crate::train::plan::{INJECTOR, flows};
use crate::train::rig::Supply;
use crate::train::{Draw, PartKind};
use std::collections::BTreeMap;

/// Temperature of the fuel before the holes, by duty.
type Temperatures = BTreeMap<String, ThermodynamicTemperature>;

impl Solution<'_> {
    /// Plans the holes. Where the injector gives no temperature, the fuel is as warm as the train brings it, which
    /// hangs on the holes a little: those that are sized are sized twice.
    pub(super) fn plan_injector(&mut self) {
        let rig = self.rig;
        self.injector = self.planned_at(&Temperatures::new());
        if rig.injector.temperature.is_some() {
            return;
        }
        let mut brought = Temperatures::new();
        let passes = match rig.injector.size {
            HoleSize::SizedAt(_) => 2,
            HoleSize::Diameter(_) => 1,
        };
        for _ in 0..passes {
            brought = self.brought_by_train();
            if brought.is_empty() {
                break;
            }
            let mut planned = self.planned_at(&brought);
            let all = brought.len();
            brought.retain(|duty, _| !self.turns_wet(&planned, duty));
            if brought.len() < all {
                planned = self.planned_at(&brought);
            }
            self.injector = planned;
        }
        self.assume(self.as_warm_as(&brought));
    }

    fn as_warm_as(&self, brought: &Temperatures) -> String {
        let site = "at the temperature of the site";
        let of_train = || brought.values().map(|t| t.value);
        let (low, high) = (
            of_train().fold(f64::INFINITY, f64::min),
            of_train().fold(f64::NEG_INFINITY, f64::max),
        );
        let show = |t_k: f64| show_digits(Kind::Temperature, t_k, self.units, 2);
        let (low, high) = (show(low), show(high));
        let range = if low == high {
            low
        } else {
            format!("{low} to {high}")
        };
        match self
            .duties
            .iter()
            .filter(|d| !brought.contains_key(&d.name))
            .count()
        {
            _ if brought.is_empty() => {
                format!("The fuel reaches the holes {site}: the injector gives none.")
            }
            0 => format!("The fuel reaches the holes as the train brings it, at {range}."),
            _ => format!(
                "The fuel reaches the holes as the train brings it, at {range}, and {site} where the train does not feed them."
            ),
        }
    }

    /// Temperatures at which the train brings the fuel to the holes; none of duties that it does not feed.
    fn brought_by_train(&self) -> Temperatures {
        let Ok(injector) = &self.injector else {
            return Temperatures::new();
        };
        if self.main_parts().is_empty() {
            return Temperatures::new();
        }
        let needs = super::train::needs(self);
        let holes = super::train::holes(injector);
        let duties = flows(self.rig, self.fluid.as_ref(), holes, &needs).unwrap_or_default();
        duties
            .into_iter()
            .filter_map(|d| {
                let outlet = d.solution.ok()?.outlet(INJECTOR)?.inlet;
                Some((d.name, outlet.temperature))
            })
            .collect()
    }

    /// Whether fuel that was vapour before the holes would no longer be: a blend of which the vapour is drawn
    /// condenses sooner as a whole than what is drawn.
    fn turns_wet(&self, planned: &Result<InjectorPlan, String>, duty: &str) -> bool {
        let dry = |plan: &InjectorPlan| {
            let of_duty = plan.duties.iter().find(|d| d.name == duty)?;
            Some(
                of_duty
                    .injection
                    .as_ref()
                    .ok()?
                    .at_need
                    .supply
                    .vapour_mass_fraction
                    >= 1.0,
            )
        };
        let before = self.injector.as_ref().ok().and_then(dry);
        let then = planned.as_ref().ok().and_then(dry);
        before == Some(true) && then != Some(true)
    }

    fn planned_at(&self, brought: &Temperatures) -> Result<InjectorPlan, String> {
        let needs = self.duty_needs(brought);
        if needs.is_empty() {
            return Err("no duty has a fuel flow".to_owned());
        }
        let planned = plan(
            self.fluid.as_ref(),
            &self.rig.injector,
            &needs,
            &self.hole_bands(),
        );
        let planned = planned.map_err(|e: PlanError| self.why(&e))?;
        self.refuse_liquid_sizing(&planned)?;
        Ok(planned)
    }

    /// What each duty asks of the holes, with the fuel as warm as it is before those that were planned.
    pub(crate) fn hole_needs(&self) -> Vec<DutyNeed<'_>> {
        let planned = self.injector.iter().flat_map(|plan| &plan.duties);
        let brought = planned.filter_map(|d| {
            let supply = &d.injection.as_ref().ok()?.at_need.supply;
            Some((d.name.clone(), kelvin(supply.temperature_k)))
        });
        self.duty_needs(&brought.collect())
    }

    /// Bands of the rig on what holes pass.
    pub(crate) fn hole_bands(&self) -> PlanBands {
        let bands = &self.rig.tolerances;
        PlanBands {
            air_flow: bands.air_flow.map_or(0.0, |r| r.value),
            supply_drop: bands.supply_pressure.map_or(0.0, |r| r.value),
            discharge: self.rig.hole_band(),
            tolerance: bands.hole_tolerance(),
        }
    }

    fn duty_needs(&self, brought: &Temperatures) -> Vec<DutyNeed<'_>> {
        let rig = self.rig;
        let otherwise = rig.injector.temperature.unwrap_or(rig.site.ambient);
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
                temperature: brought.get(&duty.name).copied().unwrap_or(otherwise),
                cross_flow: self.cross_flow(solved, most_air),
            });
        }
        needs
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
