//! What can be wrong with a tank or its run.

use crate::eos::EosError;

/// Why a question about a tank has no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TankError {
    /// A number outside its limits.
    #[error("{name} is {} {unit}, outside {} to {} {unit}", tidy(*value), tidy(*low), tidy(*high))]
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
    /// Nothing in it.
    #[error("the tank is empty: a mass above zero is needed")]
    Empty,
    /// No room for vapour.
    #[error(
        "{mass_kg:.3} kg does not fit: at {t_k:.2} K the tank is liquid-full with {most_kg:.3} kg"
    )]
    LiquidFull {
        /// Asked for, kg.
        mass_kg: f64,
        /// Liquid-full with, kg.
        most_kg: f64,
        /// Temperature, K.
        t_k: f64,
    },
    /// The tank holds more than it takes up.
    #[error(
        "a tank of this diameter and length holds less than {:.1} L, not {:.1} L",
        outside_m3 * 1e3,
        volume_m3 * 1e3
    )]
    LargerInside {
        /// Said to hold, m³.
        volume_m3: f64,
        /// By its size outside, m³.
        outside_m3: f64,
    },
    /// Liquid is to be drawn, but there is none.
    #[error("step `{step}` draws liquid, but at {t_k:.2} K the tank holds gas alone")]
    NoLiquid {
        /// Name of the step.
        step: String,
        /// Temperature, K.
        t_k: f64,
    },
    /// Nothing to boil.
    #[error("at {t_k:.2} K the tank holds gas alone: there is no liquid to boil off")]
    GasAlone {
        /// Temperature, K.
        t_k: f64,
    },
    /// More than is computed in one run.
    #[error("{what} would be {count}, more than the limit of {limit}")]
    TooMany {
        /// What is counted.
        what: &'static str,
        /// How many.
        count: u64,
        /// Limit.
        limit: u64,
    },
    /// Nothing to do.
    #[error("{what}")]
    Nothing {
        /// What is missing.
        what: &'static str,
    },
    /// The iteration for the contents gave up.
    #[error(
        "{what} of the contents did not converge: last at {t_k:.3} K with a residual of {residual:e}"
    )]
    Unsolved {
        /// What was looked for.
        what: &'static str,
        /// Last temperature, K.
        t_k: f64,
        /// Last residual, dimensionless.
        residual: f64,
    },
    /// The integration gave up.
    #[error("the run stops at {t_s:.3} s: {why}")]
    Integration {
        /// Last good time, s.
        t_s: f64,
        /// Reason.
        why: String,
    },
    /// The properties could not be had.
    #[error(transparent)]
    Eos(#[from] EosError),
}

/// Seven digits: enough to recognise what was given, without the noise of a converted unit.
fn tidy(x: f64) -> f64 {
    format!("{x:.6e}").parse().unwrap_or(x)
}

impl TankError {
    /// Whether a model ends here: a range, or an equilibrium that does not exist or is not found.
    pub(crate) fn is_out_of_range(&self) -> bool {
        matches!(
            self,
            Self::OutOfRange { .. }
                | Self::Unsolved { .. }
                | Self::Eos(
                    EosError::TemperatureOutOfRange { .. }
                        | EosError::PressureOutOfRange { .. }
                        | EosError::AboveCritical { .. }
                        | EosError::NotConverged { .. }
                        | EosError::BoilsColder { .. }
                        | EosError::LiquidSplits { .. }
                        | EosError::NotAvailable { .. }
                )
        )
    }
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
