//! What a fuel stream is made of: one fuel, or a blend by mole fractions.

use super::Fuel;
use std::sync::Arc;

/// One component of a composition.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// The fuel.
    pub fuel: Arc<Fuel>,
    /// Its share of the moles.
    pub mole_fraction: f64,
}

/// One fuel or a blend; mole fractions add up to one.
#[derive(Debug, Clone, PartialEq)]
pub struct Composition {
    parts: Arc<[Part]>,
    label: Arc<str>,
}

impl Composition {
    /// From parts whose mole fractions add up to one.
    pub fn from_parts(parts: Vec<Part>, label: &str) -> Self {
        Self {
            parts: parts.into(),
            label: label.into(),
        }
    }
    /// The components.
    pub fn parts(&self) -> &[Part] {
        &self.parts
    }
    /// Name for messages and tables, e.g. `propane` or `propane:70,n-butane:30`.
    pub fn label(&self) -> &str {
        &self.label
    }
    /// Mole fractions in the order of the parts.
    pub fn mole_fractions(&self) -> Vec<f64> {
        self.parts.iter().map(|p| p.mole_fraction).collect()
    }
    /// `M = Σ x_i M_i`, kg/mol.
    pub fn molar_mass_kg_mol(&self) -> f64 {
        self.parts
            .iter()
            .map(|p| p.mole_fraction * p.fuel.molar_mass_kg_mol)
            .sum()
    }
    /// The same components in other proportions (which must add up to one).
    #[must_use]
    pub fn with_mole_fractions(&self, x: &[f64]) -> Self {
        let parts = self.parts.iter().zip(x).map(|(p, &mole_fraction)| Part {
            fuel: Arc::clone(&p.fuel),
            mole_fraction,
        });
        Self {
            parts: parts.collect(),
            label: Arc::clone(&self.label),
        }
    }
}
