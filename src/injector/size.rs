//! One set of holes: solve for diameter, number, pressure or flow.

pub use super::error::InjectorError;
pub use super::hole::{HoleMake, InletEdge};
pub use super::input::InjectorInput;
pub use super::result::{CountChoice, DrillChoice, FlowBand, InjectorResult};
pub use super::solve::Unknown;
pub use super::supply::Supply;

use super::drills::drills_around;
use super::jet::{self, Jet};
use super::remarks;
use super::solve::{Solved, solve};
use super::supply::IdealHole;
use crate::flow::discharge::DischargeCoefficient;
use crate::quantity::{
    Length, Ratio, TemperatureInterval, Velocity, kelvin_difference, kilograms_per_cubic_metre,
    kilograms_per_second, kilograms_per_square_metre_second, metres, metres_per_second,
    pascals_absolute, ratio,
};
use std::f64::consts::FRAC_PI_4;

/// Drills shown on each side of the exact diameter.
const DRILLS_EACH_SIDE: usize = 3;

/// Sizes a set of equal holes: finds whichever of supply pressure, number, diameter and flow is left out,
/// and says what follows.
///
/// `ṁ = n C_d (π/4) d² G`, with the ideal flux `G` of the real fluid
/// ([`crate::flow::orifice`]) and the coefficient of the hole ([`crate::flow::discharge`]), which itself
/// depends on `d`.
///
/// **Valid:** equal round holes from one plenum, far apart, each fed from rest; the range of the property
/// and discharge models.
/// **Source:** those in [`InjectorResult::sources`].
///
/// # Errors
/// [`InjectorError`].
pub fn size(input: &InjectorInput<'_>) -> Result<InjectorResult, InjectorError> {
    let solved = solve(input)?;
    let state = *solved.ideal.up.state();
    let (p0_pa, chamber_pa) = (state.pressure_pa, input.chamber.pascals());
    let diameter = metres(solved.d_m);
    let length = input.make.length(diameter)?;
    let wanted = kilograms_per_second(solved.wanted_kg_s);
    let (up, fluid) = (&solved.ideal.up, input.fluid);
    let dew = up.is_gas().then(|| fluid.dew_p(p0_pa).ok()).flatten();
    let bubble = up.is_liquid().then(|| fluid.bubble_p(p0_pa).ok()).flatten();
    let superheat = dew.map(|e| margin(state.temperature_k - e.temperature_k));
    let subcooling = bubble.map(|e| margin(e.temperature_k - state.temperature_k));
    let mut result = InjectorResult {
        unknown: solved.unknown,
        supply: state,
        chamber: input.chamber,
        holes: solved.holes,
        exact_holes: solved.exact_holes,
        diameter,
        length,
        flow: flow_band(
            &input.make,
            &solved.ideal,
            (solved.holes, diameter),
            &solved.coefficient,
        )?,
        wanted,
        flux: kilograms_per_square_metre_second(solved.ideal.flux),
        choked: solved.ideal.choked,
        throat: solved.ideal.throat,
        crosses_saturation: solved.ideal.crosses_saturation,
        reynolds: solved.ideal.reynolds(solved.d_m).ok(),
        jet_velocity: jet_velocity(&solved, p0_pa, chamber_pa)?,
        stiffness: ratio((p0_pa - chamber_pa) / chamber_pa),
        superheat,
        subcooling,
        drills: drill_choices(input, &solved)?,
        counts: count_choices(&solved),
        notes: Vec::new(),
        assumptions: Vec::new(),
        sources: Vec::new(),
        coefficient: solved.coefficient.clone(),
    };
    remarks::add(input, &solved, &mut result);
    Ok(result)
}

/// `flow / wanted − 1`; rounding of the search is no error.
fn flow_error(flow_kg_s: f64, wanted_kg_s: f64) -> Ratio {
    let error = flow_kg_s / wanted_kg_s - 1.0;
    ratio(if error.abs() > 1e-9 { error } else { 0.0 })
}

/// A distance from the saturation line; on it, rounding is no distance.
fn margin(t_k: f64) -> TemperatureInterval {
    kelvin_difference(if t_k > 1e-6 { t_k } else { 0.0 })
}

/// Flow of all holes with its band.
pub(super) fn flow_band(
    make: &HoleMake,
    ideal: &IdealHole<'_>,
    (holes, diameter): (u32, Length),
    c_d: &DischargeCoefficient,
) -> Result<FlowBand, InjectorError> {
    let (least, most) = make.diameters(diameter)?;
    let n = f64::from(holes);
    let flow = |d: Length, c: f64, flux: f64| {
        kilograms_per_second(n * FRAC_PI_4 * d.value * d.value * c * flux)
    };
    Ok(FlowBand {
        value: flow(diameter, c_d.value, ideal.flux),
        low: flow(least, c_d.low, ideal.flux_low),
        high: flow(most, c_d.high, ideal.flux_high),
    })
}

fn jet_velocity(
    solved: &Solved<'_>,
    p0_pa: f64,
    chamber_pa: f64,
) -> Result<Velocity, InjectorError> {
    let throat = &solved.ideal.throat;
    if let Some(jet) = solved.ideal.jet_m_s {
        return Ok(metres_per_second(jet));
    }
    let at_throat = jet::Throat {
        flow: kilograms_per_second(solved.flow_kg_s / f64::from(solved.holes)),
        velocity: throat.velocity,
        density: throat.density,
        pressure: throat.pressure,
    };
    let expanded = Jet::expanded(
        &at_throat,
        pascals_absolute(p0_pa),
        kilograms_per_cubic_metre(solved.ideal.up.state().density_kg_m3),
        pascals_absolute(chamber_pa),
    )?;
    Ok(metres_per_second(expanded.velocity.value))
}

fn drill_choices(
    input: &InjectorInput<'_>,
    solved: &Solved<'_>,
) -> Result<Vec<DrillChoice>, InjectorError> {
    let mut choices = Vec::new();
    for drill in drills_around(metres(solved.d_m), DRILLS_EACH_SIDE) {
        let c_d = match solved.ideal.coefficient(&input.make, drill.diameter) {
            Ok(c_d) => c_d,
            // a much smaller drill may leave the range of the coefficient: no choice then
            Err(InjectorError::Discharge(_)) => continue,
            Err(error) => return Err(error),
        };
        let holes = (solved.holes, drill.diameter);
        let flow = flow_band(&input.make, &solved.ideal, holes, &c_d)?;
        choices.push(DrillChoice {
            drill,
            flow_error: flow_error(flow.value.value, solved.wanted_kg_s),
            flow,
            coefficient: c_d.value,
        });
    }
    Ok(choices)
}

fn count_choices(solved: &Solved<'_>) -> Vec<CountChoice> {
    if solved.unknown != Unknown::Holes {
        return Vec::new();
    }
    let of_one = solved.flow_kg_s / f64::from(solved.holes);
    let first = solved.holes.saturating_sub(1).max(1);
    (first..=solved.holes + 1)
        .map(|holes| {
            let flow = of_one * f64::from(holes);
            CountChoice {
                holes,
                flow: kilograms_per_second(flow),
                flow_error: flow_error(flow, solved.wanted_kg_s),
            }
        })
        .collect()
}
