//! The fuels, binary pairs and citations that come with the program, and a user's own folder.

use super::{Fuel, ResidualTerm, SourceKey};
use std::sync::Arc;

/// Reducing parameters and departure of a binary pair in the multi-fluid model.
#[derive(Debug, Clone, PartialEq)]
pub struct Pair {
    /// Reducing temperature, beta; for (first, second) in the order asked.
    pub beta_t: f64,
    /// Reducing temperature, gamma.
    pub gamma_t: f64,
    /// Reducing volume, beta.
    pub beta_v: f64,
    /// Reducing volume, gamma.
    pub gamma_v: f64,
    /// Weight of the departure function.
    pub f: f64,
    /// Departure function; empty where `f` is zero.
    pub departure: Arc<[ResidualTerm]>,
    /// Paper, or the rule of estimation.
    pub source: SourceKey,
    /// No published model: parameters estimated by the rule that `source` names.
    pub estimated: bool,
}

/// A citation.
#[derive(Debug, Clone, PartialEq)]
pub struct Source {
    /// Citation in one line.
    pub citation: String,
}

/// Why a fuel could not be had.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FuelError {
    /// No such fuel.
    #[error("there is no fuel named `{name}`{}", did_you_mean(suggestion))]
    Unknown {
        /// As typed.
        name: String,
        /// Nearest name in the library.
        suggestion: Option<String>,
    },
}

fn did_you_mean(s: &Option<String>) -> String {
    s.as_ref()
        .map_or(String::new(), |s| format!("; did you mean `{s}`?"))
}

/// Fuels, pairs and citations.
#[derive(Debug)]
pub struct Library {}

impl Library {
    /// The library embedded in the program; files are read when first asked for.
    pub fn embedded() -> Self {
        Self {}
    }
    /// A fuel by name or synonym.
    ///
    /// # Errors
    /// [`FuelError::Unknown`] with the nearest name.
    pub fn fuel(&self, name: &str) -> Result<Arc<Fuel>, FuelError> {
        Err(FuelError::Unknown {
            name: name.to_owned(),
            suggestion: None,
        })
    }
    /// Parameters of a binary pair by fuel names; `None` where nothing is published and no rule applies.
    pub fn pair(&self, _first: &str, _second: &str) -> Option<Pair> {
        None
    }
    /// A citation by key.
    pub fn source(&self, _key: &str) -> Option<Source> {
        None
    }
    /// Names of all fuels, in order.
    pub fn names(&self) -> Vec<&str> {
        Vec::new()
    }
}
