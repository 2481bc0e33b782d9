//! The train in the cold: on the coldest day of the site, and the lowest tank pressure that still feeds a duty through
//! the whole train, every valve open.

use super::duty::{INJECTOR, LowestSupply, TrainNeed};
use super::planner::Planner;
use super::solution::{Solution, TrainError};
use super::solve::{opened, tanks};
use super::{Chamber, Conditions, Outlet, PartKind, Supply, Train};
use crate::numerics::edge::{Found, Range, Value, falling_root};
use crate::quantity::sentence::{in_kelvin_2, sentence, temperature};
use crate::quantity::{ThermodynamicTemperature, kelvin, pascals_absolute};
use crate::train::network::Network;

/// Warmest tank looked at, K: 60 °C. Our choice; above what any label allows.
const WARMEST_K: f64 = 333.15;
/// Distance kept from the critical temperature, K.
const FROM_CRITICAL_K: f64 = 1.0;
/// Distance kept from the lowest temperature of the properties, K.
const FROM_LOWEST_K: f64 = 0.5;
/// Relative tolerance of the temperature.
const TOLERANCE: f64 = 1e-9;

/// What is left over at the weakest place, relative: of the holes, the square of the flow they pass over
/// that wanted, less one; of a regulator, its inlet pressure over the least it needs, less one.
struct Margin {
    value: f64,
    at: String,
}

impl Planner<'_> {
    /// Lowest pressure of a saturated tank from which the flow wanted gets through the train with the throttle
    /// wide open and every regulator above its least inlet pressure. Side branches take what they take in
    /// `running`. `of_last` is where the search of the duty before ended, 1/K, and is set to where this one does.
    ///
    /// # Errors
    /// Why not even the warmest tank looked at feeds it.
    pub(super) fn lowest_supply(
        &self,
        need: &TrainNeed,
        running: Option<&Solution>,
        start: ThermodynamicTemperature,
        of_last: &mut Option<f64>,
    ) -> Result<LowestSupply, TrainError> {
        let train = opened(
            &self.train(need.discharge_coefficient),
            self.throttle.into_iter(),
        );
        let flows: Vec<f64> = train
            .outlets()
            .iter()
            .map(|o| match running.and_then(|s| s.outlet(&o.name)) {
                _ if o.name == INJECTOR => need.fuel.value,
                Some(outlet) => outlet.flow.value,
                None => 0.0,
            })
            .collect();
        let (critical_k, _) = self.fuel.critical();
        let lowest_k = self.fuel.validity().temperature_k.start() + FROM_LOWEST_K;
        let warmest_k = WARMEST_K.min(critical_k - FROM_CRITICAL_K);
        if warmest_k <= lowest_k {
            return Err(TrainError::Shape {
                why: sentence!(
                    "no tank holds liquid of what is drawn, {}: its critical temperature is {}, its properties begin at {}; it is a compressed gas",
                    self.fuel.composition().label(),
                    in_kelvin_2(critical_k),
                    in_kelvin_2(*self.fuel.validity().temperature_k.start())
                ),
            });
        }
        let range = Range {
            low: 1.0 / warmest_k,
            guess: of_last.unwrap_or(1.0 / start.value),
            stride: 1.02,
            top: 1.0 / lowest_k,
            flat: 0.0,
        };
        let at = |x: f64| self.margin(&train, need, &flows, kelvin(1.0 / x));
        let left = |x: f64| -> Result<Value<TrainError>, TrainError> {
            Ok(match at(x) {
                Ok(margin) => Value::At(margin.value),
                Err(why) => Value::Beyond {
                    edge: f64::NAN,
                    why,
                },
            })
        };
        let found = falling_root(left, range, TOLERANCE).map_err(|e| {
            e.or(TrainError::NotConverged {
                what: format!("the coldest tank for `{}`", need.name),
                steps: crate::numerics::edge::MAX_ITERATIONS,
            })
        })?;
        let at_lowest = matches!(found, Found::AboveTop);
        let (x, why) = match found {
            Found::Root(x) => (x, None),
            Found::Edge { x, why } => (x, Some(why)),
            Found::AboveTop => (range.top, None),
            Found::BelowBottom => {
                return Err(match at(range.low) {
                    Err(why) => why,
                    Ok(margin) => TrainError::Shape {
                        why: sentence!(
                            "even a tank at {} does not feed it: `{}` gives out",
                            temperature(1.0 / range.low),
                            &margin.at
                        ),
                    },
                });
            }
        };
        // another duty's is not far
        *of_last = Some(x);
        let conditions = self.saturated(need, kelvin(1.0 / x));
        let tank = tanks(&train, &conditions)?;
        let limited_by = match why {
            Some(
                TrainError::Part { part, .. } | TrainError::NotEnoughPressure { at: part, .. },
            ) => part,
            Some(other) => other.to_string(),
            None => at(x).map_or_else(|e| e.to_string(), |m| m.at),
        };
        Ok(LowestSupply {
            pressure: pascals_absolute(tank.first().map_or(f64::NAN, |n| n.state.pressure_pa)),
            saturation: kelvin(1.0 / x),
            limited_by,
            at_lowest,
        })
    }

    fn saturated(&self, need: &TrainNeed, temperature: ThermodynamicTemperature) -> Conditions<'_> {
        Conditions {
            supplies: vec![Supply::Saturated { temperature }; self.rig.train.sources.len()],
            ..self.conditions(Chamber::Fixed(need.chamber))
        }
    }

    fn margin(
        &self,
        train: &Train,
        need: &TrainNeed,
        flows: &[f64],
        temperature: ThermodynamicTemperature,
    ) -> Result<Margin, TrainError> {
        let conditions = self.saturated(need, temperature);
        let tank = tanks(train, &conditions)?;
        let network = Network::new(train, &conditions, Vec::new());
        let records = network.walk_given(&tank, flows)?;
        let mut weakest = Margin {
            value: f64::INFINITY,
            at: String::new(),
        };
        let mut keep = |value: f64, at: &str| {
            if value < weakest.value {
                weakest = Margin {
                    value,
                    at: at.to_owned(),
                };
            }
        };
        for record in &records.parts {
            if let PartKind::Regulator(r) = &record.step.part.kind
                && let Some(least) = r.min_inlet
            {
                let inlet_pa = record.inlet.state.pressure_pa;
                keep(inlet_pa / least.pascals() - 1.0, &record.step.part.name);
            }
        }
        for record in records.outlets.iter().filter(|r| is_injector(r.outlet)) {
            let squared = record.flow * record.flow;
            let passes = network.passes_squared(record.outlet, record.inlet, record.flow)?;
            keep(passes / squared - 1.0, &record.outlet.name);
        }
        Ok(weakest)
    }
}

fn is_injector(outlet: &Outlet) -> bool {
    outlet.name == INJECTOR
}
