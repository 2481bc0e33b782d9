//! Regular expressions of the texts that are read as a quantity, for schemas and editors.

use super::kind::Kind;
use super::lookup::{MARKS, Mark, find, tidied};
use super::units::UNITS;
use std::fmt::Write;

/// How a quantity is written: which units, and what stands behind a unit of pressure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Writing {
    /// Kind of its units.
    pub kind: Kind,
    /// Marks behind the unit.
    pub level: Level,
}

/// What a unit of pressure must be marked as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Level {
    /// No mark.
    None,
    /// Gauge.
    Gauge,
    /// Absolute.
    Absolute,
    /// Either of them.
    Either,
}

/// A number: sign, decimal, exponent; then perhaps a fraction, alone or behind a whole number.
const DECIMAL: &str = r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?";

impl Writing {
    /// Writing of a quantity that is shown in a unit, such as `mm` or `Pa(g)`; `None` if it is no unit.
    ///
    /// ```
    /// use fuelwright::quantity::Kind;
    /// use fuelwright::quantity::pattern::{Level, Writing};
    /// let writing = Writing::of("Pa(g)").expect("a unit");
    /// assert_eq!(writing.level, Level::Gauge);
    /// assert_eq!(writing.kind, Kind::PressureDifference);
    /// ```
    pub fn of(unit: &str) -> Option<Self> {
        let (unit, mark) = find(unit)?;
        Some(Self {
            kind: unit.kind,
            level: match mark {
                None => Level::None,
                Some(Mark::Gauge) => Level::Gauge,
                Some(Mark::Absolute) => Level::Absolute,
            },
        })
    }

    /// Writing of a pressure that may be gauge or absolute.
    pub const EITHER: Self = Self {
        kind: Kind::PressureDifference,
        level: Level::Either,
    };

    /// Symbols of its units, as the program writes them.
    pub fn symbols(self) -> Vec<&'static str> {
        UNITS
            .iter()
            .filter(|u| u.kind == self.kind)
            .map(|u| u.symbol)
            .collect()
    }

    /// A regular expression (in the common subset of ECMA 262 and others, anchored) that holds for every text
    /// the reader takes, and for none without a number and a unit of the kind. Signs and ranges are the
    /// reader's: it refuses more.
    pub fn pattern(self) -> String {
        format!(r"^\s*{}\s*$", self.bare())
    }

    /// The same for one such text or two with what stands between the ends of a range.
    pub fn range_pattern(self) -> String {
        let bare = self.bare();
        format!(r"^\s*{bare}(?:\s*(?:-|–|—|\.\.|to)\s*{bare})?\s*$")
    }

    fn bare(self) -> String {
        let mut spellings: Vec<String> = UNITS
            .iter()
            .filter(|u| u.kind == self.kind)
            .flat_map(|u| std::iter::once(&u.symbol).chain(u.aliases))
            .map(|s| spelled(&tidied(s)))
            .collect();
        spellings.sort();
        spellings.dedup();
        let unit = format!("(?:{})", spellings.join("|"));
        let number = format!(r"[+−-]?\s*{DECIMAL}(?:/{DECIMAL}|\s*-?{DECIMAL}/{DECIMAL})?");
        let marked = match self.level {
            Level::None => String::new(),
            level => format!(r"\s*(?:{})", marks(level).join("|")),
        };
        let usual = format!(r"{number}\s*{unit}{marked}");
        match self.kind {
            // `Kv 0.4` as well as `0.4 Kv`
            Kind::FlowCoefficient => format!(r"(?:{usual}|{unit}\s*=?\s*{number})"),
            // a ratio may do without its `%`
            Kind::Ratio => format!(r"{number}\s*(?:{unit})?"),
            _ => usual,
        }
    }
}

fn marks(level: Level) -> Vec<String> {
    MARKS
        .iter()
        .filter(|(_, mark)| match level {
            Level::Gauge => *mark == Mark::Gauge,
            Level::Absolute => *mark == Mark::Absolute,
            Level::Either => true,
            Level::None => false,
        })
        .map(|(ending, _)| spelled_from(ending, false))
        .collect()
}

/// A spelling as an expression: any case but for a leading m or M, any of the signs that mean the same.
fn spelled(tidy: &str) -> String {
    spelled_from(tidy, true)
}

fn spelled_from(tidy: &str, first_m_counts: bool) -> String {
    let mut out = String::new();
    let mut rest = tidy;
    while let Some(c) = rest.chars().next() {
        if let Some(behind) = rest.strip_prefix("deg") {
            out.push_str("(?:[dD][eE][gG]|[°º])");
            rest = behind;
            continue;
        }
        let first = out.is_empty();
        match c {
            'm' | 'M' if first && first_m_counts => out.push(c),
            'u' => out.push_str("[uUµμ]"),
            c if c.is_ascii_alphabetic() => {
                let _ = write!(
                    out,
                    "[{}{}]",
                    c.to_ascii_lowercase(),
                    c.to_ascii_uppercase()
                );
            }
            '2' => out.push_str(r"\^?[2²₂]"),
            '3' => out.push_str(r"\^?[3³]"),
            ' ' => out.push_str(r"[\s·*×]+"),
            '/' => out.push_str(r"\s*/\s*"),
            '(' => out.push_str(r"\s*\(\s*"),
            ')' => out.push_str(r"\s*\)"),
            '"' => out.push_str("[\"″”“]"),
            '\'' => out.push_str("['′’]"),
            c if c.is_ascii_digit() => out.push(c),
            c => {
                if c.is_ascii() {
                    out.push('\\');
                }
                out.push(c);
            }
        }
        rest = &rest[c.len_utf8()..];
    }
    out
}
