//! Blends with a name, such as the LPG grades.

use super::SourceKey;
use serde::Deserialize;

/// A blend that the library knows by name, in mole percent.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Blend {
    /// Name, e.g. `lpg-propane`.
    pub name: String,
    /// Other names accepted on input; all lower case.
    #[serde(default)]
    pub synonyms: Vec<String>,
    /// What it stands for and what of it is a choice.
    pub note: String,
    /// Where the composition is from.
    pub source: SourceKey,
    /// The components; percentages add up to 100.
    pub parts: Vec<Share>,
}

/// One component of a named blend.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Share {
    /// Name of the fuel.
    pub fuel: String,
    /// Mole percent.
    pub percent: f64,
}

/// `blends.toml` as it is written.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BlendsFile {
    #[serde(default)]
    pub(super) blend: Vec<Blend>,
}
