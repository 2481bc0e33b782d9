//! How full a tank is, against what it may hold.

use super::filling::{
    Installation, WATER_60F_KG_M3, filling_density, limit_by_volume, limit_by_weight,
    liquid_full_temperature, liquid_share, specific_gravity,
};
use crate::eos::Backend;
use crate::quantity::{
    Mass, Ratio, ThermodynamicTemperature, Volume, kelvin, kilograms, kilograms_per_cubic_metre,
    ratio,
};

/// Temperature at which a filling by volume is judged, K: 15 °C. Common practice.
pub const FILLING_REFERENCE_K: f64 = 288.15;
/// Share of the volume that liquid may fill there. Common practice, no source.
pub const FILLING_SHARE: f64 = 0.80;
/// What a filling scale may be off by, relative. Common practice, no source.
const SCALE: f64 = 0.01;
/// Largest container above ground of the small kind in the filling table, m³.
const SMALL_CONTAINER_M3: f64 = 4.54;

/// How full a cylinder is.
#[derive(Debug, Clone, PartialEq)]
pub struct FillingCheck {
    /// Mass in it.
    pub mass: Mass,
    /// Share of the volume that is liquid at the reference temperature; `None`: gas alone.
    pub share: Result<Option<Ratio>, String>,
    /// Most mass with the usual share of liquid at the reference temperature.
    pub limit_by_volume: Result<Mass, String>,
    /// Most mass by the table of filling densities.
    pub limit_by_weight: Result<Mass, String>,
    /// Temperature at which the charge fills the cylinder; `None`: it never does.
    pub liquid_full: Option<ThermodynamicTemperature>,
}

/// Where a limit of the filling comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FillingLimit {
    /// The usual share of the volume at the reference temperature.
    ByVolume,
    /// The table of filling densities.
    ByWeight,
}

impl FillingCheck {
    /// The limit: by weight, as cylinders are filled, where the table has the fuel; else by volume.
    pub fn limit(&self) -> Option<(Mass, FillingLimit)> {
        let by_weight = self.limit_by_weight.as_ref().ok();
        let by_volume = self.limit_by_volume.as_ref().ok();
        by_weight
            .map(|limit| (*limit, FillingLimit::ByWeight))
            .or(by_volume.map(|limit| (*limit, FillingLimit::ByVolume)))
    }

    /// The limit, where the tank holds more than a filling scale may be off by.
    pub fn above_limit(&self) -> Option<(Mass, FillingLimit)> {
        self.limit()
            .filter(|(limit, _)| self.mass.value > (1.0 + SCALE) * limit.value)
    }
}

/// Holds a charge against the usual limits: liquid on 80 % of the volume at 15 °C, and the table of filling
/// densities for a container above ground where the fuel is in it.
///
/// **Valid:** fuels that are liquefied at 15 °C; for others both limits say why there is none.
/// **Source:** `wac296307` for the table; the share is common practice, no source.
pub fn filling_check(fluid: &dyn Backend, volume: Volume, mass: Mass) -> FillingCheck {
    let reference = kelvin(FILLING_REFERENCE_K);
    let installation = if volume.value > SMALL_CONTAINER_M3 {
        Installation::AboveGroundLarge
    } else {
        Installation::AboveGroundSmall
    };
    let by_weight = specific_gravity(fluid)
        .and_then(|sg| filling_density(sg, installation))
        .map(|density| limit_by_weight(kilograms(volume.value * WATER_60F_KG_M3), density));
    let density = kilograms_per_cubic_metre(mass.value / volume.value);
    FillingCheck {
        mass,
        share: liquid_share(fluid, mass, volume, reference).map_err(|e| e.to_string()),
        limit_by_volume: limit_by_volume(fluid, volume, ratio(FILLING_SHARE), reference)
            .map_err(|e| e.to_string()),
        limit_by_weight: by_weight.map_err(|e| e.to_string()),
        liquid_full: liquid_full_temperature(fluid, density).ok(),
    }
}
