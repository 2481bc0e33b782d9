//! What a fuel file says of the viscosity of a fluid with a reference equation.

use super::SourceKey;
use serde::Deserialize;

/// Viscosity model of a fluid with a reference equation; the formulas are in `eos::transport`.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Viscosity {
    /// Paper.
    pub source: SourceKey,
    /// Relative uncertainty of gas viscosity, as a fraction.
    pub uncertainty_gas: f64,
    /// Relative uncertainty of liquid viscosity, as a fraction.
    pub uncertainty_liquid: f64,
    /// Relative uncertainty of the viscosity of dense vapour and near the critical point, as a
    /// fraction, where it is larger than the others and known.
    #[serde(default)]
    pub uncertainty_dense_vapour: Option<f64>,
    /// Model name: a formula in `eos::transport`.
    pub model: String,
    /// Named coefficient lists of that model.
    pub coefficients: std::collections::BTreeMap<String, Vec<f64>>,
}
