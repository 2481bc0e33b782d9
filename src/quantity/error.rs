//! What can be wrong with a quantity given as text.

use super::sentence::{Sentence, Told, gauge, pressure, sentence};

/// Why a text is not the quantity asked for. Every message names the text and what is accepted.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum QuantityError {
    /// No number at the front.
    #[error("`{text}` has no number; write a number and its unit, such as `1.2 mm`")]
    MissingNumber {
        /// As typed.
        text: String,
    },
    /// Digits that make no number.
    #[error("`{text}` does not begin with one plain number; write it as 12.5, 1.25e1 or 1 1/2")]
    MalformedNumber {
        /// As typed.
        text: String,
    },
    /// A comma in the number.
    #[error("`{text}` has a comma in its number; use a decimal point and no thousands separator")]
    Comma {
        /// As typed.
        text: String,
    },
    /// Not a number, or without end.
    #[error("`{text}` is not a finite number")]
    NotFinite {
        /// As typed.
        text: String,
    },
    /// A number alone.
    #[error("`{text}` has no unit; {what} takes {accepted}")]
    MissingUnit {
        /// As typed.
        text: String,
        /// What was expected.
        what: &'static str,
        /// Units that fit.
        accepted: String,
    },
    /// A unit nobody knows.
    #[error("`{unit}` in `{text}` is not a known unit{}; {what} takes {accepted}", did_you_mean(*suggestion))]
    UnknownUnit {
        /// As typed.
        text: String,
        /// The unit in it.
        unit: String,
        /// What was expected.
        what: &'static str,
        /// Nearest unit.
        suggestion: Option<&'static str>,
        /// Units that fit.
        accepted: String,
    },
    /// A unit of something else.
    #[error("`{text}` is {found}, expected {what} in {accepted}")]
    WrongDimension {
        /// As typed.
        text: String,
        /// What its unit measures.
        found: &'static str,
        /// What was expected.
        what: &'static str,
        /// Units that fit.
        accepted: String,
    },
    /// A pressure level without gauge or absolute mark.
    #[error(
        "`{text}` does not say whether it is gauge or absolute; write `{number} {unit}(g)` or `{number} {unit}(a)` (short: {unit}g, {unit}a)"
    )]
    UnmarkedLevel {
        /// As typed.
        text: String,
        /// Its number.
        number: String,
        /// Its unit.
        unit: &'static str,
    },
    /// A gauge level where only an absolute one makes sense.
    #[error(
        "`{text}` is gauge, but this pressure must be absolute; write `{unit}(a)` (short: {unit}a)"
    )]
    GaugeWhereAbsolute {
        /// As typed.
        text: String,
        /// Its unit.
        unit: &'static str,
    },
    /// An absolute level where only a gauge one makes sense.
    #[error(
        "`{text}` is absolute, but this pressure must be gauge; write `{unit}(g)` (short: {unit}g)"
    )]
    AbsoluteWhereGauge {
        /// As typed.
        text: String,
        /// Its unit.
        unit: &'static str,
    },
    /// A difference with a gauge or absolute mark.
    #[error(
        "`{text}` is a pressure difference, which is neither gauge nor absolute; write `{number} {unit}`"
    )]
    MarkedDifference {
        /// As typed.
        text: String,
        /// Its number.
        number: String,
        /// Its unit.
        unit: &'static str,
    },
    /// Gas counted at reference conditions.
    #[error(
        "`{unit}` in `{text}` counts gas at reference conditions, and those differ from country to country; give a mass flow (kg/h, g/s, lb/h) or the volume flow at the conditions it flows at"
    )]
    ReferenceVolume {
        /// As typed.
        text: String,
        /// The unit in it.
        unit: String,
    },
    /// A temperature below absolute zero.
    #[error("`{text}` is below absolute zero (0 K, -273.15 degC, -459.67 degF)")]
    BelowAbsoluteZero {
        /// As typed.
        text: String,
    },
    /// An absolute pressure at or below vacuum.
    #[error("`{text}` is not above vacuum; an absolute pressure is above zero")]
    NotAboveVacuum {
        /// As typed.
        text: String,
    },
    /// A negative value of something that cannot be negative.
    #[error("`{text}` is negative; {what} is zero or more")]
    Negative {
        /// As typed.
        text: String,
        /// What was expected.
        what: &'static str,
    },
    /// A gauge level lies below vacuum.
    #[error("{}", below_vacuum(*gauge_pa, *ambient_pa))]
    GaugeBelowVacuum {
        /// Gauge level, Pa.
        gauge_pa: f64,
        /// Surroundings, Pa absolute.
        ambient_pa: f64,
    },
}

impl QuantityError {
    /// The same of a text that was turned before it was read: the message names it as typed.
    pub(super) fn told_as_typed(mut self, typed: &str) -> Self {
        match &mut self {
            Self::MissingNumber { text, .. }
            | Self::MalformedNumber { text, .. }
            | Self::Comma { text, .. }
            | Self::NotFinite { text, .. }
            | Self::MissingUnit { text, .. }
            | Self::UnknownUnit { text, .. }
            | Self::WrongDimension { text, .. }
            | Self::UnmarkedLevel { text, .. }
            | Self::GaugeWhereAbsolute { text, .. }
            | Self::AbsoluteWhereGauge { text, .. }
            | Self::MarkedDifference { text, .. }
            | Self::ReferenceVolume { text, .. }
            | Self::BelowAbsoluteZero { text, .. }
            | Self::NotAboveVacuum { text, .. }
            | Self::Negative { text, .. } => typed.clone_into(text),
            Self::GaugeBelowVacuum { .. } => {}
        }
        self
    }
}

impl Told for QuantityError {
    fn told(&self) -> Sentence {
        match self {
            Self::GaugeBelowVacuum {
                gauge_pa,
                ambient_pa,
            } => below_vacuum(*gauge_pa, *ambient_pa),
            // all others repeat what was typed
            other => other.to_string().into(),
        }
    }
}

fn below_vacuum(gauge_pa: f64, ambient_pa: f64) -> Sentence {
    sentence!(
        "{} is below vacuum where the surroundings are at {}",
        gauge(gauge_pa),
        pressure(ambient_pa)
    )
}

fn did_you_mean(suggestion: Option<&str>) -> String {
    suggestion.map_or(String::new(), |s| format!(", did you mean `{s}`?"))
}
