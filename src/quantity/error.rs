//! What can be wrong with a quantity given as text.

use super::sentence::{Sentence, gauge, pressure, sentence};
use super::told::errors;

errors! {
    /// Why a text is not the quantity asked for. Every message names the text and what is accepted.
    pub enum QuantityError {
        MissingNumber { text: String } =>
            "`{text}` has no number; write a number and its unit, such as `1.2 mm`";
        MalformedNumber { text: String } =>
            "`{text}` does not begin with one plain number; write it as 12.5, 1.25e1 or 1 1/2";
        Comma { text: String } =>
            "`{text}` has a comma in its number; use a decimal point and no thousands separator";
        NotFinite { text: String } => "`{text}` is not a finite number";
        MissingUnit { text: String, what: &'static str, accepted: String } =>
            "`{text}` has no unit; {what} takes {accepted}";
        UnknownUnit {
            text: String,
            unit: String,
            what: &'static str,
            suggestion: Option<&'static str>,
            accepted: String,
        } =>
            "`{}` in `{}` is not a known unit{}; {} takes {}",
            unit, text, did_you_mean(suggestion), what, accepted;
        WrongDimension {
            text: String,
            found: &'static str,
            what: &'static str,
            accepted: String,
        } => "`{text}` is {found}, expected {what} in {accepted}";
        UnmarkedLevel { text: String, number: String, unit: &'static str } =>
            "`{text}` does not say whether it is gauge or absolute; write `{number} {unit}(g)` or `{number} {unit}(a)` (short: {unit}g, {unit}a)";
        GaugeWhereAbsolute { text: String, unit: &'static str } =>
            "`{text}` is gauge, but this pressure must be absolute; write `{unit}(a)` (short: {unit}a)";
        AbsoluteWhereGauge { text: String, unit: &'static str } =>
            "`{text}` is absolute, but this pressure must be gauge; write `{unit}(g)` (short: {unit}g)";
        MarkedDifference { text: String, number: String, unit: &'static str } =>
            "`{text}` is a pressure difference, which is neither gauge nor absolute; write `{number} {unit}`";
        ReferenceVolume { text: String, unit: String } =>
            "`{unit}` in `{text}` counts gas at reference conditions, and those differ from country to country; give a mass flow (kg/h, g/s, lb/h) or the volume flow at the conditions it flows at";
        BelowAbsoluteZero { text: String } =>
            "`{text}` is below absolute zero (0 K, -273.15 degC, -459.67 degF)";
        NotAboveVacuum { text: String } =>
            "`{text}` is not above vacuum; an absolute pressure is above zero";
        Negative { text: String, what: &'static str } =>
            "`{text}` is negative; {what} is zero or more";
        GaugeBelowVacuum { gauge_pa: f64, ambient_pa: f64 } =>
            "{}", below_vacuum(gauge_pa, ambient_pa);
    }
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
