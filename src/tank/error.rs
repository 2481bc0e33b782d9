//! What can be wrong with a tank or its run.

use crate::eos::{Backend, EosError};
use crate::quantity::sentence::{
    Sentence, Told, displayed, in_kelvin, in_kelvin_2, mass, sentence, time, volume,
};
use crate::quantity::show::percent_hint;

/// Why a question about a tank has no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TankError {
    /// A number outside its limits.
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
    NoWallTemperature {
        /// Contents, K.
        t_k: f64,
        /// Surroundings, K.
        ambient_k: f64,
    },
    /// Nothing in it.
    Empty,
    /// No room for vapour.
    LiquidFull {
        /// Asked for, kg.
        mass_kg: f64,
        /// Liquid-full with, kg.
        most_kg: f64,
        /// Temperature, K.
        t_k: f64,
    },
    /// The tank holds more than it takes up.
    LargerInside {
        /// Said to hold, m³.
        volume_m3: f64,
        /// By its size outside, m³.
        outside_m3: f64,
    },
    /// Liquid is to be drawn, but there is none.
    NoLiquid {
        /// Name of the step.
        step: String,
        /// Temperature, K.
        t_k: f64,
    },
    /// Nothing to boil.
    GasAlone {
        /// Temperature, K.
        t_k: f64,
        /// Fuel and its critical temperature, K, if that is below.
        critical: Option<(String, f64)>,
    },
    /// Liquid and vapour of the charge are not told apart.
    NoSplit {
        /// What the properties say.
        why: Sentence,
    },
    /// More than is computed in one run.
    TooMany {
        /// What is counted.
        what: &'static str,
        /// How many.
        count: u64,
        /// Limit.
        limit: u64,
    },
    /// Nothing to do.
    Nothing {
        /// What is missing.
        what: &'static str,
    },
    /// The iteration for the contents gave up.
    Unsolved {
        /// What was looked for.
        what: &'static str,
        /// Last temperature, K.
        t_k: f64,
        /// Last residual, dimensionless.
        residual: f64,
    },
    /// The iterations took too many steps in all.
    Spent {
        /// What was looked for last.
        what: &'static str,
        /// Steps allowed.
        steps: u64,
        /// Where it stood, and what to do.
        last: Option<Sentence>,
    },
    /// The integration gave up.
    Integration {
        /// Last good time, s.
        t_s: f64,
        /// Reason.
        why: Sentence,
    },
    /// The properties could not be had.
    Eos(#[from] EosError),
}

impl Told for TankError {
    fn told(&self) -> Sentence {
        match self {
            Self::OutOfRange {
                name,
                value,
                low,
                high,
                unit,
            } => {
                let hint = unit.is_empty().then(|| percent_hint(*value, *high));
                sentence!(
                    "{} is {}, outside {} to {}{}",
                    name,
                    &with(*value, unit),
                    &tidy(*low),
                    &with(*high, unit),
                    &hint.unwrap_or_default()
                )
            }
            Self::NoWallTemperature { t_k, ambient_k } => sentence!(
                "no wall temperature balances contents at {} and surroundings at {}",
                in_kelvin_2(*t_k),
                in_kelvin_2(*ambient_k)
            ),
            Self::Empty => sentence!("the tank is empty: a mass above zero is needed"),
            Self::LiquidFull {
                mass_kg,
                most_kg,
                t_k,
            } => sentence!(
                "{} does not fit: at {} the tank is liquid-full with {}",
                mass(*mass_kg).fixed("kg", 1.0, 3),
                in_kelvin_2(*t_k),
                mass(*most_kg).fixed("kg", 1.0, 3)
            ),
            Self::LargerInside {
                volume_m3,
                outside_m3,
            } => sentence!(
                "a tank of this diameter and length holds less than {}, not {}",
                volume(*outside_m3).fixed("L", 1e-3, 1),
                volume(*volume_m3).fixed("L", 1e-3, 1)
            ),
            Self::NoLiquid { step, t_k } => sentence!(
                "step `{}` draws liquid, but at {} the tank holds gas alone",
                step,
                in_kelvin_2(*t_k)
            ),
            Self::GasAlone {
                t_k,
                critical: None,
            } => sentence!(
                "at {} the tank holds gas alone: there is no liquid to boil off",
                in_kelvin_2(*t_k)
            ),
            Self::GasAlone {
                t_k,
                critical: Some((fuel, t_critical_k)),
            } => sentence!(
                "at {} the tank holds gas alone: {} is liquid only below its critical temperature, {}; reckon with a compressed gas, whose pressure falls with every gram drawn",
                in_kelvin_2(*t_k),
                fuel,
                in_kelvin_2(*t_critical_k)
            ),
            Self::NoSplit { why } => sentence!("{}; {}", why.clone(), hard_to_tell()),
            Self::TooMany { what, count, limit } => sentence!(
                "{} would be {}, more than the limit of {}",
                what,
                count,
                limit
            ),
            Self::Nothing { what } => sentence!("{}", what),
            Self::Unsolved {
                what,
                t_k,
                residual,
            } => sentence!(
                "{} did not converge: last at {} with a residual of {}",
                what,
                in_kelvin(*t_k).fixed("K", 1.0, 3),
                &format!("{residual:e}")
            ),
            Self::Spent { what, steps, last } => {
                let given_up =
                    sentence!("{} was given up after {} steps of iteration", what, steps);
                match last {
                    Some(last) => sentence!("{}: {}", given_up, last.clone()),
                    None => given_up,
                }
            }
            Self::Integration { t_s, why } => sentence!(
                "the run stops at {}: {}",
                time(*t_s).fixed("s", 1.0, 3),
                why.clone()
            ),
            Self::Eos(error) => error.told(),
        }
    }
}

displayed!(TankError);

/// Why liquid and vapour of a blend may not be found, and what to do.
pub(super) fn hard_to_tell() -> Sentence {
    sentence!(
        "near the critical point, and with much of a light gas, liquid and vapour are hard to tell apart: take less of the light gas, or another charge or temperature"
    )
}

/// Seven digits: enough to recognise what was given, without the noise of a converted unit.
fn tidy(x: f64) -> f64 {
    format!("{x:.6e}").parse().unwrap_or(x)
}

fn with(x: f64, unit: &str) -> String {
    let gap = if unit.is_empty() { "" } else { " " };
    format!("{}{gap}{unit}", tidy(x))
}

impl TankError {
    /// [`TankError::GasAlone`] of a fluid.
    pub(super) fn gas_alone(backend: &dyn Backend, t_k: f64) -> Self {
        let (t_critical_k, _) = backend.critical();
        Self::GasAlone {
            t_k,
            critical: (t_k > t_critical_k)
                .then(|| (backend.composition().label().to_owned(), t_critical_k)),
        }
    }
    /// What the properties say of a charge, with what to do where it is a blend whose phases are not told apart.
    pub(super) fn of_charge(self) -> Self {
        match self {
            Self::Eos(e @ (EosError::AboveCritical { .. } | EosError::NotConverged { .. })) => {
                Self::NoSplit { why: e.told() }
            }
            other => other,
        }
    }
    /// Whether a model ends here: a range, or an equilibrium that does not exist or is not found.
    pub(crate) fn is_out_of_range(&self) -> bool {
        matches!(
            self,
            Self::OutOfRange { .. }
                | Self::Unsolved { .. }
                | Self::Spent { .. }
                | Self::NoSplit { .. }
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
