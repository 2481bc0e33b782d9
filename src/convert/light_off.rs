//! Light-off: flash point against the air, what stands over the fuel in its tank, cold viscosity.

use super::demand::Fed;
use super::input::ConvertInput;
use super::liquid::{LiquidAt, liquid_at, liquid_state};
use crate::combustion::Flammability;
use crate::combustion::flammability::blended_flash_points;
use crate::eos::EosError;
use crate::quantity::{
    Power, Ratio, TemperatureInterval, ThermodynamicTemperature, kelvin, kelvin_difference, ratio,
    watts,
};

/// Highest kinematic viscosity for small gear pumps and pressure-swirl nozzles, m²/s: 12 mm²/s is what
/// starting on cold fuel is commonly held to. Common practice, no source.
pub const COLD_VISCOSITY_M2_S: f64 = 12e-6;
/// Fuel is warmed this far above its flash point for a light-off in its vapour; our choice.
pub const ABOVE_FLASH_K: f64 = 10.0;

/// A flash point by one standard.
#[derive(Debug, Clone, PartialEq)]
pub struct FlashPoint {
    /// Component.
    pub fuel: String,
    /// Flash point, closed cup.
    pub temperature: ThermodynamicTemperature,
    /// Key of its source.
    pub source: String,
}

/// What stands over the liquid in a vented tank.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ullage {
    /// Too little vapour to burn.
    Lean,
    /// Burns.
    Flammable,
    /// Too much vapour to burn.
    Rich,
}

impl Ullage {
    /// Word for tables.
    pub fn name(self) -> &'static str {
        match self {
            Self::Lean => "too lean to burn",
            Self::Flammable => "burns",
            Self::Rich => "too rich to burn",
        }
    }
}

/// The fuel standing at one temperature.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// What the row is.
    pub when: &'static str,
    /// Temperature.
    pub temperature: ThermodynamicTemperature,
    /// Temperature less the lowest flash point.
    pub above_flash: Option<TemperatureInterval>,
    /// Vapour in the air over it.
    pub vapour: Result<Ratio, EosError>,
    /// Whether that burns.
    pub ullage: Option<Ullage>,
    /// The liquid.
    pub liquid: Result<LiquidAt, EosError>,
}

/// Light-off.
#[derive(Debug, Clone, PartialEq)]
pub struct LightOff {
    /// Flash points by source.
    pub flash_points: Vec<FlashPoint>,
    /// Lowest auto-ignition temperature.
    pub autoignition: Option<ThermodynamicTemperature>,
    /// The fuel on the coldest day, the test day and the hottest.
    pub standing: Vec<Standing>,
    /// Heat that brings the smallest duty's fuel from the coldest day to above its highest flash point.
    pub preheat: Option<Power>,
}

impl LightOff {
    /// Lowest flash point.
    pub fn lowest(&self) -> Option<ThermodynamicTemperature> {
        let all = self.flash_points.iter().map(|f| f.temperature);
        all.min_by(|a, b| a.value.total_cmp(&b.value))
    }
    /// Highest flash point: it decides whether vapour lights.
    pub fn highest(&self) -> Option<ThermodynamicTemperature> {
        let all = self.flash_points.iter().map(|f| f.temperature);
        all.max_by(|a, b| a.value.total_cmp(&b.value))
    }
}

/// Light-off of the new fuel.
///
/// Vapour over the liquid is at its vapour pressure: `y = p_v/p_air`, held against the lower and upper limit.
///
/// **Source:** of the limits and flash points: their standards.
pub(super) fn light_off(input: &ConvertInput<'_>, smallest: &Fed<'_>) -> LightOff {
    let parts = input.to.composition().parts();
    let mut flash_points = Vec::new();
    let mut autoignition: Option<f64> = None;
    for part in parts {
        for limits in part.fuel.safety.iter().flat_map(|s| &s.limits) {
            if let Some(t_k) = limits.flash_point_k {
                flash_points.push(FlashPoint {
                    fuel: part.fuel.name.clone(),
                    temperature: kelvin(t_k),
                    source: limits.source.clone(),
                });
            }
            if let Some(t_k) = limits.autoignition_k {
                autoignition = Some(autoignition.map_or(t_k, |old| old.min(t_k)));
            }
        }
    }
    // the parts of a blend of liquids flash together
    if let Some(both) = blended_flash_points(input.to.composition()) {
        flash_points = both
            .map(|temperature| FlashPoint {
                fuel: input.to.composition().label().to_owned(),
                temperature,
                source: "liaw2002".to_owned(),
            })
            .to_vec();
    }
    let (coldest, hottest) = input.extremes();
    let mut found = LightOff {
        flash_points,
        autoignition: autoignition.map(kelvin),
        standing: Vec::new(),
        preheat: None,
    };
    let limits = Flammability::of(input.to.composition()).ok();
    for (when, t) in [
        ("coldest day", coldest),
        ("test day", input.day()),
        ("hottest day", hottest),
    ] {
        found
            .standing
            .push(standing(input, when, t, found.lowest(), limits.as_ref()));
    }
    found.preheat = found
        .highest()
        .and_then(|flash| preheat(input, smallest, coldest, flash));
    found
}

fn standing(
    input: &ConvertInput<'_>,
    when: &'static str,
    t: ThermodynamicTemperature,
    flash: Option<ThermodynamicTemperature>,
    limits: Option<&Flammability>,
) -> Standing {
    let air = input.rig.site.air_pressure;
    let vapour = input
        .to
        .bubble_t(t.value)
        .map(|e| ratio((e.pressure_pa / air.pascals()).min(1.0)));
    let ullage = vapour.as_ref().ok().zip(limits).map(|(y, limits)| {
        if y.value < limits.lower.value {
            Ullage::Lean
        } else if limits.upper.is_some_and(|upper| y.value > upper.value) {
            Ullage::Rich
        } else {
            Ullage::Flammable
        }
    });
    Standing {
        when,
        temperature: t,
        above_flash: flash.map(|f| kelvin_difference(t.value - f.value)),
        vapour,
        ullage,
        liquid: liquid_at(input.to, air, t),
    }
}

fn preheat(
    input: &ConvertInput<'_>,
    smallest: &Fed<'_>,
    coldest: ThermodynamicTemperature,
    flash: ThermodynamicTemperature,
) -> Option<Power> {
    let air = input.rig.site.air_pressure;
    let warm_k = flash.value + ABOVE_FLASH_K;
    if warm_k <= coldest.value {
        return None;
    }
    let cold = liquid_state(input.to, air, coldest).ok()?;
    let warm = liquid_state(input.to, air, kelvin(warm_k)).ok()?;
    let rise_j_kg = warm.enthalpy_j_kg - cold.enthalpy_j_kg;
    Some(watts(smallest.demand.fuel.value * rise_j_kg))
}
