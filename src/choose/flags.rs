//! Holes for one duty that stands in no rig: fuel, supply, chamber and what is aimed at.

use super::{Asked, AtDuty, Combination, Problem, Space};
use crate::audit::Finding;
use crate::audit::rules::holes;
use crate::injector::hole_table::{OneHole, SupplyPoint};
use crate::injector::plan::PlanBands;
use crate::injector::size::{InjectorError, InjectorInput, InjectorResult, size};
use crate::quantity::{metres, pascals_absolute};

/// Most pressures of a range.
const MOST_PRESSURES: f64 = 50.0;

/// What is known of the duty.
pub struct FromFlags<'a> {
    input: InjectorInput<'a>,
    asked: Asked,
    space: Space,
    /// Fuel flow that the middle of the target takes, kg/s.
    wanted_kg_s: f64,
    table: Vec<Option<Row>>,
}

/// One pressure.
struct Row {
    stiffness: f64,
    choked: bool,
    fits: bool,
    superheat_k: Option<f64>,
    holes: Vec<Option<OneHole>>,
}

impl<'a> FromFlags<'a> {
    /// Fills the table. Number, diameter, pressure and flow of `input` are not asked.
    ///
    /// # Errors
    /// Why no pressure of the range feeds any hole.
    pub fn new(
        input: InjectorInput<'a>,
        asked: Asked,
        space: Space,
        wanted_kg_s: f64,
    ) -> Result<Self, InjectorError> {
        let mut refused = None;
        let mut row = |pressure_pa: f64| {
            let point = SupplyPoint::new(&input, pressure_pa, PlanBands::default());
            let point = point.map_err(|error| refused.get_or_insert(error)).ok()?;
            let holes = space.drills.iter().map(|d| point.hole(d.diameter).ok());
            Some(Row {
                stiffness: point.stiffness(),
                choked: point.choked,
                fits: asked.liquid || point.is_gas,
                superheat_k: point.superheat_k,
                holes: holes.collect(),
            })
        };
        let table: Vec<Option<Row>> = space.pressures_pa.iter().map(|p| row(*p)).collect();
        match refused {
            Some(error) if table.iter().all(Option::is_none) => Err(error),
            _ => Ok(Self {
                input,
                asked,
                space,
                wanted_kg_s,
                table,
            }),
        }
    }

    /// A combination in full.
    ///
    /// # Errors
    /// [`InjectorError`].
    pub fn solved(&self, c: Combination) -> Result<InjectorResult, InjectorError> {
        let holes = self.space.holes(c);
        size(&InjectorInput {
            supply_pressure: Some(pascals_absolute(self.space.pressures_pa[c.pressure])),
            holes: Some(holes.number),
            diameter: Some(metres(holes.diameter_m)),
            flow: None,
            ..self.input
        })
    }

    /// The equivalence ratio of a fuel flow, or the flow over the one wanted.
    fn ratio(&self, flow_kg_s: f64) -> f64 {
        let target = &self.asked.targets[0];
        0.5 * (target.least + target.most) * flow_kg_s / self.wanted_kg_s
    }
}

/// Logarithm over the choking pressure, as far as it is known whether it is above or below.
fn side(choked: bool) -> f64 {
    if choked { 1.0 } else { -1.0 }
}

impl Problem for FromFlags<'_> {
    fn asked(&self) -> &Asked {
        &self.asked
    }

    fn space(&self) -> &Space {
        &self.space
    }

    fn table_error(&self) -> f64 {
        0.0
    }

    fn slack(&self) -> f64 {
        0.0
    }

    fn by_table(&self, c: Combination, duties: &mut Vec<AtDuty>) {
        let row = self.table[c.pressure].as_ref();
        let hole = row.and_then(|row| row.holes[c.drill]);
        let flow_kg_s = hole.map_or(0.0, |h| f64::from(c.holes) * h.flow_kg_s);
        let (low, high) = hole.map_or((0.0, 0.0), |h| (h.low, h.high));
        let ratio = self.ratio(flow_kg_s);
        duties.clear();
        duties.push(AtDuty {
            fed: hole.is_some() && row.is_some_and(|r| r.fits),
            flow_kg_s,
            pressure_pa: self.space.pressures_pa[c.pressure],
            ratio,
            ratio_low: ratio * low,
            ratio_high: ratio * high,
            stiffness: row.map_or(0.0, |r| r.stiffness),
            over_choking: side(row.is_some_and(|r| r.choked)),
            superheat_k: row.and_then(|r| r.superheat_k),
            spread: None,
            reach_m: None,
        });
    }

    fn in_full(&self, c: Combination) -> Option<Vec<AtDuty>> {
        let found = self.solved(c).ok()?;
        Some(vec![AtDuty {
            fed: self.table[c.pressure].as_ref().is_some_and(|row| row.fits),
            flow_kg_s: found.flow.value.value,
            pressure_pa: found.supply.pressure_pa,
            ratio: self.ratio(found.flow.value.value),
            ratio_low: self.ratio(found.flow.low.value),
            ratio_high: self.ratio(found.flow.high.value),
            stiffness: found.stiffness.value,
            over_choking: side(found.choked),
            superheat_k: found.superheat.map(|k| k.value),
            spread: None,
            reach_m: None,
        }])
    }

    fn findings(&self, c: Combination) -> Vec<Finding> {
        let fuel = self.input.fluid.composition();
        let found = self.solved(c).ok();
        found.map_or_else(Vec::new, |found| {
            holes::judged(&found, fuel, self.asked.liquid)
        })
    }
}

/// Pressures of a range as somebody sets them: both ends, and round gauge readings between them.
pub fn settings((low_pa, high_pa): (f64, f64), air_pa: f64) -> Vec<f64> {
    let least = (high_pa - low_pa) / MOST_PRESSURES * (1.0 - 1e-9);
    if least <= 0.0 {
        return vec![low_pa];
    }
    let decade = 10f64.powf(least.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0].into_iter().map(|s| s * decade);
    let step = step
        .into_iter()
        .find(|s| *s >= least)
        .unwrap_or(10.0 * decade);
    let (from, to) = ((low_pa - air_pa) / step, (high_pa - air_pa) / step);
    let mut all = vec![low_pa];
    let mut i = (from + 1e-6).floor() + 1.0;
    while i < to - 1e-6 {
        all.push(air_pa + i * step);
        i += 1.0;
    }
    all.push(high_pa);
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pressures_between_the_ends_are_round_gauge_readings() {
        assert_eq!(settings((2e5, 2e5), 1e5), [2e5]);
        let some = settings((101_325.0 + 0.53e5, 101_325.0 + 2.5e5), 101_325.0);
        assert_eq!(some.len(), 41);
        let gauge: Vec<f64> = some.iter().map(|p| (p - 101_325.0).round()).collect();
        assert_eq!(gauge[..3], [53_000.0, 55_000.0, 60_000.0]);
        assert_eq!(gauge[39..], [245_000.0, 250_000.0]);
    }
}
