//! A leak that burns: length of the jet flame, and where its radiation is how strong.

use super::surroundings::LeakHeat;
use super::{ExpandedJet, LeakFuel, Surroundings};
use crate::quantity::{
    HeatFluxDensity, Length, MassRate, Power, Ratio, metres, watts, watts_per_square_metre,
};
use std::f64::consts::PI;

/// Temperature of a flame of a hydrocarbon with just enough air, K; hydrogen's lies 5 % above. Our
/// choice: the length goes with about its fifth root.
const FLAME_K: f64 = 2270.0;
const GRAVITY_M_S2: f64 = 9.806_65;
/// Flame Froude number from which momentum rules, and the length then [delichatsios1993].
const MOMENTUM: (f64, f64) = (5.0, 23.0);
/// Relative half-width of the band on a length. Our choice: the scatter of measured flames round such laws.
pub const LENGTH_BAND: f64 = 0.25;

/// A published level of radiation and what it stands for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Threshold {
    /// Level, W/m².
    pub level_w_m2: f64,
    /// What it stands for.
    pub meaning: &'static str,
}

/// Levels of radiation, rising.
///
/// **Source:** `api521`.
pub const THRESHOLDS: [Threshold; 4] = [
    Threshold {
        level_w_m2: 1580.0,
        meaning: "people in working clothes may stay",
    },
    Threshold {
        level_w_m2: 4730.0,
        meaning: "brief emergency action in working clothes",
    },
    Threshold {
        level_w_m2: 6310.0,
        meaning: "very short: escape",
    },
    Threshold {
        level_w_m2: 9460.0,
        meaning: "nobody; structures",
    },
];

/// Distance from the middle of the flame to a level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RadiationDistance {
    /// The level.
    pub threshold: Threshold,
    /// Distance from the middle of the flame.
    pub from_flame: Length,
    /// Distance from the hole in the direction of the jet: half a flame length more, and not inside the
    /// flame.
    pub from_hole: Length,
    /// Least it may be, of the distance from the hole.
    pub low: Length,
    /// Most it may be.
    pub high: Length,
}

/// A jet flame.
#[derive(Debug, Clone, PartialEq)]
pub struct JetFire {
    /// Heat it sets free.
    pub heat: Power,
    /// Visible length.
    pub length: Length,
    /// Flame Froude number; above 5 momentum rules.
    pub froude: f64,
    /// Share of the heat that is radiated.
    pub radiant_fraction: Ratio,
    /// Distances to the levels, in the order of [`THRESHOLDS`].
    pub distances: Vec<RadiationDistance>,
}

impl JetFire {
    /// Radiation at a distance from the hole, to its side or behind it: the flame's middle may blow
    /// towards there, so half its length is taken off.
    pub fn radiation_at(&self, from_hole: Length) -> HeatFluxDensity {
        let r = (from_hole.value - 0.5 * self.length.value).max(0.5 * self.length.value);
        radiation(self.heat, self.radiant_fraction, metres(r))
    }
}

/// Visible length of a turbulent jet flame.
///
/// `L = L* d √(ρ/ρ_air)/f_s`, `L* = 13.5 Fr^(2/5)/(1 + 0.07 Fr²)^(1/5)`, 23 from `Fr = 5` on;
/// `Fr = u f_s^(3/2)/((ρ/ρ_air)^(1/4) √(ΔT/T_air g d))`, with `f_s` the mass fraction of fuel in a mixture
/// with just enough air. Returns length and Froude number.
///
/// **Valid:** turbulent, still air, upwards; scatter about a quarter. Small fast leaks often do not hold
/// a flame at all.
/// **Source:** `delichatsios1993`.
/// ```
/// use fuelwright::leak::fire::flame_length;
/// use fuelwright::quantity::{kelvin, kilograms_per_cubic_metre, metres, metres_per_second, ratio};
/// let air = kilograms_per_cubic_metre(1.1614);
/// let propane = kilograms_per_cubic_metre(1.854);
/// let (length, froude) = flame_length(
///     metres(6.17e-3), metres_per_second(66.0), propane, air, kelvin(300.0), ratio(15.57),
/// );
/// assert!((froude - 1.386).abs() < 0.01 && (length.value - 1.94).abs() < 0.02);
/// ```
pub fn flame_length(
    diameter: Length,
    velocity: crate::quantity::Velocity,
    density: crate::quantity::MassDensity,
    air_density: crate::quantity::MassDensity,
    air: crate::quantity::ThermodynamicTemperature,
    air_fuel_ratio: Ratio,
) -> (Length, f64) {
    let (d, u, t) = (diameter.value, velocity.value, air.value);
    let share = 1.0 / (1.0 + air_fuel_ratio.value);
    let rho = density.value / air_density.value;
    let rise = (FLAME_K - t) / t;
    let froude = u * share.powf(1.5) / (rho.powf(0.25) * (rise * GRAVITY_M_S2 * d).sqrt());
    let star = if froude >= MOMENTUM.0 {
        MOMENTUM.1
    } else {
        13.5 * froude.powf(0.4) / (1.0 + 0.07 * froude * froude).powf(0.2)
    };
    (metres(star * d * rho.sqrt() / share), froude)
}

/// Radiation of a point source: `q = χ Q/(4π R²)`.
///
/// **Valid:** more than about half a flame length from its middle; no absorption in the air.
/// **Source:** `nureg1805`.
/// ```
/// use fuelwright::leak::fire::radiation;
/// use fuelwright::quantity::{metres, ratio, watts};
/// let q = radiation(watts(771_520.0), ratio(0.3), metres(3.564));
/// assert!((q.value - 1450.0).abs() < 5.0);
/// ```
pub fn radiation(heat: Power, radiant_fraction: Ratio, distance: Length) -> HeatFluxDensity {
    watts_per_square_metre(
        radiant_fraction.value * heat.value / (4.0 * PI * distance.value.powi(2)),
    )
}

/// Distance from a point source to a level of radiation: `R = √(χ Q/(4π q))`.
///
/// **Source:** `nureg1805`.
pub fn radiation_distance(heat: Power, radiant_fraction: Ratio, level: HeatFluxDensity) -> Length {
    metres((radiant_fraction.value * heat.value / (4.0 * PI * level.value)).sqrt())
}

/// The flame of a release that has caught fire.
///
/// **Source:** as [`flame_length`], [`radiation`]; levels `api521`; share radiated
/// `radiant-fraction-memory`.
pub fn jet_fire(
    flow: MassRate,
    high: MassRate,
    jet: &ExpandedJet,
    heat: &LeakHeat,
    around: &Surroundings,
) -> JetFire {
    let (length, froude) = flame_length(
        jet.diameter,
        jet.velocity,
        jet.density,
        jet.air_density,
        around.temperature,
        heat.air_fuel_ratio,
    );
    let power = watts(flow.value * heat.lower_heating_value.value);
    let most = watts(high.value * heat.lower_heating_value.value);
    let chi = heat.radiant_fraction;
    let band = heat.radiant_band;
    let distances = THRESHOLDS
        .iter()
        .map(|threshold| {
            let level = watts_per_square_metre(threshold.level_w_m2);
            let from_flame = radiation_distance(power, chi, level);
            let least = radiation_distance(power, chi * f64::max(1.0 - band, 0.0), level);
            let farthest = radiation_distance(most, chi * (1.0 + band), level);
            let long = 1.0 + LENGTH_BAND;
            let from_hole = |r: Length, flame: Length| {
                let out = r + flame * 0.5;
                if out > flame { out } else { flame }
            };
            RadiationDistance {
                threshold: *threshold,
                from_flame,
                from_hole: from_hole(from_flame, length),
                low: from_hole(least, length * (1.0 - LENGTH_BAND)),
                high: from_hole(farthest, length * (long * (high.value / flow.value).sqrt())),
            }
        })
        .collect();
    JetFire {
        heat: power,
        length,
        froude,
        radiant_fraction: chi,
        distances,
    }
}

/// The flame of a jet of this fuel; `None` for what does not burn.
pub fn fire_of(
    flow: MassRate,
    high: MassRate,
    jet: &ExpandedJet,
    fuel: &LeakFuel,
    around: &Surroundings,
) -> Option<JetFire> {
    Some(jet_fire(flow, high, jet, fuel.heat.as_ref()?, around))
}
