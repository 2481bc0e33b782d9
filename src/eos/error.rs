//! Why a property could not be had.

use crate::fuel::SourceKey;
use crate::quantity::sentence::{
    Sentence, Told, displayed, in_kelvin, in_kelvin_2, pressure, sentence,
};

/// Why a property could not be had.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EosError {
    /// Temperature outside the equation's range.
    TemperatureOutOfRange {
        /// Fuel or blend.
        fuel: String,
        /// Asked, K.
        t_k: f64,
        /// Lower end, K.
        lower_k: f64,
        /// Upper end, K.
        upper_k: f64,
        /// Who says so.
        source_key: SourceKey,
    },
    /// Pressure outside the equation's range.
    PressureOutOfRange {
        /// Fuel or blend.
        fuel: String,
        /// Asked, Pa.
        p_pa: f64,
        /// Upper end, Pa.
        upper_pa: f64,
        /// Who says so.
        source_key: SourceKey,
    },
    /// No vapour-liquid equilibrium there.
    AboveCritical {
        /// Fuel or blend.
        fuel: String,
        /// What was asked, with unit.
        at: Sentence,
        /// Critical temperature, K.
        t_critical_k: f64,
        /// Critical pressure, Pa.
        p_critical_pa: f64,
    },
    /// Not a finite number.
    NotFinite {
        /// Which input.
        name: &'static str,
    },
    /// Asked for a single-phase property in the two-phase region.
    TwoPhase {
        /// Temperature, K.
        t_k: f64,
        /// Pressure, Pa.
        p_pa: f64,
    },
    /// The solver gave up; last state included.
    NotConverged {
        /// Which solver.
        what: &'static str,
        /// Fuel or blend.
        fuel: String,
        /// Inputs and last state.
        at: Sentence,
    },
    /// The first vapour appears below the range of the model.
    BoilsColder {
        /// Fuel or blend.
        fuel: String,
        /// Asked, Pa.
        p_pa: f64,
        /// Lowest temperature of the equations, K.
        lower_k: f64,
    },
    /// The mixture model makes two liquids of one.
    LiquidSplits {
        /// Fuel or blend.
        fuel: String,
        /// Temperature, K.
        t_k: f64,
    },
    /// The equation gives a property that no fluid has.
    Unsound {
        /// Fuel or blend.
        fuel: String,
        /// Property.
        what: &'static str,
        /// What it comes to.
        value: f64,
        /// Its unit.
        unit: &'static str,
        /// Temperature, K.
        t_k: f64,
        /// Pressure, Pa.
        p_pa: f64,
    },
    /// The fuel has no data for this property.
    NotAvailable {
        /// Property.
        what: &'static str,
        /// Fuel or blend.
        fuel: String,
        /// Reason.
        why: Sentence,
    },
}

impl Told for EosError {
    fn told(&self) -> Sentence {
        match self {
            Self::TemperatureOutOfRange {
                fuel,
                t_k,
                lower_k,
                upper_k,
                source_key,
            } => sentence!(
                "{} is outside the range of the {} equation of state, {} to {} [{}]",
                in_kelvin(*t_k),
                fuel,
                in_kelvin(*lower_k),
                in_kelvin(*upper_k),
                source_key
            ),
            Self::PressureOutOfRange {
                fuel,
                p_pa,
                upper_pa,
                source_key,
            } => sentence!(
                "{} is outside the range of the {} equation of state, above 0 and up to {} [{}]",
                pressure(*p_pa).close(),
                fuel,
                pressure(*upper_pa).close(),
                source_key
            ),
            Self::AboveCritical {
                fuel,
                at,
                t_critical_k,
                p_critical_pa,
            } => sentence!(
                "{} has no boiling point at {}: its critical point is {}, {}",
                fuel,
                at.clone(),
                in_kelvin_2(*t_critical_k),
                pressure(*p_critical_pa)
            ),
            Self::NotFinite { name } => sentence!("{} is not a finite number", name),
            Self::TwoPhase { t_k, p_pa } => sentence!(
                "heat capacity and speed of sound are not defined for liquid and vapour together ({}, {})",
                in_kelvin_2(*t_k),
                pressure(*p_pa)
            ),
            Self::NotConverged { what, fuel, at } => {
                sentence!("{} of {} did not converge at {}", what, fuel, at.clone())
            }
            Self::BoilsColder {
                fuel,
                p_pa,
                lower_k,
            } => sentence!(
                "{} begins to boil below {} at {}, and its equations of state end there",
                fuel,
                in_kelvin(*lower_k),
                pressure(*p_pa)
            ),
            Self::LiquidSplits { fuel, t_k } => sentence!(
                "{} has no bubble or dew point at {}: its mixture model splits the liquid in two there, and only one is dealt with",
                fuel,
                in_kelvin(*t_k)
            ),
            Self::Unsound {
                fuel,
                what,
                value,
                unit,
                t_k,
                p_pa,
            } => sentence!(
                "the equation of state of {} does not hold at {}, {}: its {} there is {} {}, and must be above 0; stay farther from the ends of its range",
                fuel,
                in_kelvin_2(*t_k),
                pressure(*p_pa),
                what,
                format!("{value:.1}"),
                unit
            ),
            Self::NotAvailable { what, fuel, why } => {
                sentence!("there is no {} for {}: {}", what, fuel, why.clone())
            }
        }
    }
}

displayed!(EosError);
