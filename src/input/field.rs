//! One key of the rig file: what it is called, what it takes, what it means.

use crate::quantity::ZERO_CELSIUS_K;
use crate::quantity::pattern::Writing;
use crate::quantity::show::significant;
use std::fmt;

/// One key. The table of all keys comes from these, and so do the reader, the writer and the schema.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// Key.
    pub key: &'static str,
    /// What it takes.
    pub takes: Takes,
    /// SI unit of its numbers, empty for none.
    pub unit: &'static str,
    /// Whether it must be given.
    pub required: bool,
    /// Whether the word `"none"` says that there is none.
    pub takes_none: bool,
    /// Values it may have.
    pub bounds: Bounds,
    /// An example value, as TOML.
    pub example: &'static str,
    /// What it means.
    pub meaning: &'static str,
}

impl Field {
    /// A few words about the value, for a label: the meaning up to its first stop.
    pub fn label(&self) -> String {
        let end = self
            .meaning
            .find([';', '.', ':'])
            .unwrap_or(self.meaning.len());
        let mut letters = self.meaning[..end].chars();
        let first: String = letters
            .next()
            .map_or(String::new(), |c| c.to_lowercase().collect());
        first + letters.as_str()
    }

    /// The values it may have, in words.
    pub fn range(&self) -> String {
        match self.bounds {
            Bounds::Between(low, high) if self.unit == "K" => {
                let celsius = |k: f64| significant(k - ZERO_CELSIUS_K, 5);
                format!("{} degC to {} degC", celsius(low), celsius(high))
            }
            Bounds::Between(low, high) => {
                let unit = if self.unit.is_empty() {
                    String::new()
                } else {
                    format!(" {}", self.unit)
                };
                format!("{low}{unit} to {high}{unit}")
            }
            bounds => bounds.to_string(),
        }
    }
}

/// What a key takes.
#[derive(Debug, Clone, PartialEq)]
pub enum Takes {
    /// Text with a number and a unit of this kind, such as `a length`, and how it is written.
    Quantity(&'static str, Writing),
    /// A number, or text with `%`.
    Ratio,
    /// The same, or a range of it.
    RatioRange,
    /// A number.
    Number,
    /// A whole number, zero or more.
    Count,
    /// Text.
    Text,
    /// `true` or `false`.
    Flag,
    /// A date, written without quotes.
    Date,
    /// One of these words.
    Word(Vec<Word>),
    /// A list of such values.
    List(Box<Takes>),
    /// A pair of such values.
    Pairs(Box<Takes>, Box<Takes>),
    /// A table of counts by one of these words.
    Counts(Vec<Word>),
}

impl fmt::Display for Takes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Quantity(what, _) => f.write_str(what),
            Self::Ratio => f.write_str("a ratio (number or %)"),
            Self::RatioRange => f.write_str("a ratio (number or %) or a range of it"),
            Self::Number => f.write_str("a number"),
            Self::Count => f.write_str("a whole number"),
            Self::Text => f.write_str("text"),
            Self::Flag => f.write_str("true or false"),
            Self::Date => f.write_str("a date"),
            Self::Word(words) => write!(f, "one of {}", quoted(&spelled(words))),
            Self::List(of) => write!(f, "a list, each {of}"),
            Self::Pairs(a, b) => write!(f, "a pair of {a} and {b}"),
            Self::Counts(words) => {
                write!(f, "a table of whole numbers by {}", quoted(&spelled(words)))
            }
        }
    }
}

/// A word that a key takes, and what it means; nothing where it says that by itself.
pub type Word = (&'static str, &'static str);

/// The words without their meanings.
pub fn spelled(words: &[Word]) -> Vec<&'static str> {
    words.iter().map(|(word, _)| *word).collect()
}

/// Words in backquotes, separated by commas.
pub fn quoted(words: &[&str]) -> String {
    let all: Vec<String> = words.iter().map(|w| format!("`{w}`")).collect();
    all.join(", ")
}

/// Values a number may have, in SI units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Bounds {
    /// Any.
    Any,
    /// Above zero.
    Positive,
    /// Zero or more.
    NotNegative,
    /// Zero to one.
    Share,
    /// Above zero and up to one.
    PositiveShare,
    /// Between two values, ends included.
    Between(f64, f64),
}

impl Bounds {
    /// Whether a value in SI units may be.
    pub fn hold(self, si: f64) -> bool {
        si.is_finite()
            && match self {
                Self::Any => true,
                Self::Positive => si > 0.0,
                Self::NotNegative => si >= 0.0,
                Self::Share => (0.0..=1.0).contains(&si),
                Self::PositiveShare => si > 0.0 && si <= 1.0,
                Self::Between(low, high) => (low..=high).contains(&si),
            }
    }
}

impl fmt::Display for Bounds {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Any => Ok(()),
            Self::Positive => f.write_str("above zero"),
            Self::NotNegative => f.write_str("zero or more"),
            Self::Share => f.write_str("0 to 1 (0 % to 100 %)"),
            Self::PositiveShare => f.write_str("above 0 and up to 1 (100 %)"),
            Self::Between(low, high) => write!(f, "{low} to {high}"),
        }
    }
}

/// A group of keys that stand together: a table of the file, or the keys of one kind of part.
#[derive(Debug, Clone)]
pub struct SectionAbout {
    /// How it is written, e.g. `[site]`, `[[duties]]`.
    pub heading: String,
    /// What it is for.
    pub meaning: &'static str,
    /// Its keys.
    pub fields: &'static [Field],
}
