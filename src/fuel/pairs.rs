//! Binary pairs of the multi-fluid model: published parameters, departure functions, and the
//! estimate for pairs that have none.

use super::{ResidualTerm, SourceKey};
use serde::Deserialize;
use std::collections::BTreeMap;
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

impl Pair {
    /// The estimate for a pair without a published model: Lorentz-Berthelot, all parameters one.
    ///
    /// **Source:** `lorentz-berthelot`
    pub fn estimate() -> Self {
        Self {
            beta_t: 1.0,
            gamma_t: 1.0,
            beta_v: 1.0,
            gamma_v: 1.0,
            f: 0.0,
            departure: Arc::from([]),
            source: "lorentz-berthelot".to_owned(),
            estimated: true,
        }
    }

    /// The same pair with its components the other way round: beta becomes 1/beta.
    #[must_use]
    pub fn swapped(&self) -> Self {
        Self {
            beta_t: 1.0 / self.beta_t,
            beta_v: 1.0 / self.beta_v,
            ..self.clone()
        }
    }
}

/// `pairs.toml` as it is written.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PairsFile {
    #[serde(default)]
    pub(super) pair: Vec<RawPair>,
}

/// One pair as it is written.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawPair {
    pub(super) first: String,
    pub(super) second: String,
    pub(super) beta_t: f64,
    pub(super) gamma_t: f64,
    pub(super) beta_v: f64,
    pub(super) gamma_v: f64,
    #[serde(default)]
    pub(super) f: f64,
    #[serde(default)]
    pub(super) departure: Option<String>,
    pub(super) source: SourceKey,
}

impl RawPair {
    /// The pair with its departure function, or the name of the departure that does not exist.
    pub(super) fn resolve(
        self,
        departures: &BTreeMap<String, Arc<[ResidualTerm]>>,
    ) -> Result<((String, String), Pair), String> {
        let departure = match self.departure {
            None => Arc::from([]),
            Some(name) => departures.get(&name).cloned().ok_or(name)?,
        };
        let pair = Pair {
            beta_t: self.beta_t,
            gamma_t: self.gamma_t,
            beta_v: self.beta_v,
            gamma_v: self.gamma_v,
            f: self.f,
            departure,
            source: self.source,
            estimated: false,
        };
        Ok(((self.first, self.second), pair))
    }
}

/// `departures.toml` as it is written.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct DeparturesFile {
    #[serde(default)]
    pub(super) departure: Vec<RawDeparture>,
}

/// One departure function as it is written.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawDeparture {
    pub(super) name: String,
    pub(super) source: SourceKey,
    pub(super) terms: Vec<ResidualTerm>,
}
