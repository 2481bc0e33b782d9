//! What a leak test of one zone needs.

use super::zones::Zone;
use crate::quantity::{
    AbsolutePressure, MassRate, PressureDifference, Time, Volume, VolumeRate, pascals_absolute,
};

/// Test pressure over working pressure, both gauge: International Fuel Gas Code 2015, 406.4.1, as quoted in public.
pub const FACTOR: f64 = 1.5;
/// Lowest test pressure, gauge, Pa: the same code, 3 psi.
pub const LEAST_PA: f64 = 20_700.0;

/// What a test of one zone needs.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneTest {
    /// What is tested together.
    pub zone: Zone,
    /// Highest pressure with the flow stopped, on the hottest day where the site gives one.
    pub working: AbsolutePressure,
    /// Pressure that soap has to stand under: that of a cylinder on the coldest day; elsewhere `SOAPED` of the pressure
    /// at rest, by gauge.
    pub soap_least: AbsolutePressure,
    /// Test pressure; `None`: the weakest part does not stand the working pressure.
    pub pressure: Option<AbsolutePressure>,
    /// The weakest part keeps the test pressure below what the factor asks.
    pub limited: bool,
    /// What is closed, blanked off, taken out or held open first, in sentences.
    pub first: Vec<String>,
    /// The sums of the hold; `None` without a test pressure or a known volume.
    pub hold: Option<Hold>,
}

/// How long, and what it shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hold {
    /// Volume counted with.
    pub volume: Volume,
    /// Leak accepted, at 15 °C and 101 325 Pa.
    pub accepted: VolumeRate,
    /// How long.
    pub time: Time,
    /// The longest hold does not tell the accepted leak from the band.
    pub too_long: bool,
    /// Fall accepted in that time, corrected for temperature.
    pub drop: PressureDifference,
    /// Step of the gauge counted with.
    pub resolution: PressureDifference,
    /// Band on the corrected fall.
    pub band: PressureDifference,
    /// Smallest leak that gauge, thermometer and time can see.
    pub smallest: VolumeRate,
    /// Fuel that the accepted leak passes at working pressure, as gas.
    pub fuel: Option<MassRate>,
}

/// Test pressure of what works at a pressure: no higher than its weakest part stands. `None`: that does not even stand the
/// work.
pub(super) fn test_pressure(
    air: AbsolutePressure,
    working: AbsolutePressure,
    weakest: Option<AbsolutePressure>,
) -> Option<AbsolutePressure> {
    let gauge_pa = working.pascals() - air.pascals();
    let wanted_pa = (FACTOR * gauge_pa).max(LEAST_PA) + air.pascals();
    let rating_pa = weakest.map_or(f64::INFINITY, AbsolutePressure::pascals);
    (rating_pa >= working.pascals()).then(|| pascals_absolute(wanted_pa.min(rating_pa)))
}
