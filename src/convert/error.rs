//! Why a switch could not be planned.

use crate::combustion::CombustionError;
use crate::eos::EosError;

/// Why a switch could not be planned.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ConvertError {
    /// Burning.
    #[error(transparent)]
    Combustion(#[from] CombustionError),
    /// A property.
    #[error(transparent)]
    Eos(#[from] EosError),
    /// No duty has a flow of the new fuel.
    #[error("no duty can be run on {fuel}: {why}")]
    NoDuty {
        /// New fuel.
        fuel: String,
        /// Reason of the first.
        why: String,
    },
    /// The new fuel is the old one.
    #[error("the rig runs on {fuel} already")]
    SameFuel {
        /// Fuel.
        fuel: String,
    },
    /// The feed pressure does not drive a nozzle.
    #[error(
        "a feed pressure of {feed_pa:.0} Pa (absolute) is not above the chamber pressure of {chamber_pa:.0} Pa"
    )]
    FeedBelowChamber {
        /// Feed, Pa.
        feed_pa: f64,
        /// Chamber, Pa.
        chamber_pa: f64,
    },
    /// A wish outside its range.
    #[error("{name} is {value}, outside {lower} to {upper}")]
    OutOfRange {
        /// Which, with its unit.
        name: &'static str,
        /// Value.
        value: f64,
        /// Lower end.
        lower: f64,
        /// Upper end.
        upper: f64,
    },
}

/// The value itself if it lies in its range; a NaN does not.
pub(super) fn inside(
    name: &'static str,
    value: f64,
    [lower, upper]: [f64; 2],
) -> Result<f64, ConvertError> {
    if (lower..=upper).contains(&value) {
        return Ok(value);
    }
    Err(ConvertError::OutOfRange {
        name,
        value,
        lower,
        upper,
    })
}
