//! A rig, solved: what every rule may look at.

use crate::combustion::flame::fuel_feed::usual_phase;
use crate::combustion::flame::{AirFeed, Branch, Burner, Flame, FuelFeed};
use crate::combustion::{Flammability, Stoichiometry};
use crate::eos::{Backend, EosError};
use crate::flow::air::MoistAir;
use crate::fuel::Library;
use crate::injector::duty::{Burning, Demand, DutyAir, DutyError, demand};
use crate::injector::jet::CrossFlow;
use crate::injector::plan::{DutyNeed, InjectorPlan, PlanBands, PlanError, cross_flow, plan};
use crate::quantity::show::{Show, Units, show};
use crate::quantity::{
    AbsolutePressure, Kind, Mass, MassRate, Ratio, ThermodynamicTemperature, kilograms,
    kilograms_per_second, ratio,
};
use crate::train::rig::supply::Charge;
use crate::train::rig::{AirSource, Rig, Supply};
use crate::train::{Part, PartKind};
use std::sync::Arc;

/// A rig with everything that was computed of it. What could not be had says why.
#[derive(Debug)]
pub struct Solution<'a> {
    /// The rig.
    pub rig: &'a Rig,
    /// Fuel properties.
    pub fluid: Arc<dyn Backend>,
    /// Air and heat of the fuel.
    pub stoichiometry: Result<Stoichiometry, String>,
    /// Limits of the fuel in air.
    pub flammability: Result<Flammability, String>,
    /// Duties, in the order of the file.
    pub duties: Vec<DutySolution>,
    /// The holes at every duty.
    pub injector: Result<InjectorPlan, String>,
    /// Units of texts.
    pub units: Units,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
}

/// One duty.
#[derive(Debug, Clone)]
pub struct DutySolution {
    /// Name.
    pub name: String,
    /// Air flow, moist; `None` if neither duty nor blower gives it.
    pub air: Option<MassRate>,
    /// Share of it that is dry air.
    pub dry_share: Ratio,
    /// Temperature of the air at the fire.
    pub air_temperature: ThermodynamicTemperature,
    /// Pressure behind the holes.
    pub chamber: AbsolutePressure,
    /// Fuel and heat, or why not.
    pub demand: Result<Demand, String>,
    /// Flame of all the fuel with all the air, less the heat that the walls take, or why not.
    pub exit: Result<Flame, String>,
    /// Flame of the primary zone; `None` where the burner gives no share of primary air.
    pub primary: Option<Result<Flame, String>>,
}

impl DutySolution {
    /// Temperature of the gas that leaves.
    pub fn exit_temperature(&self) -> Option<ThermodynamicTemperature> {
        self.exit.as_ref().ok().map(|f| f.temperature)
    }
}

/// Solves a rig as far as it goes.
///
/// # Errors
/// If there is no property model for the fuel; anything else is an answer of its own.
pub fn solve<'a>(rig: &'a Rig, library: &Library, units: Units) -> Result<Solution<'a>, EosError> {
    let fluid = crate::eos::backend(library, &rig.fuel.composition)?;
    let mut solution = Solution {
        rig,
        stoichiometry: Stoichiometry::of(&rig.fuel.composition).map_err(|e| e.to_string()),
        flammability: Flammability::of(&rig.fuel.composition).map_err(|e| e.to_string()),
        duties: Vec::new(),
        injector: Err(String::new()),
        units,
        assumptions: rig.assumptions.clone(),
        fluid,
    };
    for sentence in solution.fluid.assumptions().to_vec() {
        solution.assume(sentence);
    }
    solution.duties = solution.solved_duties();
    solution.injector = solution.planned_injector();
    if let Ok(plan) = &solution.injector {
        for sentence in plan.assumptions.clone() {
            solution.assume(sentence);
        }
    }
    Ok(solution)
}

impl Solution<'_> {
    fn assume(&mut self, sentence: impl Into<String>) {
        let sentence = sentence.into();
        if !self.assumptions.contains(&sentence) {
            self.assumptions.push(sentence);
        }
    }

    /// A quantity as text.
    pub fn show(&self, kind: Kind, si: f64) -> String {
        show(kind, si, self.units)
    }

    /// A pressure as a gauge at the site reads it.
    pub fn gauge(&self, p: AbsolutePressure) -> String {
        p.gauge(self.rig.site.air_pressure).show(self.units)
    }

    /// Parts from the supply to the injector, side branches left out.
    pub fn main_parts(&self) -> Vec<&Part> {
        use crate::train::End;
        let train = &self.rig.train;
        let mut parts: Vec<&Part> = train.sources.iter().flat_map(|s| &s.parts).collect();
        let mut run = &train.run;
        loop {
            parts.extend(&run.parts);
            match &run.end {
                End::Outlet(_) => return parts,
                End::Split(runs) => match runs.first() {
                    // the first branch is that of the injector: the reader builds it so
                    Some(first) => run = first,
                    None => return parts,
                },
            }
        }
    }

    /// Set pressure of the last regulator before the injector.
    pub fn last_set_pressure(&self) -> Option<(&Part, AbsolutePressure)> {
        let mut parts = self.main_parts();
        parts.reverse();
        parts.into_iter().find_map(|part| match &part.kind {
            PartKind::Regulator(r) => Some((part, r.set_pressure)),
            _ => None,
        })
    }

    /// Mass of everything whose mass is given, with the fuel; and the parts that give none.
    pub fn mass(&self) -> (Mass, Vec<String>) {
        let mut kg = 0.0;
        let mut missing = Vec::new();
        for part in self.rig.train.parts() {
            match part.mass {
                Some(mass) => kg += mass.value,
                None => missing.push(part.name.clone()),
            }
        }
        if let Supply::Tank(tank) = &self.rig.supply {
            let n = f64::from(tank.number);
            match tank.empty_mass.or(tank.wall_mass) {
                Some(mass) => kg += n * mass.value,
                None => missing.push("tank".to_owned()),
            }
            match self.charge_kg(tank) {
                Some(charge) => kg += n * charge,
                None => missing.push("fuel".to_owned()),
            }
        }
        (kilograms(kg), missing)
    }

    fn charge_kg(&self, tank: &crate::train::rig::TankSpec) -> Option<f64> {
        match tank.charge {
            Charge::Mass(mass) => Some(mass.value),
            Charge::LiquidShare(share) => {
                let t = tank.temperature.unwrap_or(self.rig.site.ambient);
                let bubble = self.fluid.bubble_t(t.value).ok()?;
                let (liquid, vapour) = (share.value, 1.0 - share.value);
                Some(
                    tank.volume.value
                        * (liquid * bubble.liquid.density_kg_m3
                            + vapour * bubble.vapour.density_kg_m3),
                )
            }
        }
    }

    /// The air at the blower's inlet.
    fn inlet_air(&mut self) -> Result<MoistAir, String> {
        let site = &self.rig.site;
        let t = self.rig.air.inlet.unwrap_or(site.ambient);
        let humidity = site.relative_humidity;
        let air = MoistAir::new(site.air_pressure, t, humidity.unwrap_or(ratio(0.0)));
        if humidity.is_none() {
            self.assume("The air is taken as dry: the site gives no relative humidity.");
        }
        air.map_err(|e| e.to_string())
    }

    fn solved_duties(&mut self) -> Vec<DutySolution> {
        let rig = self.rig;
        let inlet = self.inlet_air();
        let (full, from_blower) = match (&rig.air.source, &inlet) {
            (Some(AirSource::Flow(flow)), _) => (Some(*flow), None),
            (Some(AirSource::Blower { blower, shaft }), Ok(air)) => (
                blower.air_flow(*shaft, air).ok(),
                Some(blower.outlet_temperature(air)),
            ),
            _ => (None, None),
        };
        let dry_share = inlet.as_ref().map_or(ratio(1.0), MoistAir::dry_share);
        let burning = self.stoichiometry.as_ref().map(|s| Burning {
            air_fuel_ratio: s.air_fuel_ratio.value,
            lower_heating_value_j_kg: s.lower_heating_value.value,
            efficiency: rig.burner.combustion_efficiency.map_or(1.0, |e| e.value),
        });
        let burning = burning.map_err(Clone::clone);
        if rig.burner.combustion_efficiency.is_none() {
            self.assume("All the heat of the fuel that finds air is set free.");
        }
        let inlet_t = rig.air.inlet.unwrap_or(rig.site.ambient);
        let humidity_ratio = inlet.as_ref().map_or(ratio(0.0), |air| air.humidity_ratio);
        let feed = self.fuel_feed();
        let mut duties = Vec::new();
        for duty in &rig.duties {
            let air = match duty.air {
                DutyAir::Flow(flow) => Some(flow),
                DutyAir::Throttle(share) => full.map(|f| f * share.value),
            };
            let air_temperature = duty.air_temperature.or(from_blower).unwrap_or(inlet_t);
            let flame = feed
                .clone()
                .and_then(|feed| fire(feed, air_temperature, humidity_ratio, duty.chamber))
                .and_then(|fire| match rig.burner.heat_loss {
                    Some(share) => fire.with_heat_loss(share).map_err(|e| e.to_string()),
                    None => Ok(fire),
                });
            let demand = match (&burning, air, &inlet) {
                (Err(e), ..) | (.., Err(e)) => Err(e.clone()),
                (_, None, _) => Err("its air flow is not known".to_owned()),
                (Ok(burning), Some(air), _) => {
                    let for_exit = |t| ratio_for_exit(&flame, t);
                    demand(air, dry_share, duty.target, burning, for_exit)
                        .map_err(|e| e.to_string())
                }
            };
            let at = |share: f64| {
                let phi = demand.as_ref().map_err(Clone::clone)?.equivalence_ratio;
                let flame = flame.as_ref().map_err(Clone::clone)?;
                flame.flame(phi / share).map_err(|e| e.to_string())
            };
            duties.push(DutySolution {
                name: duty.name.clone(),
                air,
                dry_share,
                air_temperature,
                chamber: duty.chamber,
                exit: at(1.0),
                primary: rig.burner.primary_air_share.map(|share| at(share.value)),
                demand,
            });
        }
        if rig.burner.heat_loss.is_none() {
            self.assume("Exit temperatures are those of a flame that loses no heat.");
        }
        duties
    }

    /// The fuel as it enters the flame: at its temperature before the holes where that is in reach of
    /// the property model, else at 25 °C, which moves the flame by a few kelvin.
    fn fuel_feed(&self) -> Result<FuelFeed, String> {
        let rig = self.rig;
        let phase = usual_phase(&rig.fuel.composition);
        let t = rig.injector.temperature.unwrap_or(rig.site.ambient);
        let p = rig.site.air_pressure;
        FuelFeed::from_state(self.fluid.as_ref(), p, t, phase)
            .or_else(|_| FuelFeed::usual(&rig.fuel.composition))
            .map_err(|e| e.to_string())
    }

    fn planned_injector(&mut self) -> Result<InjectorPlan, String> {
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

/// The fire of a duty.
fn fire(
    feed: FuelFeed,
    air_temperature: ThermodynamicTemperature,
    humidity_ratio: Ratio,
    chamber: AbsolutePressure,
) -> Result<Burner, String> {
    let air = AirFeed::with_humidity_ratio(air_temperature, humidity_ratio);
    let air = air.map_err(|e| e.to_string())?;
    Burner::new(feed, air, chamber).map_err(|e| e.to_string())
}

/// Equivalence ratio of the lean flame that leaves at a temperature.
fn ratio_for_exit(
    fire: &Result<Burner, String>,
    t: ThermodynamicTemperature,
) -> Result<Ratio, DutyError> {
    let failed = |why: String| DutyError::Flame { why };
    let fire = fire.as_ref().map_err(|e| failed(e.clone()))?;
    let flame = fire.flame_at_exit_temperature(t, Branch::Lean);
    Ok(flame.map_err(|e| failed(e.to_string()))?.equivalence_ratio)
}
