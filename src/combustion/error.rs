//! Why a figure of combustion could not be had.

use crate::fuel::SourceKey;
use crate::quantity::sentence::{Sentence, Told, displayed, in_kelvin, sentence};
use crate::quantity::show::percent_hint;

/// Why a figure of combustion could not be had.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CombustionError {
    /// Nothing in it burns.
    DoesNotBurn {
        /// Fuel or blend.
        fuel: String,
    },
    /// Air would be mostly steam.
    WaterOutOfRange {
        /// As given.
        mole_fraction: f64,
    },
    /// Humidity formula does not hold there.
    HumidityOutOfRange {
        /// Temperature, K.
        t_k: f64,
        /// Relative humidity.
        relative_humidity: f64,
    },
    /// The fuel file has no heating value for that phase.
    NoHeatingValue {
        /// Component.
        fuel: String,
        /// `gas` or `liquid`.
        phase: &'static str,
    },
    /// The standard has no row for it.
    NotInIso6976 {
        /// Component.
        fuel: String,
        /// Heating value or summing factor.
        what: &'static str,
    },
    /// The standard's compressibility formula does not hold.
    TooNonIdeal {
        /// Gas.
        fuel: String,
        /// Compressibility by the formula.
        z: f64,
        /// Least allowed.
        limit: f64,
        /// The standard.
        source_key: SourceKey,
    },
    /// No flammability limit for a component.
    NoLimits {
        /// Component.
        fuel: String,
    },
}

impl Told for CombustionError {
    fn told(&self) -> Sentence {
        match self {
            Self::DoesNotBurn { fuel } => sentence!("`{}` does not burn", fuel),
            Self::WaterOutOfRange { mole_fraction } => sentence!(
                "{} is no mole fraction of water in air; it goes from 0 to 0.5",
                mole_fraction
            ),
            Self::HumidityOutOfRange {
                t_k,
                relative_humidity,
            } => sentence!(
                "no humid air at {} with relative humidity {}: temperatures go from {} to {}, humidity from 0 to 1{}",
                in_kelvin(*t_k),
                relative_humidity,
                in_kelvin(253.15),
                in_kelvin(333.15),
                &percent_hint(*relative_humidity, 1.0)
            ),
            Self::NoHeatingValue { fuel, phase } => sentence!(
                "there is no heating value of `{}` as {}: its file has no enthalpy of formation for it",
                fuel,
                phase
            ),
            Self::NotInIso6976 { fuel, what } => sentence!(
                "ISO 6976 has no {} for `{}`, so it gives no Wobbe index or volume-based heating value",
                what,
                fuel
            ),
            Self::TooNonIdeal {
                fuel,
                z,
                limit,
                source_key,
            } => sentence!(
                "compressibility {} of `{}` at 15 °C and 1 atm is below {}, where ISO 6976 ends [{}]",
                &format!("{z:.4}"),
                fuel,
                limit,
                source_key
            ),
            Self::NoLimits { fuel } => sentence!(
                "there is no flammability limit of `{}` in the library",
                fuel
            ),
        }
    }
}

displayed!(CombustionError);
