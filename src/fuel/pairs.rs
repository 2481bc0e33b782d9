//! Binary pairs of the multi-fluid model: published parameters, departure functions, and the
//! estimate for pairs that have none.

use super::{Formula, Fuel, ResidualTerm, SourceKey};
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
    /// The relative band on the bubble pressure, of an estimated pair and of a published one that was found to be off;
    /// `None` of the other published ones, and where it is not known (hydrogen, carbon monoxide or what does not burn,
    /// with another).
    pub band: Option<f64>,
}

/// Relative band on the bubble pressure of an equimolar blend when the estimate stands in for a
/// published pair: the largest difference between the two over the published pairs of each class,
/// rounded up (fuels/README.md has the table).
const BAND_HYDROCARBONS: f64 = 0.15;
const BAND_DIMETHYL_ETHER: f64 = 0.20;
const BAND_ALCOHOL: f64 = 0.60;

impl Pair {
    /// The estimate for a pair without a published model: arithmetic means for reducing temperature
    /// and volume, `γ_T = (T_a + T_b) / (2 √(T_a T_b))`, `γ_v = 4 (v_a + v_b) / (v_a^⅓ + v_b^⅓)³`,
    /// both beta one, no departure function. `None` where a fuel has no equation of state.
    ///
    /// **Valid:** a stand-in; [`Pair::band`] says how far it may be off. Alcohols with hydrocarbons
    /// are far from it (azeotropes).
    /// **Source:** `linear-combining`
    pub fn estimate(first: &Fuel, second: &Fuel) -> Option<Self> {
        let (a, b) = (first.equation.as_ref()?, second.equation.as_ref()?);
        let (t_a, t_b) = (a.t_reducing_k, b.t_reducing_k);
        let (v_a, v_b) = (1.0 / a.rho_reducing_mol_m3, 1.0 / b.rho_reducing_mol_m3);
        Some(Self {
            beta_t: 1.0,
            gamma_t: (t_a + t_b) / (2.0 * (t_a * t_b).sqrt()),
            beta_v: 1.0,
            gamma_v: 4.0 * (v_a + v_b) / (v_a.cbrt() + v_b.cbrt()).powi(3),
            f: 0.0,
            departure: Arc::from([]),
            source: "linear-combining".to_owned(),
            estimated: true,
            band: band(first, second),
        })
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

/// Band of the estimate by the chemistry of both fuels.
fn band(first: &Fuel, second: &Fuel) -> Option<f64> {
    let fuels = [first, second];
    if fuels.iter().any(|f| f.formula.c < 1.0 || f.formula.h < 1.0) {
        return None;
    }
    let has_oxygen = |f: &Formula| f.o > 0.0;
    let alcohol = |f: &&Fuel| has_oxygen(&f.formula) && f.name != "dimethyl-ether";
    if fuels.iter().any(alcohol) {
        Some(BAND_ALCOHOL)
    } else if fuels.iter().any(|f| has_oxygen(&f.formula)) {
        Some(BAND_DIMETHYL_ETHER)
    } else {
        Some(BAND_HYDROCARBONS)
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
    #[serde(default)]
    pub(super) band: Option<f64>,
    pub(super) source: SourceKey,
}

impl RawPair {
    /// The pair of two fuels with its departure function, or the name of the departure that does not exist.
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
            band: self.band,
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
    #[expect(
        dead_code,
        reason = "written in the file for its reader; a pair names its own source"
    )]
    pub(super) source: SourceKey,
    pub(super) terms: Vec<ResidualTerm>,
}

impl RawDeparture {
    /// Terms by name.
    pub(super) fn named(self) -> (String, Arc<[ResidualTerm]>) {
        (self.name, self.terms.into())
    }
}
