//! Life of the drops against the time they have in the can.

use super::demand::Fed;
use super::input::ConvertInput;
use super::liquid::LiquidAt;
use super::nozzle::NozzleOption;
use super::volatility::{Boiling, Volatility};
use crate::flow::evaporation::{EvaporationConstant, transfer_number, typical_burning_constant};
use crate::quantity::sentence::Told;
use crate::quantity::{
    Area, Length, MassDensity, MassRate, Power, Ratio, ThermodynamicTemperature, Time, Velocity,
    kelvin_difference, kilograms_per_second, metres, metres_per_second, ratio, seconds,
    square_metres, watts,
};
use std::f64::consts::FRAC_PI_4;

/// Share of the can that the primary zone takes where the rig file does not give it; our choice.
pub const ASSUMED_PRIMARY_SHARE: f64 = 1.0 / 3.0;
/// Exponent of the spread of drop sizes; our choice, usual sprays lie between 2 and 4.
const SPREAD: f64 = 3.0;
/// Γ(1 − 1/3): characteristic over Sauter mean diameter at that exponent.
const CHARACTERISTIC_OVER_MEAN: f64 = 1.354_117_939_426_4;
/// Slices of the spray in the sum over its drops.
const SLICES: u32 = 400;
/// Relative half-width of the band on the evaporation constant (from memory).
pub const CONSTANT_BAND: f64 = 0.3;

/// A place the drops fly through.
#[derive(Debug, Clone, PartialEq)]
pub struct Zone {
    /// Name.
    pub name: &'static str,
    /// Temperature of its gas.
    pub gas: ThermodynamicTemperature,
    /// Time that the gas stays; `None` where the can's volume is not known.
    pub residence: Option<Time>,
    /// Velocity of the gas; `None` where length or volume are not known.
    pub velocity: Option<Velocity>,
}

/// Drops in one zone at one duty.
#[derive(Debug, Clone, PartialEq)]
pub struct InZone {
    /// The zone.
    pub zone: Zone,
    /// Transfer number.
    pub transfer_number: Ratio,
    /// Constant of the d-squared law.
    pub constant: EvaporationConstant,
    /// Life of a drop of the mean size.
    pub mean_life: Time,
    /// Life with the smallest and largest mean of the correlations, and the band of the constant.
    pub life_band: (Time, Time),
    /// Life of a drop that a tenth of the fuel exceeds.
    pub large_life: Time,
    /// Length that the mean drop needs.
    pub mean_length: Option<Length>,
    /// Length that the large drop needs.
    pub large_length: Option<Length>,
    /// Largest drop that is gone by the end of the zone, with what the zones before it took.
    pub largest_gone: Option<Length>,
    /// Share of the fuel still liquid at the end of the zone.
    pub liquid_left: Option<Ratio>,
}

/// Evaporation at one duty.
#[derive(Debug, Clone, PartialEq)]
pub struct DutyEvaporation {
    /// Duty.
    pub duty: String,
    /// Mean size of its drops.
    pub mean: Length,
    /// Size that a tenth of the fuel exceeds.
    pub large: Length,
    /// Heat to warm and vaporise the fuel.
    pub heat: Power,
    /// The same over the heat set free.
    pub share: Ratio,
    /// Every zone, or why the sum fails there.
    pub zones: Vec<Result<InZone, String>>,
}

/// A size that a tenth of a spray's volume exceeds, over its Sauter mean:
/// `Γ(1 − 1/q) (ln 10)^(1/q)`, `q` = 3.
///
/// **Source:** `rosin-rammler-1933`.
pub fn large_over_mean() -> f64 {
    CHARACTERISTIC_OVER_MEAN * std::f64::consts::LN_10.powf(1.0 / SPREAD)
}

/// Share of a spray's mass still liquid: the d-squared law summed over a Rosin-Rammler spread.
///
/// `Σ (1 − K t/d²)^1.5` over equal shares of volume, `d = X (−ln(1 − v))^(1/3)`, `X = SMD Γ(2/3)`.
///
/// * `lost` — `K t`, what the square of every diameter has lost, m²; over several zones the sum of theirs
///
/// **Valid:** drops apart from each other. **Source:** `rosin-rammler-1933`, `turns`.
///
/// ```
/// use fuelwright::convert::evaporation::liquid_left;
/// use fuelwright::quantity::{metres, square_metres};
/// assert!((liquid_left(metres(50e-6), square_metres(0.0)) - 1.0).abs() < 1e-9);
/// assert!(liquid_left(metres(50e-6), square_metres(0.5e-6 * 0.1)) < 1e-6);
/// ```
pub fn liquid_left(mean: Length, lost: Area) -> f64 {
    let characteristic_m = CHARACTERISTIC_OVER_MEAN * mean.value;
    let gone_m2 = lost.value.max(0.0);
    let sum: f64 = (0..SLICES)
        .map(|i| {
            let v = (f64::from(i) + 0.5) / f64::from(SLICES);
            let d_m = characteristic_m * (-(1.0 - v).ln()).powf(1.0 / SPREAD);
            (1.0 - gone_m2 / (d_m * d_m)).max(0.0).powf(1.5)
        })
        .sum();
    sum / f64::from(SLICES)
}

/// Area of the can, m².
fn can_area_m2(input: &ConvertInput<'_>) -> Option<f64> {
    let burner = &input.rig.burner;
    Some(burner.can_volume?.value / burner.can_length?.value)
}

/// Inside diameter of the can.
pub(super) fn can_diameter(input: &ConvertInput<'_>) -> Option<Length> {
    Some(metres((can_area_m2(input)? / FRAC_PI_4).sqrt()))
}

fn zone(
    input: &ConvertInput<'_>,
    name: &'static str,
    gas: (ThermodynamicTemperature, MassDensity),
    flow: MassRate,
    volume_m3: Option<f64>,
) -> Zone {
    let passed_m3_s = flow.value / gas.1.value;
    Zone {
        name,
        gas: gas.0,
        residence: volume_m3.map(|v| seconds(v / passed_m3_s)),
        velocity: can_area_m2(input).map(|a| metres_per_second(passed_m3_s / a)),
    }
}

/// Zones of a duty, one behind the other: the primary zone where the rig gives its share of air, then the rest
/// of the can with all of the gas at exit temperature.
pub(super) fn zones(input: &ConvertInput<'_>, fed: &Fed<'_>) -> Vec<Zone> {
    let burner = &input.rig.burner;
    let (air, fuel) = (fed.demand.air.value, fed.demand.fuel.value);
    let can_m3 = burner.can_volume.map(|v| v.value);
    let mut rest_m3 = can_m3;
    let mut found = Vec::new();
    if let (Some(share), Some(Ok(flame))) = (burner.primary_air_share, &fed.duty.primary) {
        let primary_m3 = burner
            .primary_volume
            .map(|v| v.value)
            .or(can_m3.map(|v| ASSUMED_PRIMARY_SHARE * v));
        rest_m3 = can_m3.zip(primary_m3).map(|(can, p)| (can - p).max(0.0));
        let flow = kilograms_per_second(share.value * air + fuel);
        let gas = (flame.temperature, flame.density());
        found.push(zone(input, "primary zone", gas, flow, primary_m3));
    }
    if let Ok(flame) = &fed.duty.exit {
        let name = if found.is_empty() {
            "can"
        } else {
            "rest of can"
        };
        let flow = kilograms_per_second(air + fuel);
        let gas = (flame.temperature, flame.density());
        found.push(zone(input, name, gas, flow, rest_m3));
    }
    found
}

/// Evaporation of a nozzle's drops at every duty that has them.
pub(super) fn evaporation(
    input: &ConvertInput<'_>,
    fed: &[Fed<'_>],
    nozzle: &NozzleOption,
    boiling: &Boiling,
    liquid: &LiquidAt,
) -> Vec<Result<DutyEvaporation, String>> {
    fed.iter()
        .map(|f| {
            let name = &f.duty.now.name;
            at_duty(input, f, nozzle, boiling, liquid).map_err(|e| format!("{name}: {e}"))
        })
        .collect()
}

fn at_duty(
    input: &ConvertInput<'_>,
    fed: &Fed<'_>,
    nozzle: &NozzleOption,
    boiling: &Boiling,
    liquid: &LiquidAt,
) -> Result<DutyEvaporation, String> {
    let name = &fed.duty.now.name;
    let volatility = boiling
        .at(fed.duty.now.chamber, liquid.temperature)
        .map_err(|e| e.told().show(input.units))?;
    let heat_w = fed.demand.fuel.value * volatility.heat.value;
    let drops = nozzle.at(name).ok_or("the nozzle has no such duty")?;
    let sizes = drops.sizes.as_ref().map_err(ToString::to_string)?;
    let large = sizes.mean * large_over_mean();
    let mut lost = Some(0.0);
    let zones = zones(input, fed)
        .into_iter()
        .map(|zone| in_zone(zone, boiling, &volatility, sizes, large, &mut lost))
        .collect();
    Ok(DutyEvaporation {
        duty: name.clone(),
        mean: sizes.mean,
        large,
        heat: watts(heat_w),
        share: ratio(heat_w / fed.demand.heat_release.value),
        zones,
    })
}

/// Transfer number and constant of the d-squared law for drops of a fuel in gas of a temperature.
///
/// **Valid:** as [`EvaporationConstant::new`]. **Source:** `turns`, `godsave1953`, `law-williams-1972`.
///
/// # Errors
/// Why there is none, in words.
pub fn constant_in(
    boiling: &Boiling,
    volatility: &Volatility,
    gas: ThermodynamicTemperature,
) -> Result<(Ratio, EvaporationConstant), String> {
    let vapour = boiling.film().map_err(|e| e.to_string())?;
    let film = vapour.film(volatility.boiling, gas, volatility.boiling_density);
    let film = film.map_err(|e| e.to_string())?;
    let superheat = kelvin_difference(gas.value - volatility.boiling.value);
    let b = transfer_number(film.heat_capacity, superheat, volatility.heat);
    let b = b.map_err(|e| e.to_string())?;
    let constant = EvaporationConstant::new(&film, b).map_err(|e| e.to_string())?;
    Ok((b, constant))
}

fn in_zone(
    zone: Zone,
    boiling: &Boiling,
    volatility: &Volatility,
    sizes: &crate::flow::atomize::DropSizes,
    large: Length,
    lost_m2: &mut Option<f64>,
) -> Result<InZone, String> {
    let text = |e: &dyn std::fmt::Display| format!("{}: {e}", zone.name);
    let (b, constant) = constant_in(boiling, volatility, zone.gas).map_err(|e| text(&e))?;
    let life = |d: Length| constant.lifetime(d).map_err(|e| text(&e));
    let length = |t: Time| zone.velocity.map(|u| metres(u.value * t.value));
    let (mean_life, large_life) = (life(sizes.mean)?, life(large)?);
    let (low, high) = (life(sizes.low)?, life(sizes.high)?);
    let k_m2_s = constant.square_metres_per_second();
    *lost_m2 = lost_m2
        .zip(zone.residence)
        .map(|(before, stay)| before + k_m2_s * stay.value);
    Ok(InZone {
        transfer_number: b,
        constant,
        mean_life,
        life_band: (
            seconds(low.value / (1.0 + CONSTANT_BAND)),
            seconds(high.value / (1.0 - CONSTANT_BAND)),
        ),
        large_life,
        mean_length: length(mean_life),
        large_length: length(large_life),
        largest_gone: lost_m2.map(|a| metres(a.sqrt())),
        liquid_left: lost_m2.map(|a| ratio(liquid_left(sizes.mean, square_metres(a)))),
        zone,
    })
}

/// Measured burning constant of single drops of the fuel, as a second opinion; `None` for a fuel not listed.
pub fn second_opinion(input: &ConvertInput<'_>) -> Option<EvaporationConstant> {
    typical_burning_constant(input.to.composition().label())
}

#[cfg(test)]
mod tests {
    use super::*;

    // Rosin-Rammler with exponent 3: D90/D32 = Γ(2/3) (ln 10)^(1/3) (textbook identity; Γ(2/3) = 1.354118,
    // Abramowitz and Stegun table 6.1, from memory)
    #[test]
    fn a_tenth_of_the_fuel_is_in_drops_of_nearly_twice_the_mean() {
        assert!((large_over_mean() - 1.788).abs() < 1e-3);
    }

    fn lost(k: EvaporationConstant, t: Time) -> Area {
        square_metres(k.square_metres_per_second() * t.value)
    }

    // By hand: of drops all alike the d-squared law leaves (1 - t/life)^1.5; a spread about that mean leaves
    // more late and less early, and never more than at the start.
    #[test]
    fn a_spray_is_gone_later_than_its_mean_drop() {
        let k = EvaporationConstant::measured(1e-6).expect("positive");
        let mean = metres(60e-6);
        let life = k.lifetime(mean).expect("positive");
        let mut before = 1.0 + 1e-12;
        for share in [0.0, 0.25, 0.5, 1.0, 2.0, 4.0] {
            let left = liquid_left(mean, lost(k, life * share));
            assert!(left <= before && left >= 0.0, "{share}: {left}");
            before = left;
        }
        assert!(liquid_left(mean, lost(k, life)) > 0.05);
        assert!(liquid_left(mean, lost(k, life * 4.0)) < 0.01);
    }
}
