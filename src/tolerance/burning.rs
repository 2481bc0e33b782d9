//! Air that a fuel needs and heat it gives, as the shares of its components move.

use super::inputs::{Input, InputKind};
use crate::combustion::Stoichiometry;
use crate::combustion::stoichiometry::net_as;
use crate::fuel::Composition;

/// Air-fuel ratio and heating value against composition, exact at the composition given.
#[derive(Debug, Clone)]
pub(super) struct Burns {
    shares: Vec<f64>,
    oxygen: Vec<f64>,
    heat_j_mol: Vec<f64>,
    mass_kg_mol: Vec<f64>,
    air_fuel_ratio: f64,
    heat_j_kg: f64,
}

impl Burns {
    pub(super) fn new(fuel: &Composition, whole: &Stoichiometry) -> Self {
        let parts = fuel.parts();
        let oxygen = |p: &crate::fuel::composition::Part| p.fuel.formula.oxygen();
        let heat =
            |p: &crate::fuel::composition::Part| net_as(&p.fuel, p.fuel.fed_as).unwrap_or(0.0);
        Self {
            shares: fuel.mole_fractions(),
            oxygen: parts.iter().map(oxygen).collect(),
            heat_j_mol: parts.iter().map(heat).collect(),
            mass_kg_mol: parts.iter().map(|p| p.fuel.molar_mass_kg_mol).collect(),
            air_fuel_ratio: whole.air_fuel_ratio.value,
            heat_j_kg: whole.lower_heating_value.value,
        }
    }

    /// Air-fuel ratio and lower heating value (J/kg) with every input at its draw.
    pub(super) fn with(&self, inputs: &[Input], draws: &[f64]) -> (f64, f64) {
        let mut shares = self.shares.clone();
        for (input, draw) in inputs.iter().zip(draws) {
            if let InputKind::Component(i) = input.kind {
                shares[i] *= 1.0 + input.departure(*draw);
            }
        }
        let per_kg = |of: &[f64], x: &[f64]| {
            let sum = |v: &[f64]| -> f64 { x.iter().zip(v).map(|(x, v)| x * v).sum() };
            sum(of) / sum(&self.mass_kg_mol)
        };
        let change = |of: &[f64]| {
            let before = per_kg(of, &self.shares);
            if before > 0.0 {
                per_kg(of, &shares) / before
            } else {
                1.0
            }
        };
        (
            self.air_fuel_ratio * change(&self.oxygen),
            self.heat_j_kg * change(&self.heat_j_mol),
        )
    }
}
