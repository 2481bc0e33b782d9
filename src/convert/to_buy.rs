//! What of a liquid plan is bought, in the units it is sold in: nozzles and how they are lit, pump, filter, gauge.

use super::feed::PumpPlan;
use super::input::ConvertInput;
use super::nozzle::{Feed, LEAST_SWIRL_DROP_PA, MESH_OVER_PASSAGE, swirl};
use crate::quantity::{
    AbsolutePressure, GaugePressure, Length, MassDensity, MassRate, PressureDifference, VolumeRate,
    cubic_metres_per_second, metres, pascals_absolute, pascals_difference,
};
use std::f64::consts::PI;

/// Pressure at which nozzles are stamped, Pa: 100 psi (7 bar). Common practice, no source.
pub const STAMPED_AT_PA: f64 = 689_475.7;
/// Density of the oil they are stamped with, kg/m³. Common practice, no source: from memory, light fuel oil.
pub const STAMPED_WITH_KG_M3: f64 = 840.0;
/// One US gallon an hour, m³/s (231 cubic inches, exact).
pub const US_GALLON_PER_HOUR_M3_S: f64 = 3.785_411_784e-3 / 3600.0;
/// Stamped sizes, US gal/h. Common practice, no source: from memory.
pub const STAMPED_SIZES: [f64; 27] = [
    0.40, 0.50, 0.60, 0.65, 0.75, 0.85, 1.00, 1.10, 1.20, 1.25, 1.35, 1.50, 1.65, 1.75, 2.00, 2.25,
    2.50, 2.75, 3.00, 3.50, 4.00, 4.50, 5.00, 5.50, 6.00, 7.00, 8.00,
];
/// Off the next stamped size, beyond which none fits: our choice.
const MOST_OFF: f64 = 0.15;
/// Most nozzles that a plan lights one after another; our choice.
const MOST_NOZZLES: u32 = 4;
/// Angle of the spray for a long can and for a short one, deg. Common practice, no source.
pub const CONES_DEG: [f64; 2] = [60.0, 80.0];
/// Length over width of a can from which it is long; our choice.
pub const LONG_CAN: f64 = 2.0;
/// Flow of a pump over that of the largest duty: what is left goes back to the tank. Our choice.
pub const PUMP_FLOW_MARGIN: f64 = 1.5;
/// Rating of a pump over the pressure it works at; our choice.
pub const PUMP_RATING_MARGIN: f64 = 1.25;
/// Tops of scales of gauges, bar. Common practice, no source: from memory.
const SCALES_BAR: [f64; 8] = [4.0, 6.0, 10.0, 16.0, 25.0, 40.0, 60.0, 100.0];
/// Share of the scale up to which a gauge is read. Common practice, no source.
const READ_UP_TO: f64 = 0.75;
/// Sieve numbers and openings, um. Common practice, no source: from memory, the usual sieve series.
const SIEVES: [(u32, f64); 10] = [
    (60, 250.0),
    (80, 180.0),
    (100, 150.0),
    (120, 125.0),
    (140, 106.0),
    (170, 90.0),
    (200, 75.0),
    (230, 63.0),
    (325, 45.0),
    (400, 38.0),
];

/// A duty, and the nozzles that burn for it.
#[derive(Debug, Clone, PartialEq)]
pub struct Lit {
    /// Duty.
    pub duty: String,
    /// Fuel flow of all.
    pub flow: MassRate,
    /// How many of the nozzles burn.
    pub nozzles: u32,
    /// Drop over each of them.
    pub drop: PressureDifference,
}

/// Nozzles to buy.
#[derive(Debug, Clone, PartialEq)]
pub struct NozzlesToBuy {
    /// How many, all equal.
    pub number: u32,
    /// Flow through each at the largest duty.
    pub each: MassRate,
    /// Drop over them there.
    pub drop: PressureDifference,
    /// Flow that each is stamped with: light oil at 100 psi (7 bar).
    pub stamped: VolumeRate,
    /// Next stamped size, US gal/h; `None`: none is near.
    pub size: Option<f64>,
    /// Angle of the spray, deg.
    pub cone_deg: f64,
    /// Where that cone meets the wall of the can; `None`: its size is not given.
    pub meets_wall: Option<Length>,
    /// Widest opening of the filter before them.
    pub mesh: Length,
    /// Duties, each with the fewest nozzles that pass its flow.
    pub duties: Vec<Lit>,
    /// Lowest drop of all duties if all burn at all of them.
    pub all_lit: PressureDifference,
    /// Not even lit one after another have they drop enough at every duty.
    pub spill_return: bool,
}

impl NozzlesToBuy {
    /// Sieve number and opening of the filter; `None`: finer than sieves are.
    pub fn sieve(&self) -> Option<(u32, Length)> {
        let sieves = SIEVES.iter();
        let fits = sieves.map(|(n, um)| (*n, metres(um * 1e-6)));
        fits.into_iter().find(|(_, d)| d.value <= self.mesh.value)
    }
}

/// The pump to buy.
#[derive(Debug, Clone, PartialEq)]
pub struct PumpToBuy {
    /// Flow, with margin.
    pub flow: VolumeRate,
    /// Pressure that it gives at that flow.
    pub outlet: AbsolutePressure,
    /// Pressure that it is made for at least, with margin.
    pub rating: GaugePressure,
    /// Top of the scale of a gauge behind it; `None`: higher than gauges go.
    pub scale: Option<GaugePressure>,
}

/// Flow that a nozzle is stamped with, of one that passes a mass flow of another liquid at another drop.
///
/// `V = ṁ √(p₀/Δp) / √(ρ ρ₀)`: through one nozzle the volume flow goes with the root of drop over density.
///
/// * `p₀`, `ρ₀` — 100 psi (7 bar) and 840 kg/m³, what nozzles are stamped with
///
/// **Valid:** thin liquids, whose viscosity changes no coefficient. **Source:** Bernoulli; the stamp is common
/// practice, no source.
///
/// ```
/// use fuelwright::convert::to_buy::{stamped_flow, US_GALLON_PER_HOUR_M3_S};
/// use fuelwright::quantity::{kilograms_per_cubic_metre, kilograms_per_second, pascals_difference};
/// let oil = kilograms_per_cubic_metre(840.0);
/// // 840 kg/m³ times 3.785412 L/h: what 1 US gal/h of that oil weighs
/// let flow = kilograms_per_second(840.0 * 3.785_412e-3 / 3600.0);
/// let stamped = stamped_flow(flow, oil, pascals_difference(689_475.7));
/// assert!((stamped.value / US_GALLON_PER_HOUR_M3_S - 1.0).abs() < 1e-6);
/// ```
pub fn stamped_flow(flow: MassRate, density: MassDensity, drop: PressureDifference) -> VolumeRate {
    let root = (STAMPED_AT_PA / drop.pascals()).sqrt();
    cubic_metres_per_second(flow.value * root / (density.value * STAMPED_WITH_KG_M3).sqrt())
}

/// The fewest equal pressure-swirl nozzles that, lit one after another, have a cone at every duty; as many as are
/// wished where a number is.
///
/// # Errors
/// Why no nozzle is sized.
pub(super) fn nozzles_to_buy(feed: &Feed<'_>) -> Result<NozzlesToBuy, String> {
    let wished = feed.input.wishes.nozzles;
    let numbers = wished.map_or(1..=MOST_NOZZLES, |n| n..=n);
    let sprays = |n: &u32| {
        let lit = lit(feed, *n);
        lit.iter().all(|l| l.drop.pascals() >= LEAST_SWIRL_DROP_PA)
    };
    let staged = numbers.clone().find(sprays);
    let number = staged.unwrap_or(*numbers.start());
    let option = swirl(feed, number).map_err(|e| e.to_string())?;
    let drop = pascals_difference(feed.drop_pa());
    let stamped = stamped_flow(option.each, feed.liquid.density, drop);
    let gallons = stamped.value / US_GALLON_PER_HOUR_M3_S;
    let off = |size: &f64| (size / gallons - 1.0).abs();
    let size = STAMPED_SIZES
        .into_iter()
        .min_by(|a, b| off(a).total_cmp(&off(b)))
        .filter(|size| off(size) <= MOST_OFF);
    let (cone_deg, width_m) = cone(feed.input);
    let lowest = feed.fed.iter().map(|f| feed.drop_at(f).pascals());
    Ok(NozzlesToBuy {
        number,
        each: option.each,
        drop,
        stamped,
        size,
        cone_deg,
        meets_wall: width_m.map(|d| metres(d / 2.0 / (cone_deg.to_radians() / 2.0).tan())),
        mesh: option.passage * MESH_OVER_PASSAGE,
        duties: lit(feed, number),
        all_lit: pascals_difference(lowest.fold(f64::INFINITY, f64::min)),
        spill_return: staged.is_none(),
    })
}

/// Every duty on the fewest of a number of nozzles that pass its flow without more drop than the largest duty has.
fn lit(feed: &Feed<'_>, number: u32) -> Vec<Lit> {
    let largest = feed.largest.demand.fuel.value;
    let duties = feed.fed.iter().map(|fed| {
        let flow = fed.demand.fuel;
        let share = flow.value / largest;
        // a hair over a whole number of nozzles is that number
        let passes = |n: &u32| f64::from(*n) / f64::from(number) >= share * (1.0 - 1e-9);
        let nozzles = (1..=number).find(passes).unwrap_or(number);
        let each = share * f64::from(number) / f64::from(nozzles);
        Lit {
            duty: fed.duty.now.name.clone(),
            flow,
            nozzles,
            drop: pascals_difference(feed.drop_pa() * each * each),
        }
    });
    duties.collect()
}

/// Angle of the spray for the can, and the can's width: that of a round one of its volume and length.
fn cone(input: &ConvertInput<'_>) -> (f64, Option<f64>) {
    let burner = &input.rig.burner;
    let [long, short] = CONES_DEG;
    let Some((volume, length)) = burner.can_volume.zip(burner.can_length) else {
        return (long, None);
    };
    let width_m = (4.0 * volume.value / (PI * length.value)).sqrt();
    let cone_deg = if length.value >= LONG_CAN * width_m {
        long
    } else {
        short
    };
    (cone_deg, Some(width_m))
}

/// The pump with its margins, and a gauge that shows its pressure.
pub(super) fn pump_to_buy(input: &ConvertInput<'_>, pump: &PumpPlan) -> PumpToBuy {
    let gauge = pump.outlet.gauge(input.rig.site.air_pressure).pascals();
    let bar = |pa: f64| pa / 1e5;
    let scale = SCALES_BAR
        .into_iter()
        .find(|top| READ_UP_TO * top >= bar(gauge));
    PumpToBuy {
        flow: pump.flow * PUMP_FLOW_MARGIN,
        outlet: pascals_absolute(pump.outlet.pascals()),
        rating: GaugePressure::from_pascals(gauge * PUMP_RATING_MARGIN),
        scale: scale.map(|bar| GaugePressure::from_pascals(bar * 1e5)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{kilograms_per_cubic_metre, kilograms_per_second};

    /// By hand: 3.6 kg/h is 1.0 g/s. Of a liquid of 800 kg/m³ at 10 bar, in oil of 840 kg/m³ at 100 psi:
    /// 1.0e-3 x root(0.6894757) / root(800 x 840) = 1.0e-3 x 0.830347 / 819.756 = 1.01292e-6 m³/s = 3.6465 L/h,
    /// and over 3.785412 L/gal 0.9633 US gal/h.
    #[test]
    fn a_nozzle_is_named_by_what_it_passes_of_oil_at_100_psi() {
        let stamped = stamped_flow(
            kilograms_per_second(1.0e-3),
            kilograms_per_cubic_metre(800.0),
            pascals_difference(10.0e5),
        );
        let gallons = stamped.value / US_GALLON_PER_HOUR_M3_S;
        assert!((gallons - 0.9633).abs() < 1e-4, "{gallons}");
    }
}
