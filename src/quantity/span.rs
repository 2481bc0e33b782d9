//! A quantity, or a range of it: `"0.3"`, `"0.25-0.35"`, `"0.5-2 barg"`, `"0.5 to 2 bar(g)"`.

use super::QuantityError;
use super::parse::{FromText, number_and_unit};

/// A quantity from one end to the other, in the order they are written; both are the same where one is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span<T> {
    /// First end.
    pub from: T,
    /// Other end.
    pub to: T,
}

impl<T: Copy> Span<T> {
    /// A single value.
    pub fn of(value: T) -> Self {
        Self {
            from: value,
            to: value,
        }
    }

    /// Both ends as numbers, the lower first.
    ///
    /// ```
    /// use fuelwright::quantity::{Ratio, parse::parse, span::Span};
    /// let wanted: Span<Ratio> = parse("0.25-0.35")?;
    /// assert_eq!(wanted.ends(|r| r.value), (0.25, 0.35));
    /// # Ok::<(), fuelwright::quantity::QuantityError>(())
    /// ```
    pub fn ends(&self, number: impl Fn(T) -> f64) -> (f64, f64) {
        let (from, to) = (number(self.from), number(self.to));
        (from.min(to), from.max(to))
    }
}

/// What stands between the ends of a range; a hyphen may also belong to a number or a unit.
const BETWEEN: [&str; 5] = [" to ", "..", "–", "—", "-"];

impl<T: FromText + Copy> FromText for Span<T> {
    fn from_text(text: &str) -> Result<Self, QuantityError> {
        let mut error = match T::from_text(text) {
            Ok(one) => return Ok(Self::of(one)),
            Err(error) => error,
        };
        let places = BETWEEN
            .iter()
            .flat_map(|mark| text.match_indices(mark).map(|(i, mark)| (i, mark.len())));
        for (at, length) in places {
            let (from, to) = (text[..at].trim(), text[at + length..].trim());
            let (Some((_, own)), Some((_, unit))) = (number_and_unit(from), number_and_unit(to))
            else {
                continue;
            };
            // the unit may stand once, behind both
            let from = if own.is_empty() {
                format!("{from} {unit}")
            } else {
                from.to_owned()
            };
            match (T::from_text(from.trim()), T::from_text(to)) {
                (Ok(from), Ok(to)) => return Ok(Self { from, to }),
                (_, Err(wrong)) | (Err(wrong), _) => error = wrong,
            }
        }
        Err(error)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::parse::parse;
    use crate::quantity::{PressureLevel, Ratio};

    #[test]
    fn a_range_has_its_unit_once_or_twice() -> Result<(), QuantityError> {
        let gauge = |text: &str| -> Result<(f64, f64), QuantityError> {
            let span: Span<PressureLevel> = parse(text)?;
            Ok(span.ends(|p| match p {
                PressureLevel::Gauge(p) => p.pascals(),
                PressureLevel::Absolute(p) => -p.pascals(),
            }))
        };
        for text in [
            "0.5-2 barg",
            "0.5 - 2 bar(g)",
            "0.5 barg to 2 barg",
            "0.5..2 barg",
            "0.5–2 barg",
            "2-0.5 barg",
        ] {
            assert_eq!(gauge(text)?, (0.5e5, 2e5), "{text}");
        }
        let percent: Span<Ratio> = parse("25-40 %")?;
        assert_eq!(percent.ends(|r| r.value), (0.25, 0.4));
        let one: Span<Ratio> = parse("3e-1")?;
        assert_eq!(one.ends(|r| r.value), (0.3, 0.3));
        Ok(())
    }

    #[test]
    fn what_is_wrong_with_an_end_is_said_of_the_end() {
        let bare = parse::<Span<PressureLevel>>("0.5-2 bar").expect_err("no gauge, no absolute");
        assert!(
            bare.to_string().starts_with("`2 bar` does not say"),
            "{bare}"
        );
        assert!(parse::<Span<Ratio>>("0.25-").is_err());
        assert!(parse::<Span<Ratio>>("a-b").is_err());
    }
}
