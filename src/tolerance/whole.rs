//! Fuel flow of one duty with every input at a draw of its own: the whole train, or the holes alone.

use super::inputs::{Input, InputKind, coefficient_ends};
use crate::eos::Backend;
use crate::flow::orifice::{Expansion, OrificeError, Stagnation, isentropic_flux, liquid_flux};
use crate::injector::plan::{DutyInjection, InjectorPlan};
use crate::quantity::{
    AbsolutePressure, PressureDifference, ThermodynamicTemperature, kelvin, metres,
    pascals_absolute,
};
use crate::train::fixed::injector_flow;
use crate::train::rig::{Rig, Supply};
use crate::train::{Characteristic, InjectorHoles, PartKind, TrainDuty, TrainNeed};
use std::sync::Arc;

/// How the fuel of a duty reaches its holes.
#[derive(Debug, Clone)]
pub(super) enum Route {
    /// Through the train, its throttle left at the opening that suits the rig as given.
    Train {
        /// The throttle and its opening; `None`: there is none.
        throttle: Option<(String, f64)>,
    },
    /// From a pressure and temperature before the holes.
    Holes {
        /// Pressure.
        pressure: AbsolutePressure,
        /// Temperature.
        temperature: ThermodynamicTemperature,
    },
}

/// One duty, to be asked for its fuel flow.
#[derive(Debug)]
pub(super) struct DutyModel<'a> {
    pub(super) rig: &'a Rig,
    pub(super) fluid: Arc<dyn Backend>,
    pub(super) inputs: &'a [Input],
    pub(super) need: TrainNeed,
    pub(super) holes: InjectorHoles,
    pub(super) route: Route,
    /// Ends of the band of the discharge coefficient at this duty.
    coefficient: (f64, f64),
}

/// What a draw of every input makes of a rig.
struct Moved {
    rig: Rig,
    fluid: Arc<dyn Backend>,
    holes: InjectorHoles,
    need: TrainNeed,
    opening: f64,
    drop: f64,
    ambient_k: f64,
}

impl<'a> DutyModel<'a> {
    pub(super) fn new(
        rig: &'a Rig,
        fluid: &Arc<dyn Backend>,
        inputs: &'a [Input],
        plan: &InjectorPlan,
        need: TrainNeed,
        injection: &DutyInjection,
        solved: Option<&TrainDuty>,
    ) -> Self {
        let route = match solved {
            Some(duty) if duty.solution.is_ok() => Route::Train {
                throttle: duty
                    .setting
                    .as_ref()
                    .map(|s| (s.throttle.clone(), s.opening)),
            },
            _ => Route::Holes {
                pressure: injection
                    .at_given
                    .map(|g| g.pressure)
                    .or(rig.injector.pressure)
                    .unwrap_or(pascals_absolute(injection.at_need.supply.pressure_pa)),
                temperature: kelvin(injection.at_need.supply.temperature_k),
            },
        };
        Self {
            rig,
            fluid: Arc::clone(fluid),
            inputs,
            need,
            holes: InjectorHoles {
                number: plan.holes,
                diameter: plan.diameter,
            },
            route,
            coefficient: coefficient_ends(rig, injection),
        }
    }

    /// Leaves the throttle at an opening.
    pub(super) fn open(&mut self, at: f64) {
        if let Route::Train {
            throttle: Some((_, opening)),
        } = &mut self.route
        {
            *opening = at;
        }
    }

    /// Fuel flow with every input at its draw, 0 to 1; in kg/s, above zero.
    pub(super) fn flow(&self, draws: &[f64]) -> Result<f64, String> {
        self.before_holes(draws).map(|(flow_kg_s, _)| flow_kg_s)
    }

    /// The same, and the pressure before the holes, Pa.
    pub(super) fn before_holes(&self, draws: &[f64]) -> Result<(f64, f64), String> {
        let found = self.flow_or_none(draws)?;
        if found.0 > 0.0 {
            Ok(found)
        } else {
            Err("nothing flows: the pressure that reaches the holes is not above that of the chamber".to_owned())
        }
    }

    fn flow_or_none(&self, draws: &[f64]) -> Result<(f64, f64), String> {
        let moved = self.moved(draws)?;
        match &self.route {
            Route::Train { throttle } => {
                let throttle = throttle.as_ref().map(|(name, opening)| {
                    (name.as_str(), (opening + moved.opening).clamp(0.0, 1.0))
                });
                let found = injector_flow(
                    &moved.rig,
                    moved.fluid.as_ref(),
                    moved.holes,
                    &moved.need,
                    throttle,
                );
                found.map_or_else(
                    |e| Err(e.to_string()),
                    |o| Ok((o.flow.value, o.inlet.pressure.pascals())),
                )
            }
            Route::Holes {
                pressure,
                temperature,
            } => {
                let t = kelvin(temperature.value + moved.ambient_k);
                let flux = self
                    .flux(moved.fluid.as_ref(), *pressure, 1.0 + moved.drop, t)
                    .map_err(|e| e.to_string())?;
                let d_m = moved.holes.diameter.value;
                let area_m2 =
                    f64::from(moved.holes.number) * std::f64::consts::FRAC_PI_4 * d_m * d_m;
                let chamber_pa = self.need.chamber.pascals();
                let p_pa = chamber_pa + (1.0 + moved.drop) * (pressure.pascals() - chamber_pa);
                Ok((moved.need.discharge_coefficient * area_m2 * flux, p_pa))
            }
        }
    }

    /// Ideal flux from a pressure whose drop over the chamber is a share of what it was, kg/(m² s).
    pub(super) fn flux(
        &self,
        fluid: &dyn Backend,
        before: AbsolutePressure,
        share: f64,
        t: ThermodynamicTemperature,
    ) -> Result<f64, OrificeError> {
        let chamber_pa = self.need.chamber.pascals();
        let p = pascals_absolute(chamber_pa + share.max(1e-6) * (before.pascals() - chamber_pa));
        let up = Stagnation::at(fluid, p, t)?;
        if up.is_liquid() {
            return Ok(liquid_flux(&up, self.need.chamber, Expansion::Blend)?
                .flux
                .value);
        }
        Ok(isentropic_flux(&up, self.need.chamber)?.flux.value)
    }

    fn moved(&self, draws: &[f64]) -> Result<Moved, String> {
        let mut moved = Moved {
            rig: self.rig.clone(),
            fluid: Arc::clone(&self.fluid),
            holes: self.holes,
            need: self.need.clone(),
            opening: 0.0,
            drop: 0.0,
            ambient_k: 0.0,
        };
        let mut shares = self.rig.fuel.composition.mole_fractions();
        let mut other_fuel = false;
        for (input, draw) in self.inputs.iter().zip(draws) {
            let by = input.departure(*draw);
            match &input.kind {
                InputKind::HoleDiameter => {
                    moved.holes.diameter = metres(moved.holes.diameter.value * (1.0 + by));
                }
                InputKind::DischargeCoefficient => {
                    let (low, high) = self.coefficient;
                    moved.need.discharge_coefficient *= 1.0 + low + (high - low) * draw;
                }
                InputKind::SupplyDrop => moved.drop = by,
                InputKind::SetPressure(name) | InputKind::Droop(name) => {
                    move_regulator(&mut moved.rig, name, &input.kind, by);
                }
                InputKind::Opening => moved.opening = by,
                InputKind::Ambient => {
                    moved.ambient_k = by;
                    let t = &mut moved.rig.site.ambient;
                    *t = kelvin(t.value + by);
                }
                InputKind::MainPressure => move_main(&mut moved.rig, by),
                InputKind::Source => move_source(&mut moved.rig, by),
                InputKind::AirFlow => {}
                InputKind::FlowCoefficient(name) => {
                    if let Some(part) = moved.rig.train.part_mut(name) {
                        part.kind.scale_flow(1.0 + by);
                    }
                }
                InputKind::Rangeability(name) => move_rangeability(&mut moved.rig, name, by),
                InputKind::LineLoss => move_lines(&mut moved.rig, by),
                InputKind::Component(i) => {
                    shares[*i] *= 1.0 + by;
                    other_fuel |= by.abs() > 0.0;
                }
            }
        }
        if other_fuel {
            let sum: f64 = shares.iter().sum();
            for x in &mut shares {
                *x /= sum;
            }
            moved.fluid = self.fluid.recomposed(&shares).map_err(|e| e.to_string())?;
        }
        Ok(moved)
    }
}

fn move_regulator(rig: &mut Rig, name: &str, kind: &InputKind, by: f64) {
    let ambient_pa = rig.site.air_pressure.pascals();
    let Some(PartKind::Regulator(r)) = rig.train.part_mut(name).map(|p| &mut p.kind) else {
        return;
    };
    if matches!(kind, InputKind::SetPressure(_)) {
        let gauge_pa = r.set_pressure.pascals() - ambient_pa;
        r.set_pressure = pascals_absolute(r.set_pressure.pascals() + by * gauge_pa);
    } else {
        r.droop = PressureDifference::from_pascals(r.droop.pascals() * (1.0 + by));
    }
}

fn move_rangeability(rig: &mut Rig, name: &str, by: f64) {
    let part = rig.train.part_mut(name);
    let valve = part.and_then(|p| p.kind.valve_mut());
    if let Some(
        Characteristic::Linear { rangeability } | Characteristic::EqualPercentage { rangeability },
    ) = valve.map(|v| &mut v.characteristic)
    {
        // below one it would pass more when closed
        *rangeability = (*rangeability * (1.0 + by)).max(1.001);
    }
}

/// Friction goes with the length.
fn move_lines(rig: &mut Rig, by: f64) {
    let parts = rig.train.parts();
    let lines = parts.iter().filter(|p| p.kind.line().is_some());
    let names: Vec<String> = lines.map(|p| p.name.clone()).collect();
    for name in names {
        if let Some(PartKind::DipTube(l) | PartKind::Hose(l) | PartKind::Tube(l)) =
            rig.train.part_mut(&name).map(|p| &mut p.kind)
        {
            l.length *= 1.0 + by;
        }
    }
}

fn move_main(rig: &mut Rig, by: f64) {
    let ambient_pa = rig.site.air_pressure.pascals();
    if let Supply::Mains(main) = &mut rig.supply {
        let gauge_pa = main.pressure.pascals() - ambient_pa;
        main.pressure = pascals_absolute(main.pressure.pascals() + by * gauge_pa);
    }
}

fn move_source(rig: &mut Rig, by_k: f64) {
    let t = match &mut rig.supply {
        Supply::Tank(tank) => tank.temperature.as_mut(),
        Supply::Mains(main) => main.temperature.as_mut(),
    };
    if let Some(t) = t {
        *t = kelvin(t.value + by_k);
    }
}
