//! Why a switch could not be planned.

use crate::combustion::CombustionError;
use crate::eos::EosError;
use crate::quantity::sentence::{Sentence, Told, displayed, outside, pressure, sentence};

/// Why a switch could not be planned.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ConvertError {
    /// Burning.
    Combustion(#[from] CombustionError),
    /// A property.
    Eos(#[from] EosError),
    /// No duty has a flow of the new fuel.
    NoDuty {
        /// New fuel.
        fuel: String,
        /// Reason of the first.
        why: Sentence,
    },
    /// The new fuel is the old one.
    SameFuel {
        /// Fuel.
        fuel: String,
    },
    /// The feed pressure does not drive a nozzle.
    FeedBelowChamber {
        /// Feed, Pa.
        feed_pa: f64,
        /// Chamber, Pa.
        chamber_pa: f64,
    },
    /// A wish outside its range.
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

impl Told for ConvertError {
    fn told(&self) -> Sentence {
        match self {
            Self::Combustion(error) => error.told(),
            Self::Eos(error) => error.told(),
            Self::NoDuty { fuel, why } => {
                sentence!("no duty can be run on {}: {}", fuel, why.clone())
            }
            Self::SameFuel { fuel } => sentence!("the rig runs on {} already", fuel),
            Self::FeedBelowChamber {
                feed_pa,
                chamber_pa,
            } => sentence!(
                "a feed pressure of {} is not above the chamber pressure of {}",
                pressure(*feed_pa).close(),
                pressure(*chamber_pa).close()
            ),
            Self::OutOfRange {
                name,
                value,
                lower,
                upper,
            } => {
                // a share has no unit behind its name
                let share = !name.contains(" in ");
                outside(name, *value, (*lower, *upper), share)
            }
        }
    }
}

displayed!(ConvertError);

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
