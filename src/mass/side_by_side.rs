//! The gas system as it is beside the liquid system as planned: mass over endurance, and where they are even.

use super::{BreakEven, Inventory, PartGroup, Store, System, break_even};
use crate::convert::demand::mean_flow_now;
use crate::convert::feed::Band;
use crate::convert::{ConvertError, ConvertInput, LiquidSystem, MassGroup, ToLiquid};
use crate::quantity::{Mass, Time, kilograms, seconds};

/// Endurances of the table over the one planned for.
const STEPS: [f64; 6] = [0.25, 0.5, 1.0, 2.0, 4.0, 8.0];

/// Both systems for one endurance.
#[derive(Debug, Clone, PartialEq)]
pub struct SystemsAt {
    /// Burning time.
    pub time: Time,
    /// Cylinders of the gas system.
    pub cylinders: f64,
    /// Gas system, with as many of the present cylinders.
    pub gas: Mass,
    /// Gas system with a cylinder to measure, as heavy for its fuel as the present one.
    pub gas_to_measure: Mass,
    /// Liquid system.
    pub liquid: Mass,
    /// The same with every estimate at its low end.
    pub liquid_low: Mass,
    /// The same with every estimate at its high end.
    pub liquid_high: Mass,
}

/// Both systems.
#[derive(Debug, Clone, PartialEq)]
pub struct SideBySide {
    /// The gas system.
    pub gas: System,
    /// What its flow is the mean over.
    pub mean_from: &'static str,
    /// The liquid system for the endurance planned for.
    pub liquid: LiquidSystem,
    /// Masses over endurance.
    pub rows: Vec<SystemsAt>,
    /// Where they are even, with as many of the present cylinders.
    pub even: BreakEven,
    /// The same with a gas cylinder to measure.
    pub even_to_measure: BreakEven,
    /// The same with the liquid system's estimates at their low ends.
    pub even_low: BreakEven,
    /// The same at their high ends.
    pub even_high: BreakEven,
    /// Parts of either that have no mass and are left out.
    pub missing: Vec<String>,
}

/// The two systems over endurance; `None` where the gas comes from a main, or a tank's mass or charge is not
/// known.
///
/// The gas system is the train with its injector as weighed, as many cylinders of the present size as the time
/// takes, each emptied, and the gas burnt. The liquid system is that of the plan, whose tank, fuel and battery
/// grow with the time.
///
/// **Valid:** burning at the mean flow. **Source:** sums of masses.
///
/// # Errors
/// [`ConvertError`] of [`ToLiquid::system`].
pub fn side_by_side(
    input: &ConvertInput<'_>,
    plan: &ToLiquid,
    weighed: &Inventory,
) -> Result<Option<SideBySide>, ConvertError> {
    let tank = weighed.items.iter().find(|i| i.group == PartGroup::Tank);
    let known = tank.and_then(|t| Some((t.dry? / f64::from(t.count), t.count)));
    let (Some((empty, count)), Some(fuel), Some((fuel_rate, mean_from))) =
        (known, weighed.fuel, mean_flow_now(input))
    else {
        return Ok(None);
    };
    let gas = System {
        name: input.from.composition().label().to_owned(),
        fixed: weighed.train(),
        fuel_rate,
        battery_rate: fuel_rate * 0.0,
        store: Store::Tanks {
            empty,
            charge: fuel / f64::from(count),
        },
    };
    let to_measure = System {
        store: Store::ToMeasure {
            tank_per_fuel: (empty * f64::from(count) / fuel).value,
        },
        ..gas.clone()
    };
    let planned = plan.tank.endurance;
    let mut rows = Vec::new();
    for step in STEPS {
        let time = planned * step;
        let (total, _) = plan.system(input, time)?.total();
        rows.push(SystemsAt {
            time,
            cylinders: gas.tanks(time).unwrap_or(1.0),
            gas: gas.mass(time),
            gas_to_measure: to_measure.mass(time),
            liquid: total.value,
            liquid_low: total.low,
            liquid_high: total.high,
        });
    }
    let longest = planned * STEPS[STEPS.len() - 1];
    // a system for no time at all is that for one second
    let liquid = |t: f64, of: fn(&Band<Mass>) -> Mass| {
        let system = plan.system(input, seconds(t.max(1.0)));
        system.map_or(f64::NAN, |s| of(&s.total().0).value)
    };
    let jumps = gas.steps(longest);
    let even = |gas: &System, of| {
        break_even(
            &|t| gas.mass(seconds(t)).value,
            &|t| liquid(t, of),
            &jumps,
            longest,
        )
    };
    let system = plan.system(input, planned)?;
    let mut missing = weighed.missing();
    missing.extend(system.total().1.into_iter().map(str::to_owned));
    missing.sort();
    missing.dedup();
    Ok(Some(SideBySide {
        mean_from,
        rows,
        even: even(&gas, |b| b.value),
        even_to_measure: even(&to_measure, |b| b.value),
        even_low: even(&to_measure, |b| b.low),
        even_high: even(&to_measure, |b| b.high),
        missing,
        liquid: system,
        gas,
    }))
}

impl SideBySide {
    /// Masses of the gas system for the endurance planned for: name and mass.
    pub fn gas_masses(&self) -> Vec<(&'static str, Mass)> {
        let t = self.liquid.endurance;
        vec![
            ("tank", self.gas.tank_mass(t)),
            ("fuel", self.gas.fuel(t)),
            ("train", self.gas.fixed),
        ]
    }

    /// Masses of the liquid system for the endurance planned for, by group.
    pub fn liquid_masses(&self) -> Vec<(&'static str, Mass)> {
        let mut groups: Vec<(MassGroup, f64)> = Vec::new();
        for item in &self.liquid.items {
            let Some(mass) = &item.mass else { continue };
            match groups.iter_mut().find(|(g, _)| *g == item.group) {
                Some((_, kg)) => *kg += mass.value.value,
                None => groups.push((item.group, mass.value.value)),
            }
        }
        groups.sort_by_key(|(g, _)| *g);
        groups
            .into_iter()
            .map(|(g, kg)| (g.name(), kilograms(kg)))
            .collect()
    }
}
