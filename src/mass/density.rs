//! Densities of the metals that tube is made of.

use super::tube::{BRASS_KG_M3, COPPER_KG_M3, STAINLESS_316_KG_M3};
use crate::quantity::{MassDensity, kilograms_per_cubic_metre};
use crate::train::Material;

/// Carbon steel, kg/m³: handbook figure, from memory.
const CARBON_STEEL_KG_M3: f64 = 7850.0;
/// Aluminium alloy, kg/m³: handbook figure, from memory.
const ALUMINIUM_KG_M3: f64 = 2700.0;

/// Density of a metal; `None` for what tube is not made of.
///
/// **Source:** `copper-tube-handbook` for copper; the rest are handbook figures, from memory.
pub fn density(material: &Material) -> Option<MassDensity> {
    let kg_m3 = match material {
        Material::Copper => COPPER_KG_M3,
        Material::Brass => BRASS_KG_M3,
        Material::StainlessSteel => STAINLESS_316_KG_M3,
        Material::CarbonSteel | Material::GalvanisedSteel => CARBON_STEEL_KG_M3,
        Material::Aluminium => ALUMINIUM_KG_M3,
        _ => return None,
    };
    Some(kilograms_per_cubic_metre(kg_m3))
}

/// The first metal on a list that tube is made of.
pub fn tube_metal(wetted: &[Material]) -> Option<(&Material, MassDensity)> {
    wetted.iter().find_map(|m| Some((m, density(m)?)))
}
