//! A rig's train at all its duties: what is drawn, how the throttle stands, what stands out, what is left
//! after a shut-off.

pub use super::duty::{INJECTOR, InjectorHoles, TrainDuty, TrainFire, TrainNeed};

use super::duty::{LowestSupply, MainHead};
use super::given::without_train;
use super::network::TOLERANCE;
use super::planner::Planner;
use super::rig::supply::Charge;
use super::rig::{Rig, TankSpec};
use super::shutoff::{ShutOff, ShutOffSetup, after_shut_off_beside};
use super::solution::TrainError;
use super::solve::{Target, flow_near, openings_for_flows};
use super::throttle::{DutyPoint, ThrottleSetup, ThrottleStudy, study_of, throttle_of};
use super::{Chamber, Conditions, Draw, End, OutletLaw, Run, Supply, Train, checks};
use crate::eos::{Backend, EosError};
use crate::flow::orifice::Expansion;
use crate::numerics::beside::beside;
use crate::quantity::{
    AbsolutePressure, ThermodynamicTemperature, kilograms_per_cubic_metre, pascals_absolute,
};
use std::sync::Arc;

/// The train at all duties.
#[derive(Debug, Clone)]
pub struct TrainPlan {
    /// Fuel as it is drawn: of a blend, with the composition of what is drawn first.
    pub fuel: Arc<dyn Backend>,
    /// Valve that sets the flow of the injector; `None`: the train has none.
    pub throttle: Option<String>,
    /// Duties, in the order given.
    pub duties: Vec<TrainDuty>,
    /// Throttle curve and size; `None` without a throttle or without air at the duties.
    pub study: Option<Result<ThrottleStudy, TrainError>>,
    /// For each valve that closes without power: fuel left behind it at the duty with the largest flow.
    pub shut_offs: Vec<Result<ShutOff, TrainError>>,
    /// What the speed of the gas makes of the pressure of a main, at the duty where it makes most; `None` for a tank,
    /// and where what comes first is slow.
    pub main_head: Option<MainHead>,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
}

/// Pressure of the air or gas over a liquid; `None` where the file gives none, or less than the fuel's own vapour
/// pressure, which then stands in the tank, or where the vapour of the fuel is what is drawn.
pub fn gas_over_liquid(
    fuel: &dyn Backend,
    tank: &TankSpec,
    temperature: ThermodynamicTemperature,
) -> Option<AbsolutePressure> {
    let stated = tank.pressure?;
    let own = fuel.bubble_t(temperature.value);
    match own {
        Ok(own) => {
            (tank.draw == Draw::Liquid && stated.pascals() > own.pressure_pa).then_some(stated)
        }
        Err(_) => Some(stated),
    }
}

/// Fuel as a tank gives it, and its state in the tank.
///
/// Vapour over a blend is richer in the light components than the liquid: its composition is that at the
/// bubble point of the liquid, which is the state of a tank full enough. Above the critical temperature the
/// tank holds compressed gas at the density of its charge. A tank with a pressure of its own (vented, or under
/// gas) gives its liquid at that pressure.
///
/// # Errors
/// No equilibrium and no density to go by.
pub fn tank_supply(
    fuel: &dyn Backend,
    tank: &TankSpec,
    temperature: ThermodynamicTemperature,
) -> Result<(Arc<dyn Backend>, Supply), EosError> {
    let own = fuel.composition().mole_fractions();
    if let Some(pressure) = gas_over_liquid(fuel, tank, temperature) {
        let supply = Supply::At {
            pressure,
            temperature,
        };
        return Ok((fuel.recomposed_to_stay(&own)?, supply));
    }
    let saturated = Supply::Saturated { temperature };
    match (fuel.bubble_t(temperature.value), tank.draw) {
        (Ok(bubble), Draw::Vapour) => Ok((
            fuel.recomposed_to_stay(&bubble.vapour.mole_fractions)?,
            saturated,
        )),
        (Ok(_), Draw::Liquid) => Ok((fuel.recomposed_to_stay(&own)?, saturated)),
        (Err(error), _) => {
            let Charge::Mass(mass) = tank.charge else {
                return Err(error);
            };
            let rho = kilograms_per_cubic_metre(mass.value / tank.volume.value);
            let state = fuel
                .state_rho_t(rho.value, temperature.value)
                .map_err(|_| error)?;
            let supply = Supply::At {
                pressure: pascals_absolute(state.pressure_pa),
                temperature,
            };
            Ok((fuel.recomposed_to_stay(&own)?, supply))
        }
    }
}

/// Everything about a rig's train.
///
/// Each duty is solved with the throttle set for the fuel it wants; without a throttle, with the valves as
/// they stand. Side branches take what they get. The chamber's pressure holds for every outlet. The throttle
/// curve has `curve_points` points; 0 leaves it out, which saves most of the time.
///
/// **Valid:** as [`super::solve::flow_for_openings`]. **Errors:** [`TrainError`]; a duty that cannot be fed is an answer.
/// **Source:** those of the flow laws.
///
/// # Errors
/// [`TrainError::Supply`] if there is no state of the fuel in the tank.
pub fn plan(
    rig: &Rig,
    fuel: &dyn Backend,
    holes: InjectorHoles,
    needs: &[TrainNeed],
    fire: Option<TrainFire>,
    curve_points: u32,
) -> Result<TrainPlan, TrainError> {
    let mut assumptions = Vec::new();
    let (drawn, supply) = supply_of(rig, fuel, &mut assumptions)?;
    let throttle = throttle_of(&rig.train, INJECTOR);
    if rig.train.parts().is_empty() {
        assumptions.push(without_train(rig).to_owned());
    } else if throttle.is_none() {
        assumptions.push(
            "The train has no metering valve before the injector: its flow is what the train gives with the valves as they stand.".to_owned(),
        );
    }
    let planner = Planner {
        rig,
        fuel: drawn.as_ref(),
        supply,
        holes,
        throttle: throttle.as_deref(),
    };
    let mut duties: Vec<TrainDuty> = needs.iter().map(|n| planner.flow(n)).collect();
    // neither asks for the other: side by side
    let (lowest, (study, shut_offs)) = beside(
        || planner.lowest(needs, &duties),
        || {
            let study = planner.study(needs, &duties, fire, curve_points);
            (study, planner.shut_offs(needs, &duties, fire))
        },
    );
    for (duty, lowest) in duties.iter_mut().zip(lowest) {
        duty.lowest = Some(lowest);
    }
    Ok(TrainPlan {
        main_head: planner.main_head(&duties),
        fuel: Arc::clone(&drawn),
        throttle: throttle.clone(),
        duties,
        study,
        shut_offs,
        assumptions,
    })
}

/// How the duties flow in a rig whose train may have been changed: what [`plan`] says of them, without the
/// lowest supply.
///
/// # Errors
/// [`TrainError::Supply`] if there is no state of the fuel in the tank.
pub fn flows(
    rig: &Rig,
    fuel: &dyn Backend,
    holes: InjectorHoles,
    needs: &[TrainNeed],
) -> Result<Vec<TrainDuty>, TrainError> {
    let (drawn, supply) = supply_of(rig, fuel, &mut Vec::new())?;
    let throttle = throttle_of(&rig.train, INJECTOR);
    let planner = Planner {
        rig,
        fuel: drawn.as_ref(),
        supply,
        holes,
        throttle: throttle.as_deref(),
    };
    Ok(needs.iter().map(|n| planner.flow(n)).collect())
}

/// What is drawn and its state, of tank or main; adds to `assumptions` what a reader of flows must know.
///
/// # Errors
/// [`TrainError::Supply`] if there is no state of the fuel in the tank.
pub fn supply_of(
    rig: &Rig,
    fuel: &dyn Backend,
    assumptions: &mut Vec<String>,
) -> Result<(Arc<dyn Backend>, Supply), TrainError> {
    let failed = |error| TrainError::Supply {
        source_name: rig
            .train
            .sources
            .first()
            .map_or_else(String::new, |s| s.name.clone()),
        error,
    };
    match &rig.supply {
        super::rig::Supply::Tank(tank) => {
            let temperature = tank.temperature.unwrap_or(rig.site.ambient);
            let found = tank_supply(fuel, tank, temperature).map_err(failed)?;
            if fuel.composition().parts().len() > 1 && tank.draw == Draw::Vapour {
                assumptions.push(
                    "What is drawn has the composition of the vapour over a full tank; it grows heavier as the tank empties.".to_owned(),
                );
            }
            if gas_over_liquid(fuel, tank, temperature).is_none() {
                if tank.pressure.is_some() {
                    assumptions.push(
                        "The fuel's own vapour pressure is above the `pressure` given for the tank, and is taken."
                            .to_owned(),
                    );
                }
                assumptions.push(
                    "The tank is at its starting temperature; `tank` tells how it chills."
                        .to_owned(),
                );
            }
            Ok(found)
        }
        super::rig::Supply::Mains(main) => {
            let own = fuel.composition().mole_fractions();
            let temperature = main.temperature.unwrap_or(rig.site.ambient);
            let supply = main.read.supply(main.pressure, temperature);
            Ok((fuel.recomposed_to_stay(&own).map_err(failed)?, supply))
        }
    }
}

impl<'a> Planner<'a> {
    /// The train with the injector's holes at its end.
    pub(super) fn train(&self, discharge_coefficient: f64) -> Train {
        let mut train = self.rig.train.clone();
        let law = OutletLaw::Holes {
            number: self.holes.number,
            diameter: self.holes.diameter,
            discharge_coefficient,
        };
        set_law(&mut train.run, INJECTOR, law);
        train
    }

    pub(super) fn conditions(&self, chamber: Chamber) -> Conditions<'a> {
        Conditions {
            fuel: self.fuel,
            supplies: vec![self.supply; self.rig.train.sources.len()],
            ambient: self.rig.site.ambient,
            chambers: vec![chamber],
            expansion: Expansion::Blend,
        }
    }

    /// The lowest supply of each duty that is fed from a saturated tank; else nothing.
    fn lowest(
        &self,
        needs: &[TrainNeed],
        duties: &[TrainDuty],
    ) -> Vec<Result<LowestSupply, TrainError>> {
        let Supply::Saturated { temperature } = self.supply else {
            return Vec::new();
        };
        // another duty's is not far
        let mut of_last = None;
        needs
            .iter()
            .zip(duties)
            .map(|(need, duty)| {
                let running = duty.solution.as_ref().ok();
                self.lowest_supply(need, running, temperature, &mut of_last)
            })
            .collect()
    }

    fn flow(&self, need: &TrainNeed) -> TrainDuty {
        let train = self.train(need.discharge_coefficient);
        let conditions = self.conditions_of(need);
        let solved = match self.throttle {
            Some(throttle) => {
                let target = Target {
                    outlet: INJECTOR.to_owned(),
                    flow: need.fuel,
                    throttle: throttle.to_owned(),
                };
                openings_for_flows(&train, &conditions, &[target])
                    .map(|(settings, solution)| (settings.into_iter().next(), solution))
            }
            None => flow_near(&train, &conditions, need.fuel, TOLERANCE).map(|s| (None, s)),
        };
        let (setting, solution) = match solved {
            Ok((setting, solution)) => (setting, Ok(solution)),
            Err(e) => (None, Err(e)),
        };
        let checks = solution
            .as_ref()
            .map_or_else(|_| Vec::new(), |s| checks(&train, &conditions, s));
        TrainDuty {
            lowest: None,
            name: need.name.clone(),
            wanted: need.fuel,
            setting,
            solution,
            checks,
        }
    }

    fn study(
        &self,
        needs: &[TrainNeed],
        duties: &[TrainDuty],
        fire: Option<TrainFire>,
        curve_points: u32,
    ) -> Option<Result<ThrottleStudy, TrainError>> {
        let (throttle, fire) = (self.throttle?, fire?);
        let point = |(n, duty): (&TrainNeed, &TrainDuty)| {
            let point = DutyPoint {
                name: n.name.clone(),
                fuel: n.fuel,
                air: n.air?,
                chamber: n.chamber,
            };
            let solution = duty.solution.clone();
            let set = solution.map(|s| duty.setting.clone().map(|set| (set, s)));
            let train = self.train(n.discharge_coefficient);
            Some((point, (train, set.transpose()?)))
        };
        let (points, solved): (Vec<DutyPoint>, Vec<_>) =
            needs.iter().zip(duties).filter_map(point).unzip();
        let largest = needs
            .iter()
            .max_by(|a, b| a.fuel.value.total_cmp(&b.fuel.value))?;
        let train = self.train(largest.discharge_coefficient);
        let conditions = self.conditions(Chamber::Fixed(largest.chamber));
        let setup = ThrottleSetup {
            train: &train,
            conditions: &conditions,
            throttle,
            outlet: INJECTOR,
            air_fuel_ratio: fire.air_fuel_ratio,
            duties: &points,
        };
        (!points.is_empty()).then(|| study_of(&setup, solved.into_iter(), curve_points))
    }

    fn shut_offs(
        &self,
        needs: &[TrainNeed],
        duties: &[TrainDuty],
        fire: Option<TrainFire>,
    ) -> Vec<Result<ShutOff, TrainError>> {
        let solved = duties
            .iter()
            .zip(needs)
            .filter_map(|(d, n)| d.solution.as_ref().ok().map(|s| (s, n)))
            .max_by(|a, b| a.0.flow.value.total_cmp(&b.0.flow.value));
        let (Some((solution, need)), Some(fire)) = (solved, fire) else {
            return Vec::new();
        };
        let train = self.train(need.discharge_coefficient);
        let conditions = self.conditions(Chamber::Fixed(need.chamber));
        let setup = ShutOffSetup {
            chamber: self.rig.site.air_pressure,
            wall: self.rig.site.ambient,
            heating_value: fire.heating_value,
            flame_out: None,
            header: self
                .rig
                .injector
                .manifold
                .as_ref()
                .map(|m| (INJECTOR, m.volume())),
        };
        let mut found = Vec::new();
        for part in train.parts() {
            if part.shuts_without_power() {
                let name = &part.name;
                let next =
                    after_shut_off_beside(&train, &conditions, solution, name, &setup, &found);
                found.push(next);
            }
        }
        found
    }
}

pub(super) fn set_law(run: &mut Run, outlet: &str, law: OutletLaw) {
    match &mut run.end {
        End::Outlet(o) if o.name == outlet => o.law = law,
        End::Outlet(_) => {}
        End::Split(runs) => {
            for branch in runs {
                set_law(branch, outlet, law);
            }
        }
    }
}
