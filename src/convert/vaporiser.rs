//! Vaporiser tubes: heat, length in the flame, metering jets, and what the old ring would need of the vapour.

use super::demand::Fed;
use super::evaporation::{can_diameter, zones};
use super::input::ConvertInput;
use super::nozzle::{FINE_HOLE_M, Feed, Making, plain};
use super::volatility::{Boiling, Volatility};
use crate::eos::EosError;
use crate::flow::film::{air_conductivity_w_m_k, air_viscosity_pa_s};
use crate::flow::orifice::Expansion;
use crate::fuel::FedAs;
use crate::injector::size::{InjectorInput, Supply, size};
use crate::quantity::sentence::Told;
use crate::quantity::{
    AbsolutePressure, GAS_CONSTANT_J_MOL_K, HeatFluxDensity, HeatTransfer, Length, Power,
    TemperatureInterval, ThermodynamicTemperature, Velocity, kelvin, metres, metres_per_second,
    pascals_absolute, ratio, watts, watts_per_square_metre, watts_per_square_metre_kelvin,
};
use crate::tank::convection::{COEFFICIENT_BAND, cross_flow};
use std::f64::consts::{FRAC_PI_4, PI};

/// Tube of a vaporiser, m: outside diameter and bore. Our choice of a common stainless tube.
const OUTSIDE_M: f64 = 6e-3;
const BORE_M: f64 = 4e-3;
/// Wall above the boiling point; our choice.
const WALL_ABOVE_BOILING_K: f64 = 50.0;
/// Vapour before the old holes above its dew point; our choice.
const SUPERHEAT_K: f64 = 60.0;
/// Drop over a metering jet, Pa: a vaporiser needs no spray, so a larger hole at low pressure will do; our
/// choice.
const JET_DROP_PA: f64 = 1e5;
/// Prandtl number of flame gas.
const PRANDTL: f64 = 0.7;
/// Most tubes tried.
const MOST_TUBES: u32 = 8;

/// Vaporiser tubes for the largest duty.
#[derive(Debug, Clone)]
pub struct VaporiserPlan {
    /// Duty.
    pub duty: String,
    /// Boiling.
    pub volatility: Volatility,
    /// Number of tubes.
    pub number: u32,
    /// Outside diameter and bore of each.
    pub outside: Length,
    /// Bore.
    pub bore: Length,
    /// Heat that all take up.
    pub heat: Power,
    /// Gas they stand in, and its temperature; `None` where the flame is not known.
    pub gas: Option<(&'static str, ThermodynamicTemperature)>,
    /// Coefficient outside; `None` where the can's length or volume are not known.
    pub coefficient: Option<HeatTransfer>,
    /// Heat flux into the tube.
    pub flux: Option<HeatFluxDensity>,
    /// Length of each in the flame: best, least, most.
    pub length: Option<[Length; 3]>,
    /// Turns of each round the can at nine tenths of its diameter.
    pub turns: Option<f64>,
    /// Speed of the vapour at the end of a tube.
    pub vapour_velocity: Velocity,
    /// Metering jet of each: exact diameter and whether it can be made; or why not.
    pub jet: Result<(Length, Making), String>,
    /// Vapour through the old ring at the largest duty, or why not; `None` without known holes.
    pub through_ring: Option<Result<RingOnVapour, String>>,
}

/// Vapour of the new fuel through the old gas holes.
#[derive(Debug, Clone, PartialEq)]
pub struct RingOnVapour {
    /// Pressure before the holes.
    pub pressure: AbsolutePressure,
    /// Temperature of the vapour.
    pub temperature: ThermodynamicTemperature,
    /// Coldest ring that does not condense it.
    pub dew: ThermodynamicTemperature,
    /// Distance between both.
    pub superheat: TemperatureInterval,
    /// Fuel that stands in for the vapour.
    pub surrogate: Option<String>,
}

/// Works out vaporiser tubes.
///
/// `q = h (T_gas − T_wall)`, `h` of gas across a tube; the wall 50 K above boiling, radiation left out:
/// `L = Q/(n π D q)`.
///
/// **Valid:** clean tubes; soot and deposits lengthen them, radiation shortens them. **Source:**
/// `churchill1977` (±25 %), `white-viscous`.
///
/// # Errors
/// [`EosError`]: the fuel does not boil at chamber pressure within the data.
pub(super) fn vaporiser(feed: &Feed<'_>, boiling: &Boiling) -> Result<VaporiserPlan, EosError> {
    let (input, largest) = (feed.input, feed.largest);
    let chamber = largest.duty.now.chamber;
    let volatility = boiling.at(chamber, feed.liquid.temperature)?;
    let feed = &Feed {
        pressure: pascals_absolute(chamber.pascals() + JET_DROP_PA),
        ..*feed
    };
    let fuel_kg_s = largest.demand.fuel.value;
    let heat_w = fuel_kg_s * volatility.heat.value;
    let number = input.wishes.nozzles.unwrap_or_else(|| tubes(feed));
    let zone = zones(input, &largest).into_iter().next();
    let gas = zone.as_ref().map(|z| (z.name, z.gas));
    let wall_k = volatility.dry.value + WALL_ABOVE_BOILING_K;
    let coefficient = zone.as_ref().and_then(|z| {
        Some(outside_coefficient(
            z.velocity?.value,
            z.gas.value,
            wall_k,
            chamber,
        ))
    });
    let flux = coefficient
        .zip(gas)
        .map(|(h, (_, t))| h * (t.value - wall_k))
        .filter(|q| *q > 0.0);
    let each = |q: f64| heat_w / (f64::from(number) * PI * OUTSIDE_M * q);
    let length = flux.map(|q| {
        [
            q,
            q * (1.0 + COEFFICIENT_BAND),
            q * (1.0 - COEFFICIENT_BAND),
        ]
        .map(|q| metres(each(q)))
    });
    let round = can_diameter(input).map(|d| PI * 0.9 * d.value);
    let bore_m2 = FRAC_PI_4 * BORE_M * BORE_M;
    let vapour_m3_s = fuel_kg_s / volatility.vapour_density.value / f64::from(number);
    let jet = plain(feed, number)
        .map(|o| (o.exit, o.making))
        .map_err(|e| e.told().show(input.units));
    Ok(VaporiserPlan {
        duty: largest.duty.now.name.clone(),
        number,
        outside: metres(OUTSIDE_M),
        bore: metres(BORE_M),
        heat: watts(heat_w),
        gas,
        coefficient: coefficient.map(watts_per_square_metre_kelvin),
        flux: flux.map(watts_per_square_metre),
        turns: length.zip(round).map(|(l, r)| l[0].value / r),
        length,
        vapour_velocity: metres_per_second(vapour_m3_s / bore_m2),
        jet,
        through_ring: input
            .holes
            .map(|_| through_ring(input, &largest, boiling, &volatility)),
        volatility,
    })
}

/// Number of tubes: as many as leave jets that can be drilled, two at least.
fn tubes(feed: &Feed<'_>) -> u32 {
    let drilled = |n: &u32| plain(feed, *n).is_ok_and(|o| o.exit.value >= FINE_HOLE_M);
    (2..=MOST_TUBES).rev().find(drilled).unwrap_or(2)
}

/// Coefficient of gas across the tube, W/(m² K), gas properties those of air at the mean of gas and wall.
fn outside_coefficient(u_m_s: f64, gas_k: f64, wall_k: f64, p: AbsolutePressure) -> f64 {
    let t_k = 0.5 * (gas_k + wall_k);
    let rho = p.pascals() * crate::flow::air::DRY_AIR_KG_MOL / (GAS_CONSTANT_J_MOL_K * t_k);
    let re = rho * u_m_s * OUTSIDE_M / air_viscosity_pa_s(t_k);
    cross_flow(re, PRANDTL) * air_conductivity_w_m_k(t_k) / OUTSIDE_M
}

fn through_ring(
    input: &ConvertInput<'_>,
    largest: &Fed<'_>,
    boiling: &Boiling,
    volatility: &Volatility,
) -> Result<RingOnVapour, String> {
    let holes = input.holes.ok_or("the holes are not known")?;
    let chamber = largest.duty.now.chamber;
    let (vapour, surrogate) = boiling
        .vapour(chamber)
        .ok_or("no vapour model of the fuel reaches its boiling point")?;
    let t = kelvin(volatility.dry.value + SUPERHEAT_K);
    let found = size(&InjectorInput {
        fluid: vapour,
        supply_pressure: None,
        supply: Supply::Temperature(t),
        chamber,
        holes: Some(holes.number),
        diameter: Some(holes.diameter),
        flow: Some(largest.demand.fuel),
        make: input.make(),
        expansion: Expansion::Blend,
        phase: Some(FedAs::Gas),
    })
    .map_err(|e| e.told().show(input.units))?;
    let dew = vapour.dew_p(found.supply.pressure_pa);
    let dew_k = dew.map_err(|e| e.told().show(input.units))?.temperature_k;
    Ok(RingOnVapour {
        pressure: pascals_absolute(found.supply.pressure_pa),
        temperature: t,
        dew: kelvin(dew_k),
        superheat: crate::quantity::kelvin_difference(t.value - dew_k),
        surrogate: surrogate.map(str::to_owned),
    })
}

/// Share of the burner's heat that vaporising takes.
pub fn share(plan: &VaporiserPlan, fed: &Fed<'_>) -> crate::quantity::Ratio {
    ratio(plan.heat.value / fed.demand.heat_release.value)
}
