//! Pressure decay: the leak that a fall of pressure means, corrected for temperature, with its band.

use crate::quantity::{
    AbsolutePressure, GAS_CONSTANT_J_MOL_K, PressureDifference, TemperatureInterval,
    ThermodynamicTemperature, Time, Volume, VolumeRate, cubic_metres_per_second,
    pascals_difference,
};

/// Conditions at which leak rates are stated: 15 °C and one standard atmosphere.
const STATED_K: f64 = 288.15;
const STATED_PA: f64 = 101_325.0;

/// Gas that left a closed volume: `n = (V/R) (p₁/T₁ − p₂/T₂) / Δt`, as a volume at 15 °C and 101 325 Pa.
///
/// * `start`, `end` — absolute pressure and temperature of the gas
/// * `time` — between the two
///
/// **Valid:** ideal gas (nitrogen and air to a few tens of bar within 1 %), rigid volume at one
/// temperature. Negative where gas came in. **Source:** `cfr1065`.
///
/// ```
/// use fuelwright::leak::pressure_decay::leak_rate;
/// use fuelwright::quantity::{cubic_metres, kelvin, pascals_absolute, seconds};
/// let start = (pascals_absolute(4e5), kelvin(288.15));
/// let end = (pascals_absolute(3.99e5), kelvin(288.15));
/// let q = leak_rate(cubic_metres(1e-3), start, end, seconds(600.0));
/// assert!((q.value - 1e-3 * 1e3 / 101_325.0 / 600.0).abs() < 1e-15);
/// ```
pub fn leak_rate(
    volume: Volume,
    start: (AbsolutePressure, ThermodynamicTemperature),
    end: (AbsolutePressure, ThermodynamicTemperature),
    time: Time,
) -> VolumeRate {
    let of = |(p, t): (AbsolutePressure, ThermodynamicTemperature)| p.pascals() / t.value;
    let mol_s = volume.value / GAS_CONSTANT_J_MOL_K * (of(start) - of(end)) / time.value;
    cubic_metres_per_second(mol_s * GAS_CONSTANT_J_MOL_K * STATED_K / STATED_PA)
}

/// Fall of pressure at the starting temperature: `Δp = p₁ − p₂ T₁/T₂`.
///
/// **Valid:** as [`leak_rate`]. **Source:** `cfr1065`.
///
/// ```
/// use fuelwright::leak::pressure_decay::corrected_drop;
/// use fuelwright::quantity::{kelvin, pascals_absolute};
/// // one kelvin at 3 bar(a) looks like a leak of 10 mbar
/// let start = (pascals_absolute(3e5), kelvin(293.15));
/// let cooled = (pascals_absolute(3e5 * 292.15 / 293.15), kelvin(292.15));
/// assert!(corrected_drop(start, cooled).pascals().abs() < 1e-6);
/// ```
pub fn corrected_drop(
    start: (AbsolutePressure, ThermodynamicTemperature),
    end: (AbsolutePressure, ThermodynamicTemperature),
) -> PressureDifference {
    let (p1, t1) = (start.0.pascals(), start.1.value);
    let (p2, t2) = (end.0.pascals(), end.1.value);
    pascals_difference(p1 - p2 * t1 / t2)
}

/// Half-width of the band on a corrected fall: `√(r² + (p √2 u/T)²)`.
///
/// * `resolution` — smallest step of the gauge: each of two readings is off by half of it at most
/// * `u` — uncertainty of each of two temperature readings
///
/// **Valid:** errors of the two readings independent; drift and creep of the gauge are not in it.
/// **Source:** propagation of errors; no published formula.
pub fn drop_band(
    pressure: AbsolutePressure,
    temperature: ThermodynamicTemperature,
    resolution: PressureDifference,
    u: TemperatureInterval,
) -> PressureDifference {
    let thermal = pressure.pascals() * 2.0_f64.sqrt() * u.value / temperature.value;
    pascals_difference(resolution.pascals().hypot(thermal))
}

/// Fall that a leak makes in a time: `Δp = q p₀ T/T₀ Δt / V`.
///
/// **Valid:** as [`leak_rate`], small against the pressure. **Source:** `cfr1065`.
pub fn drop_of_leak(
    leak: VolumeRate,
    volume: Volume,
    temperature: ThermodynamicTemperature,
    time: Time,
) -> PressureDifference {
    pascals_difference(
        leak.value * STATED_PA * temperature.value / STATED_K * time.value / volume.value,
    )
}

/// Leak that makes a fall in a time, at 15 °C and 101 325 Pa.
///
/// **Valid:** as [`drop_of_leak`], whose inverse it is. **Source:** `cfr1065`.
pub fn leak_of_drop(
    drop: PressureDifference,
    volume: Volume,
    temperature: ThermodynamicTemperature,
    time: Time,
) -> VolumeRate {
    let per_m3 = STATED_PA * temperature.value / STATED_K;
    cubic_metres_per_second(drop.pascals() * volume.value / (per_m3 * time.value))
}
