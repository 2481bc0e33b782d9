//! Blends with a name, such as the LPG grades.

use super::SourceKey;
use serde::Deserialize;

/// What percentages of a blend are of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Basis {
    /// Moles.
    #[default]
    Mole,
    /// Mass.
    Mass,
    /// Volumes of the liquids at 15 °C before they are mixed.
    Volume,
}

impl Basis {
    /// By the word behind the `@`.
    pub(super) fn of(word: &str) -> Option<Self> {
        match word {
            "mole" | "mol" => Some(Self::Mole),
            "mass" => Some(Self::Mass),
            "volume" | "vol" => Some(Self::Volume),
            _ => None,
        }
    }
    /// What is written behind the percentages.
    pub fn suffix(self) -> &'static str {
        match self {
            Self::Mole => "",
            Self::Mass => "@mass",
            Self::Volume => "@volume",
        }
    }
}

/// A blend that the library knows by name.
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
    /// What the percentages are of; mole where it is left out.
    #[serde(default)]
    pub basis: Basis,
    /// The components; percentages add up to 100.
    pub parts: Vec<Share>,
}

/// One component of a named blend.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Share {
    /// Name of the fuel.
    pub fuel: String,
    /// Percent.
    pub percent: f64,
}

/// `blends.toml` as it is written.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BlendsFile {
    #[serde(default)]
    pub(super) blend: Vec<Blend>,
}
