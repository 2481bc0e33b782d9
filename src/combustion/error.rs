//! Why a figure of combustion could not be had.

use crate::fuel::SourceKey;

/// Why a figure of combustion could not be had.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CombustionError {
    /// Nothing in it burns.
    #[error("`{fuel}` does not burn")]
    DoesNotBurn {
        /// Fuel or blend.
        fuel: String,
    },
    /// Air would be mostly steam.
    #[error("{mole_fraction} is no mole fraction of water in air; it goes from 0 to 0.5")]
    WaterOutOfRange {
        /// As given.
        mole_fraction: f64,
    },
    /// Humidity formula does not hold there.
    #[error(
        "no humid air at {t_k} K with relative humidity {relative_humidity}: temperatures go from 253.15 K to 333.15 K, humidity from 0 to 1"
    )]
    HumidityOutOfRange {
        /// Temperature, K.
        t_k: f64,
        /// Relative humidity.
        relative_humidity: f64,
    },
    /// The fuel file has no heating value for that phase.
    #[error(
        "there is no heating value of `{fuel}` as {phase}: its file has no enthalpy of formation for it"
    )]
    NoHeatingValue {
        /// Component.
        fuel: String,
        /// `gas` or `liquid`.
        phase: &'static str,
    },
    /// The standard has no row for it.
    #[error(
        "ISO 6976 has no {what} for `{fuel}`, so it gives no Wobbe index or volume-based heating value"
    )]
    NotInIso6976 {
        /// Component.
        fuel: String,
        /// Heating value or summing factor.
        what: &'static str,
    },
    /// The standard's compressibility formula does not hold.
    #[error(
        "compressibility {z:.4} of `{fuel}` at 15 °C and 1 atm is below {limit}, where ISO 6976 ends [{source_key}]"
    )]
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
    #[error("there is no flammability limit of `{fuel}` in the library")]
    NoLimits {
        /// Component.
        fuel: String,
    },
}
