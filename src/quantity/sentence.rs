//! Sentences with quantities in them: made where the figures are, written in the units of whoever reads them.
//!
//! A computation that has something to say knows its figures and no reader; what writes the answer knows the
//! reader's units. A [`Sentence`] goes from one to the other with its figures still in SI.

use super::kind::Kind;
use super::show::{DIGITS, Units, fixed, short, show_digits};
use std::borrow::Cow;
use std::fmt;

/// Digits of figures that may lie close together, such as one that is not below another.
const CLOSE_DIGITS: usize = 6;
/// Least digits in US units of what has fixed decimals in SI.
const LEAST_DIGITS: usize = 2;

/// A quantity in a sentence.
///
/// ```
/// use fuelwright::quantity::{Kind, sentence::Figure, show::Units};
///
/// let warm = Figure::of(Kind::Temperature, 288.15);
/// assert_eq!(warm.show(Units::Si), "15 degC");
/// assert_eq!(warm.show(Units::Us), "59 degF");
/// assert_eq!(warm.fixed("K", 1.0, 1).show(Units::Si), "288.1 K");
/// assert_eq!(warm.fixed("K", 1.0, 1).show(Units::Us), "59 degF");
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    kind: Kind,
    si: f64,
    digits: usize,
    metric: Metric,
}

/// How a figure is written in SI.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Metric {
    /// In the unit that suits its size.
    Suited,
    /// In one unit, of so many SI units, to fixed decimals.
    Fixed {
        unit: &'static str,
        size: f64,
        decimals: usize,
    },
    /// In one unit, of so many SI units, to as many digits as it has, seven at most.
    Plain { unit: &'static str, size: f64 },
}

impl Figure {
    /// A figure in the unit that suits its size, to [`DIGITS`] digits.
    pub fn of(kind: Kind, si: f64) -> Self {
        Self {
            kind,
            si,
            digits: DIGITS,
            metric: Metric::Suited,
        }
    }
    /// To as many significant digits.
    #[must_use]
    pub fn digits(self, digits: usize) -> Self {
        Self { digits, ..self }
    }
    /// To digits enough for one that may lie close to another.
    #[must_use]
    pub fn close(self) -> Self {
        self.digits(CLOSE_DIGITS)
    }
    /// In SI in this unit, of `size` SI units, to so many decimals; in US units to as many digits, two
    /// to [`DIGITS`].
    #[must_use]
    pub fn fixed(self, unit: &'static str, size: f64, decimals: usize) -> Self {
        Self {
            digits: digits_of(&format!("{:.decimals$}", self.si / size))
                .clamp(LEAST_DIGITS, DIGITS),
            metric: Metric::Fixed {
                unit,
                size,
                decimals,
            },
            ..self
        }
    }
    /// In SI in this unit, of `size` SI units, with all digits that somebody gave; in US units as suits it.
    #[must_use]
    pub fn plain(self, unit: &'static str, size: f64) -> Self {
        Self {
            digits: CLOSE_DIGITS,
            metric: Metric::Plain { unit, size },
            ..self
        }
    }

    /// As text.
    pub fn show(&self, units: Units) -> String {
        match (units, self.metric) {
            _ if !self.si.is_finite() => "an unknown amount".to_owned(),
            (
                Units::Si,
                Metric::Fixed {
                    unit,
                    size,
                    decimals,
                },
            ) => format!("{} {unit}", fixed(self.si / size, decimals)),
            (Units::Si, Metric::Plain { unit, size }) => {
                format!("{} {unit}", short(self.si / size))
            }
            _ => show_digits(self.kind, self.si, units, self.digits),
        }
    }
}

/// Significant digits of a number as written.
fn digits_of(number: &str) -> usize {
    let digits = number.chars().filter(char::is_ascii_digit);
    digits.skip_while(|d| *d == '0').count()
}

/// Part of a sentence.
#[derive(Debug, Clone, PartialEq)]
pub enum Piece {
    /// Words.
    Words(Cow<'static, str>),
    /// A quantity.
    Figure(Figure),
    /// A sentence inside another: the reason behind it.
    Part(Sentence),
}

impl From<Figure> for Piece {
    fn from(figure: Figure) -> Self {
        Self::Figure(figure)
    }
}

impl From<Sentence> for Piece {
    fn from(sentence: Sentence) -> Self {
        Self::Part(sentence)
    }
}

impl From<String> for Piece {
    fn from(words: String) -> Self {
        Self::Words(words.into())
    }
}

macro_rules! numbers {
    ($($number:ty),+) => {$(
        impl From<$number> for Piece {
            fn from(number: $number) -> Self {
                Self::Words(number.to_string().into())
            }
        }
    )+};
}
numbers!(f64, u64, usize);

impl<T: fmt::Display + ?Sized> From<&T> for Piece {
    fn from(words: &T) -> Self {
        Self::Words(words.to_string().into())
    }
}

/// Words and quantities in order. As text of its own (`Display`) it is in SI.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sentence {
    pieces: Vec<Piece>,
}

impl Sentence {
    /// A sentence of words that are known beforehand, with pieces in the places of `{}`.
    pub(crate) fn filled<const N: usize>(template: &'static str, pieces: [Piece; N]) -> Self {
        let mut list = Vec::with_capacity(2 * N + 1);
        let mut words = template.split("{}");
        let lead = words.next().unwrap_or_default();
        let rest = pieces.into_iter().zip(words);
        let mut push = |piece| match piece {
            Piece::Words(words) if words.is_empty() => {}
            Piece::Part(part) => list.extend(part.pieces),
            piece => list.push(piece),
        };
        push(Piece::Words(lead.into()));
        for (piece, words) in rest {
            push(piece);
            push(Piece::Words(words.into()));
        }
        Self { pieces: list }
    }

    /// As text in these units.
    pub fn show(&self, units: Units) -> String {
        let mut text = String::new();
        for piece in &self.pieces {
            match piece {
                Piece::Words(words) => text.push_str(words),
                Piece::Figure(figure) => text.push_str(&figure.show(units)),
                Piece::Part(part) => text.push_str(&part.show(units)),
            }
        }
        text
    }

    /// With its absolute pressures as a gauge reads them.
    #[must_use]
    pub fn by_gauge(mut self, air_pa: f64) -> Self {
        for piece in &mut self.pieces {
            match piece {
                Piece::Figure(f) if f.kind == Kind::AbsolutePressure => {
                    f.kind = Kind::GaugePressure;
                    f.si -= air_pa;
                }
                Piece::Part(part) => *part = std::mem::take(part).by_gauge(air_pa),
                _ => {}
            }
        }
        self
    }

    /// Whether it has a text in it, as written in SI.
    pub fn contains(&self, text: &str) -> bool {
        self.to_string().contains(text)
    }
}

impl fmt::Display for Sentence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.show(Units::Si))
    }
}

impl From<&str> for Sentence {
    fn from(words: &str) -> Self {
        Self::from(words.to_owned())
    }
}

impl From<&Sentence> for Sentence {
    fn from(sentence: &Sentence) -> Self {
        sentence.clone()
    }
}

impl From<String> for Sentence {
    fn from(words: String) -> Self {
        Self {
            pieces: vec![Piece::Words(words.into())],
        }
    }
}

/// What says why something could not be had, in the units of whoever reads it.
///
/// ```
/// use fuelwright::flow::line::LineError;
/// use fuelwright::quantity::sentence::Told;
/// use fuelwright::quantity::show::Units;
///
/// let why = LineError::NoPressureDrop { p1_pa: 2e5, p2_pa: 3e5 };
/// assert_eq!(
///     why.told().show(Units::Us),
///     "the outlet pressure, 43.5113 psi(a), is not below the inlet pressure, 29.0075 psi(a)"
/// );
/// // as text of its own it is in SI
/// assert_eq!(
///     why.to_string(),
///     "the outlet pressure, 3 bar(a), is not below the inlet pressure, 2 bar(a)"
/// );
/// ```
pub trait Told {
    /// The message, with its figures.
    fn told(&self) -> Sentence;
}

/// Writes errors that are [`Told`] in SI where they stand by themselves.
macro_rules! displayed {
    ($($error:ty),+ $(,)?) => {$(
        impl std::fmt::Display for $error {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                $crate::quantity::sentence::Told::told(self).fmt(f)
            }
        }
    )+};
}
pub(crate) use displayed;

/// A sentence with a piece in each place of `{}`: a [`Figure`], another [`Sentence`], a number, or a reference
/// to anything that can be displayed. Places and pieces are counted when the program is built. Without pieces,
/// words with `{name}` in them as in `format!`.
macro_rules! sentence {
    ($words:literal $(,)?) => {
        $crate::quantity::sentence::Sentence::from(format!($words))
    };
    ($template:literal $(, $piece:expr)* $(,)?) => {{
        const { assert!($crate::quantity::sentence::places($template) == <[&str]>::len(&[$(stringify!($piece)),*])) };
        $crate::quantity::sentence::Sentence::filled(
            $template,
            [$($crate::quantity::sentence::Piece::from($piece)),*],
        )
    }};
}
pub(crate) use sentence;

/// How many `{}` a template has.
pub(crate) const fn places(template: &str) -> usize {
    let bytes = template.as_bytes();
    let (mut i, mut n) = (0, 0);
    while i + 1 < bytes.len() {
        if bytes[i] == b'{' && bytes[i + 1] == b'}' {
            n += 1;
            i += 1;
        }
        i += 1;
    }
    n
}

/// Declares `fn name(si: f64) -> Figure`.
macro_rules! figures {
    ($($(#[$doc:meta])* $name:ident: $kind:ident;)*) => {$(
        $(#[$doc])*
        pub fn $name(si: f64) -> Figure {
            Figure::of(Kind::$kind, si)
        }
    )*};
}

figures! {
    /// An absolute pressure, Pa.
    pressure: AbsolutePressure;
    /// A gauge pressure, Pa.
    gauge: GaugePressure;
    /// A pressure difference, Pa.
    pressure_drop: PressureDifference;
    /// A temperature, K.
    temperature: Temperature;
    /// A temperature difference, K.
    interval: TemperatureDifference;
    /// A length, m.
    length: Length;
    /// A volume, m³.
    volume: Volume;
    /// A mass, kg.
    mass: Mass;
    /// A mass flow, kg/s.
    flow: MassRate;
    /// A mass flux, kg/(m² s).
    flux: MassFlux;
    /// A velocity, m/s.
    velocity: Velocity;
    /// A power, W.
    power: Power;
    /// A duration, s.
    time: Time;
    /// A density, kg/m³.
    density: Density;
}

/// A temperature as property models give their ranges: in SI in kelvin.
pub fn in_kelvin(t_k: f64) -> Figure {
    temperature(t_k).plain("K", 1.0)
}

/// The same to two decimals.
pub fn in_kelvin_2(t_k: f64) -> Figure {
    temperature(t_k).fixed("K", 1.0, 2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sentence_is_in_the_units_of_its_reader() {
        let inner = sentence!("it passes {} at most", flow(1.26e-3));
        let all = sentence!("`{}`: {}, {}", "valve", inner, pressure(2e5).close());
        assert_eq!(
            all.to_string(),
            "`valve`: it passes 1.26 g/s at most, 2 bar(a)"
        );
        // 1.26 g/s is 10 lb/h, by the definition of the pound
        assert_eq!(
            all.show(Units::Us),
            "`valve`: it passes 10 lb/h at most, 29.0075 psi(a)"
        );
    }

    #[test]
    fn a_figure_with_fixed_decimals_keeps_them_in_si_alone() {
        let hole = length(1.2e-3).fixed("mm", 1e-3, 2);
        assert_eq!(hole.show(Units::Si), "1.20 mm");
        assert_eq!(hole.show(Units::Us), "0.0472 in");
        // no more digits in inches than there are in millimetres
        let gap = length(1.7e-3).fixed("mm", 1e-3, 1);
        assert_eq!(gap.show(Units::Si), "1.7 mm");
        assert_eq!(gap.show(Units::Us), "0.067 in");
    }

    #[test]
    fn what_is_not_known_is_no_number() {
        assert!(!pressure(f64::NAN).show(Units::Si).contains("NaN"));
        assert!(!pressure(f64::NAN).show(Units::Us).contains("NaN"));
    }
}
