//! Air, fuel and flame of every duty of a rig.

use super::{DutySolution, Solution};
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::combustion::flame::{Branch, Burner, FuelFeed};
use crate::flow::air::MoistAir;
use crate::injector::duty::{Burning, DutyAir, DutyError, demand};
use crate::quantity::sentence::{Sentence, Told};
use crate::quantity::{Ratio, ThermodynamicTemperature, ratio};
use crate::train::rig::AirSource;

impl Solution<'_> {
    /// The air at the blower's inlet.
    fn air_at_inlet(&self) -> Result<MoistAir, String> {
        let site = &self.rig.site;
        let t = self.rig.air.inlet.unwrap_or(site.ambient);
        let humidity = site.relative_humidity.unwrap_or(ratio(0.0));
        MoistAir::new(site.air_pressure, t, humidity).map_err(|e| self.why(&e))
    }

    /// The air at the blower's inlet, if it has a state.
    pub fn inlet_air(&self) -> Option<MoistAir> {
        self.air_at_inlet().ok()
    }

    /// Air at full throttle as the blower gives it, kg/s.
    pub fn full_air(&self) -> Option<f64> {
        Some(match self.rig.air.source.as_ref()? {
            AirSource::Flow(flow, _) => flow.value,
            AirSource::Blower { blower, shaft } => {
                blower.air_flow(*shaft, &self.inlet_air()?).ok()?.value
            }
        })
    }

    /// Most air of any duty, m³/s as it is at the site.
    pub fn most_air(&self) -> Option<f64> {
        let most = self.duties.iter().filter_map(|d| d.air).map(|a| a.value);
        let most = most.reduce(f64::max)?;
        Some(most / self.inlet_air()?.density().value)
    }

    pub(super) fn solved_duties(&mut self) -> Vec<DutySolution> {
        let rig = self.rig;
        let inlet = self.air_at_inlet();
        if rig.site.relative_humidity.is_none() {
            self.assume("The air is taken as dry: the site gives no relative humidity.");
        }
        let (full, from_blower) = match (&rig.air.source, &inlet) {
            (Some(AirSource::Flow(flow, blower)), Ok(air)) => {
                (Some(*flow), blower.map(|b| b.outlet_temperature(air)))
            }
            (Some(AirSource::Flow(flow, _)), Err(_)) => (Some(*flow), None),
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
            efficiency: rig.burner.efficiency().value,
        });
        let burning = burning.map_err(Clone::clone);
        if rig.burner.combustion_efficiency.is_none() {
            self.assume("All the heat of the fuel that finds air is set free.");
        } else if rig.burner.efficiency().value < 1.0 {
            let zone = match rig.burner.primary_air_share {
                Some(_) => ", the primary zone is not",
                None => "",
            };
            self.assume(format!("The heat that is not set free leaves as unburnt fuel and carbon monoxide: the exit is colder by it{zone}."));
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
            let fire = feed.clone().and_then(|feed| {
                rig.burner
                    .fire(feed, air_temperature, humidity_ratio, duty.chamber)
                    .map_err(|e| self.why(&e))
            });
            let demand = match (&burning, air, &inlet) {
                (Err(e), ..) | (.., Err(e)) => Err(e.clone()),
                (_, None, _) => Err("its air flow is not known".to_owned()),
                (Ok(burning), Some(air), _) => {
                    let for_exit = |t| ratio_for_exit(&fire, t);
                    demand(air, dry_share, duty.target, burning, for_exit).map_err(|e| self.why(&e))
                }
            };
            let burning = || {
                let phi = demand.as_ref().map_err(Clone::clone)?.equivalence_ratio;
                Ok((fire.as_ref().map_err(Clone::clone)?, phi))
            };
            let exit = burning().and_then(|(fire, phi)| fire.flame(phi).map_err(|e| self.why(&e)));
            let primary = rig.burner.primary_air_share.map(|share| {
                burning().and_then(|(fire, phi)| fire.primary(phi, share).map_err(|e| self.why(&e)))
            });
            duties.push(DutySolution {
                name: duty.name.clone(),
                air,
                dry_share,
                air_temperature,
                chamber: duty.chamber,
                exit,
                primary,
                demand,
                fire,
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
            .map_err(|e| self.why(&e))
    }
}

/// Equivalence ratio of the lean flame that leaves at a temperature.
fn ratio_for_exit(
    fire: &Result<Burner, String>,
    t: ThermodynamicTemperature,
) -> Result<Ratio, DutyError> {
    let failed = |why: Sentence| DutyError::Flame { why };
    let fire = fire.as_ref().map_err(|e| failed(e.as_str().into()))?;
    let flame = fire.flame_at_exit_temperature(t, Branch::Lean);
    Ok(flame.map_err(|e| failed(e.told()))?.equivalence_ratio)
}
