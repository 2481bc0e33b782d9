//! Why a leak could not be computed.

use crate::eos::EosError;
use crate::flow::air::AirError;
use crate::injector::error::InjectorError;
use crate::quantity::show::short;
use crate::tank::TankError;
use crate::train::TrainError;

/// Why a leak could not be computed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LeakError {
    /// The flow through the hole.
    #[error(transparent)]
    Hole(#[from] InjectorError),
    /// A property.
    #[error(transparent)]
    Eos(#[from] EosError),
    /// The air round the leak.
    #[error(transparent)]
    Air(#[from] AirError),
    /// The tank that empties.
    #[error(transparent)]
    Tank(#[from] TankError),
    /// The train that feeds the leak.
    #[error(transparent)]
    Train(#[from] TrainError),
    /// Nothing drives a release.
    #[error(
        "the fuel is at {inside_pa:.0} Pa, not above the {outside_pa:.0} Pa outside: nothing comes out, and air may be drawn in"
    )]
    NoPressure {
        /// Inside, Pa.
        inside_pa: f64,
        /// Outside, Pa.
        outside_pa: f64,
    },
    /// An input outside what makes sense.
    #[error("{name} is {}, outside {} to {}", amount(*.value, .unit), short(*.lower), amount(*.upper, .unit))]
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
    #[error(
        "the section holds {phase} at {t_k:.2} K and {p_pa:.0} Pa; its emptying is computed for gas: give the mass in it for liquid that boils away"
    )]
    NotGas {
        /// Phase.
        phase: &'static str,
        /// Temperature, K.
        t_k: f64,
        /// Pressure, Pa.
        p_pa: f64,
    },
}

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
