//! Why a figure of combustion could not be had.

use crate::fuel::SourceKey;
use crate::quantity::sentence::{Sentence, in_kelvin};
use crate::quantity::show::{number, percent_hint};
use crate::quantity::told::errors;

errors! {
    /// Why a figure of combustion could not be had.
    pub enum CombustionError {
        DoesNotBurn { fuel: String } => "`{}` does not burn", fuel;
        NeedsNoAir { fuel: String } =>
            "`{}` holds all the oxygen it burns with: what needs no air can burn and explode in the pipe, and is not a fuel for a burner; take less air or oxygen into it", fuel;
        NotFlammable { fuel: String, why: Sentence } =>
            "`{}` is not flammable in air: {}", fuel, why;
        WaterOutOfRange { mole_fraction: f64 } =>
            "{} is no mole fraction of water in air; it goes from 0 to 0.5", mole_fraction;
        HumidityOutOfRange { t_k: f64, relative_humidity: f64 } =>
            "no humid air at {} with relative humidity {}: temperatures go from {} to {}, humidity from 0 to 1{}",
            in_kelvin(t_k), relative_humidity, in_kelvin(253.15), in_kelvin(333.15),
            percent_hint(relative_humidity, 1.0);
        NoHeatingValue { fuel: String, phase: &'static str } =>
            "there is no heating value of `{}` as {}: its file has no enthalpy of formation for it",
            fuel, phase;
        NotInIso6976 { fuel: String, what: &'static str } =>
            "ISO 6976 has no {} for `{}`, so it gives no Wobbe index or volume-based heating value",
            what, fuel;
        TooNonIdeal { fuel: String, z: f64, limit: f64, source_key: SourceKey } =>
            "compressibility {} of `{}` at 15 °C and 1 atm is below {}, where ISO 6976 ends [{}]",
            number(z), fuel, limit, source_key;
        NoLimits { fuel: String } => "there is no flammability limit of `{}` in the library", fuel;
    }
}
