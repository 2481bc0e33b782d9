//! Numbers held against their limits: the checks, and the errors of those that fail.

use super::sentence::{Sentence, Told, displayed, sentence};
use super::show::percent_hint;
use std::ops::RangeInclusive;

/// A number outside its limits.
///
/// ```
/// use fuelwright::quantity::range::{in_range, in_range_of};
/// let e = in_range_of("draw", -0.5, 0.0..=2.0, "kg/s").unwrap_err();
/// assert_eq!(e.to_string(), "draw is -0.5 kg/s, outside 0 to 2 kg/s");
/// let e = in_range("humidity", 45.0, 0.0..=1.0).unwrap_err();
/// assert!(e.to_string().ends_with("; if percent is meant, write `45 %` or 0.45"));
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutOfRange {
    /// What it is; with its unit, as in `bore in mm`, where `unit` is empty and it has one.
    pub name: &'static str,
    /// Given.
    pub value: f64,
    /// Lowest.
    pub low: f64,
    /// Highest.
    pub high: f64,
    /// Unit of all three, or empty.
    pub unit: &'static str,
    /// Who gives the range, or empty.
    pub source_key: &'static str,
}

/// The value, if it lies in the range; a NaN does not.
///
/// # Errors
/// [`OutOfRange`].
pub fn in_range(
    name: &'static str,
    value: f64,
    range: RangeInclusive<f64>,
) -> Result<f64, OutOfRange> {
    in_range_of(name, value, range, "")
}

/// The same of an amount that has a unit.
///
/// # Errors
/// [`OutOfRange`].
pub fn in_range_of(
    name: &'static str,
    value: f64,
    range: RangeInclusive<f64>,
    unit: &'static str,
) -> Result<f64, OutOfRange> {
    if range.contains(&value) {
        return Ok(value);
    }
    Err(OutOfRange {
        name,
        value,
        low: *range.start(),
        high: *range.end(),
        unit,
        source_key: "",
    })
}

impl OutOfRange {
    /// With the source of the range.
    #[must_use]
    pub fn said_by(self, source_key: &'static str) -> Self {
        Self { source_key, ..self }
    }
}

impl Told for OutOfRange {
    fn told(&self) -> Sentence {
        let gap = if self.unit.is_empty() { "" } else { " " };
        let source = match self.source_key {
            "" => String::new(),
            key => format!(" [{key}]"),
        };
        let plain = self.unit.is_empty() && !self.name.contains(" in ");
        let hint = plain.then(|| percent_hint(self.value, self.high));
        sentence!(
            "{} is {}{}{}, outside {} to {}{}{}{}{}",
            self.name,
            tidy(self.value),
            gap,
            self.unit,
            tidy(self.low),
            tidy(self.high),
            gap,
            self.unit,
            source,
            hint.unwrap_or_default()
        )
    }
}

/// Seven digits: enough to recognise what was given, without the noise of a converted unit.
fn tidy(x: f64) -> String {
    let x = format!("{x:.6e}").parse().unwrap_or(x);
    match x.abs() {
        0.0 | 1e-4.. => x.to_string(),
        _ => format!("{x:e}"),
    }
}

/// A number that must be finite and above zero, and is not.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NotPositive {
    /// What it is.
    pub name: &'static str,
    /// Given, SI.
    pub value: f64,
}

/// The value, if it is finite and above zero.
///
/// # Errors
/// [`NotPositive`].
pub fn positive(name: &'static str, value: f64) -> Result<f64, NotPositive> {
    if value > 0.0 && value.is_finite() {
        Ok(value)
    } else {
        Err(NotPositive { name, value })
    }
}

impl Told for NotPositive {
    fn told(&self) -> Sentence {
        sentence!(
            "{} must be a finite number above zero, not {}",
            self.name,
            &self.value
        )
    }
}

displayed!(OutOfRange, NotPositive);
impl std::error::Error for OutOfRange {}
impl std::error::Error for NotPositive {}
