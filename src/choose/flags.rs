//! Holes for one duty that stands in no rig: fuel, supply, chamber and what is aimed at.

use super::table::{Duty, DutyTable, Feed};
use super::{Asked, Combination, MOST_HOLES, Options, Problem, Space, Subject, Target};
use crate::audit::rules::{soft_injector, uneven_holes};
use crate::combustion::Flammability;
use crate::injector::plan::PlanBands;
use crate::injector::size::{InjectorError, InjectorInput};
use crate::input::raw::ALONE_DUTY;
use crate::quantity::show::round_step;
use crate::quantity::{AbsolutePressure, MassRate, pascals_absolute};

/// Most pressures of a range.
const MOST_PRESSURES: f64 = 50.0;

impl<'a> Problem<'a> {
    /// Holes for one duty, at one of these pressures. Number, diameter, pressure and flow of `input` are not asked; the
    /// flow is wanted in the middle of the ratios.
    ///
    /// # Errors
    /// Why no pressure feeds any hole.
    pub fn of_flags(
        input: InjectorInput<'a>,
        options: &Options,
        pressures_pa: Vec<f64>,
        air: AbsolutePressure,
        wanted: MassRate,
        liquid: bool,
    ) -> Result<Self, InjectorError> {
        let chamber_pa = input.chamber.pascals();
        let (least, most) = options.ratios.unwrap_or((1.0, 1.0));
        let highest_pa = pressures_pa.last().copied().unwrap_or(0.0);
        let asked = Asked {
            targets: vec![Target {
                name: ALONE_DUTY.to_owned(),
                least,
                most,
                chamber_pa,
                over_air_pa: chamber_pa - air.pascals(),
            }],
            burns: options.ratios.is_some(),
            options: options.clone(),
            quenching_m: Flammability::of(input.fluid.composition())
                .ok()
                .and_then(|f| Some(f.quenching_distance?.value)),
            spread: uneven_holes::USUAL,
            can_radius_m: None,
            liquid,
            low_pressure: highest_pa < (1.0 + soft_injector::LEAST) * chamber_pa,
        };
        let duty = Duty {
            input,
            bands: PlanBands::default(),
            wants_gas: !liquid,
            wanted_kg_s: wanted.value,
            ratio: 0.5 * (least + most),
            cross_flow: None,
            feed: Feed::Set(pressures_pa.clone()),
        };
        let (from, to) = options.counts.unwrap_or((1, MOST_HOLES));
        Ok(Self {
            asked,
            duties: vec![DutyTable::new(duty, &options.drills)?],
            space: Space {
                counts: (from..=to).collect(),
                drills: options.drills.clone(),
                pressures_pa,
            },
            table_error: 0.0,
            slack: 0.0,
            spread: None,
            subject: Subject::Alone(input),
        })
    }
}

/// The duty with a combination of holes.
pub fn with<'a>(input: &InjectorInput<'a>, space: &Space, c: Combination) -> InjectorInput<'a> {
    InjectorInput {
        supply_pressure: Some(pascals_absolute(space.pressures_pa[c.pressure])),
        holes: Some(c.holes),
        diameter: Some(space.diameter(c)),
        flow: None,
        ..*input
    }
}

/// Pressures of a range as somebody sets them: both ends, and round gauge readings between them.
pub fn settings((low_pa, high_pa): (f64, f64), air_pa: f64) -> Vec<f64> {
    let least = (high_pa - low_pa) / MOST_PRESSURES;
    if least <= 0.0 {
        return vec![low_pa];
    }
    let step = round_step(least);
    let first = ((low_pa - air_pa) / step + 1e-6).floor() + 1.0;
    let round = (0..).map(|i| air_pa + step * (first + f64::from(i)));
    let between = round.take_while(|p_pa| *p_pa < high_pa - 1e-6 * step);
    [low_pa]
        .into_iter()
        .chain(between)
        .chain([high_pa])
        .collect()
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
