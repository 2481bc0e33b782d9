//! What can be wrong with a tank or its run.

use crate::eos::EosError;

/// Why a question about a tank has no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TankError {
    /// A number outside its limits.
    #[error("{name} is {value} {unit}, outside {low} to {high} {unit}")]
    OutOfRange {
        /// What it is.
        name: &'static str,
        /// Given.
        value: f64,
        /// Lowest.
        low: f64,
        /// Highest.
        high: f64,
        /// Unit of all three.
        unit: &'static str,
    },
    /// The heat balance of the wall has no solution.
    #[error(
        "no wall temperature balances contents at {t_k:.2} K and surroundings at {ambient_k:.2} K"
    )]
    NoWallTemperature {
        /// Contents, K.
        t_k: f64,
        /// Surroundings, K.
        ambient_k: f64,
    },
    /// The properties could not be had.
    #[error(transparent)]
    Eos(#[from] EosError),
}

impl TankError {
    /// Refuses a number outside `low..=high`, or none.
    pub(crate) fn check(
        name: &'static str,
        value: f64,
        low: f64,
        high: f64,
        unit: &'static str,
    ) -> Result<(), Self> {
        if (low..=high).contains(&value) {
            Ok(())
        } else {
            Err(Self::OutOfRange {
                name,
                value,
                low,
                high,
                unit,
            })
        }
    }
}
