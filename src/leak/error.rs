//! Why a leak could not be computed.

use crate::eos::EosError;
use crate::flow::air::AirError;
use crate::injector::error::InjectorError;
use crate::quantity::sentence::{Sentence, Told, displayed, in_kelvin_2, pressure, sentence};
use crate::quantity::show::short;
use crate::tank::TankError;
use crate::train::TrainError;

/// Why a leak could not be computed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LeakError {
    /// The flow through the hole.
    Hole(#[from] InjectorError),
    /// A property.
    Eos(#[from] EosError),
    /// The air round the leak.
    Air(#[from] AirError),
    /// The tank that empties.
    Tank(#[from] TankError),
    /// The train that feeds the leak.
    Train(#[from] TrainError),
    /// Nothing drives a release.
    NoPressure {
        /// Inside, Pa.
        inside_pa: f64,
        /// Outside, Pa.
        outside_pa: f64,
    },
    /// Only the height of the liquid drives a release, and that is not worked out of a joint.
    OpenTank,
    /// Air or gas over the liquid presses it out, and how that falls is not followed.
    GasOverLiquid,
    /// An input outside what makes sense.
    OutOfRange {
        /// Which.
        name: &'static str,
        /// Value.
        value: f64,
        /// Lower end.
        lower: f64,
        /// Upper end.
        upper: f64,
        /// Unit of all three.
        unit: &'static str,
    },
    /// The section does not hold what was asked for.
    NotGas {
        /// Phase.
        phase: &'static str,
        /// Temperature, K.
        t_k: f64,
        /// Pressure, Pa.
        p_pa: f64,
    },
}

impl Told for LeakError {
    fn told(&self) -> Sentence {
        match self {
            Self::Hole(error) => error.told(),
            Self::Eos(error) => error.told(),
            Self::Air(error) => error.told(),
            Self::Tank(error) => error.told(),
            Self::Train(error) => error.told(),
            Self::NoPressure {
                inside_pa,
                outside_pa,
            } => sentence!(
                "the fuel is at {}, not above the {} outside: nothing comes out, and air may be drawn in",
                pressure(*inside_pa).close(),
                pressure(*outside_pa).close()
            ),
            Self::OpenTank => sentence!(
                "the liquid stands under the air alone, and what its height presses out of a joint is not worked out: what runs out of a broken line stands in that line's row"
            ),
            Self::GasOverLiquid => sentence!(
                "not followed where air or gas over the liquid presses it out: what runs out at first stands in the row of the broken line"
            ),
            Self::OutOfRange {
                name,
                value,
                lower,
                upper,
                unit,
            } => sentence!(
                "{} is {}, outside {} to {}",
                name,
                &amount(*value, unit),
                &short(*lower),
                &amount(*upper, unit)
            ),
            Self::NotGas { phase, t_k, p_pa } => sentence!(
                "the section holds {} at {} and {}; its emptying is computed for gas: give the mass in it for liquid that boils away",
                phase,
                in_kelvin_2(*t_k),
                pressure(*p_pa)
            ),
        }
    }
}

displayed!(LeakError);

/// A number with its unit, if it has one.
fn amount(value: f64, unit: &str) -> String {
    let gap = if unit.is_empty() { "" } else { " " };
    format!("{}{gap}{unit}", short(value))
}

/// The value, if it lies in the range; a NaN does not.
pub(crate) fn inside(
    name: &'static str,
    value: f64,
    (lower, upper): (f64, f64),
    unit: &'static str,
) -> Result<f64, LeakError> {
    if value >= lower && value <= upper {
        return Ok(value);
    }
    Err(LeakError::OutOfRange {
        name,
        value,
        lower,
        upper,
        unit,
    })
}
