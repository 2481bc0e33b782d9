//! Heating value by volume, relative density and Wobbe index of a fuel gas by ISO 6976.

use super::error::CombustionError;
use crate::fuel::Composition;

/// Molar gas constant of the standard, J/(mol K).
const R_J_MOL_K: f64 = 8.314_462_1;
/// Molar mass of the standard's dry air, kg/mol, and its compressibility at 15 °C.
const M_AIR_KG_MOL: f64 = 0.028_965_46;
const Z_AIR: f64 = 0.999_595;
/// Heat of vaporization of water at 15 °C, J/mol.
const WATER_VAPORIZATION_15C_J_MOL: f64 = 44_431.0;
/// Least compressibility at which the summing rule holds.
const LEAST_Z: f64 = 0.9;
/// Combustion and metering conditions.
const T_K: f64 = 288.15;
const P_PA: f64 = 101_325.0;

/// What the standard lists for one component.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GasComponent {
    /// Share of the moles.
    pub mole_fraction: f64,
    /// Molar mass, kg/mol.
    pub molar_mass_kg_mol: f64,
    /// Gross heating value of the ideal gas at 15 °C, J/mol; 0 for an inert gas.
    pub gross_j_mol: f64,
    /// Hydrogen atoms in a molecule.
    pub hydrogen_atoms: f64,
    /// Summing factor at 15 °C.
    pub summing_factor: f64,
}

/// A fuel gas by ISO 6976:2016 at 15 °C, 101.325 kPa, for combustion and metering.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GasQuality {
    /// Molar mass, kg/mol.
    pub molar_mass_kg_mol: f64,
    /// Compressibility factor.
    pub compressibility: f64,
    /// Gross heating value, J/mol.
    pub gross_j_mol: f64,
    /// Gross heating value, J/kg.
    pub gross_j_kg: f64,
    /// Net heating value, J/kg.
    pub net_j_kg: f64,
    /// Gross heating value of the real gas, J/m³.
    pub gross_j_m3: f64,
    /// Net heating value of the real gas, J/m³.
    pub net_j_m3: f64,
    /// Density of the real gas, kg/m³.
    pub density_kg_m3: f64,
    /// Density over that of air at the same conditions.
    pub relative_density: f64,
    /// Gross Wobbe index, J/m³.
    pub wobbe_gross_j_m3: f64,
    /// Net Wobbe index, J/m³.
    pub wobbe_net_j_m3: f64,
}

impl GasQuality {
    /// Of a fuel or blend of the library, as a gas.
    ///
    /// # Errors
    /// [`CombustionError::NotInIso6976`] for a component that the standard does not list;
    /// [`CombustionError::TooNonIdeal`] as [`GasQuality::from_components`].
    ///
    /// ```
    /// use fuelwright::combustion::gas_quality::GasQuality;
    /// use fuelwright::fuel::{Composition, Library};
    /// let propane = Composition::parse("propane", &Library::embedded())?;
    /// let gas = GasQuality::of(&propane)?;
    /// assert!((gas.relative_density - 1.5497).abs() < 1e-4);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of(fuel: &Composition) -> Result<Self, CombustionError> {
        let mut components = Vec::with_capacity(fuel.parts().len());
        for part in fuel.parts() {
            let missing = |what| CombustionError::NotInIso6976 {
                fuel: part.fuel.name.clone(),
                what,
            };
            let gross_j_mol = match &part.fuel.combustion {
                // the water of what does not burn condenses
                None => part.fuel.formula.h / 2.0 * WATER_VAPORIZATION_15C_J_MOL,
                Some(c) => c.gross_15c_j_mol.ok_or_else(|| missing("heating value"))?,
            };
            components.push(GasComponent {
                mole_fraction: part.mole_fraction,
                molar_mass_kg_mol: part.fuel.molar_mass_kg_mol,
                gross_j_mol,
                hydrogen_atoms: part.fuel.formula.h,
                summing_factor: part
                    .fuel
                    .summing_factor_15c
                    .ok_or_else(|| missing("summing factor"))?,
            });
        }
        Self::from_components(&components, fuel.label())
    }

    /// From the standard's rows; `name` is for messages.
    ///
    /// `Z = 1 - (Σ x s)²`, `H_m = Σ x H`, `H_v = H_m p / (Z R T)`, `d = M Z_air / (M_air Z)`,
    /// `W = H_v / √d`; net values with `Σ x h/2` times 44.431 kJ/mol less.
    ///
    /// **Valid:** Z above 0.9; a gas at 15 °C, 1 atm.
    /// **Source:** `iso6976`
    ///
    /// # Errors
    /// [`CombustionError::DoesNotBurn`], [`CombustionError::TooNonIdeal`].
    pub fn from_components(
        components: &[GasComponent],
        name: &str,
    ) -> Result<Self, CombustionError> {
        let sum = |f: fn(&GasComponent) -> f64| -> f64 {
            components.iter().map(|c| c.mole_fraction * f(c)).sum()
        };
        let m_kg_mol = sum(|c| c.molar_mass_kg_mol);
        let gross_j_mol = sum(|c| c.gross_j_mol);
        let net_j_mol =
            gross_j_mol - sum(|c| c.hydrogen_atoms) / 2.0 * WATER_VAPORIZATION_15C_J_MOL;
        let z = 1.0 - sum(|c| c.summing_factor).powi(2);
        if gross_j_mol <= 0.0 {
            return Err(CombustionError::DoesNotBurn {
                fuel: name.to_owned(),
            });
        }
        if z <= LEAST_Z {
            return Err(CombustionError::TooNonIdeal {
                fuel: name.to_owned(),
                z,
                limit: LEAST_Z,
                source_key: "iso6976".to_owned(),
            });
        }
        let mol_m3 = P_PA / (z * R_J_MOL_K * T_K);
        let relative_density = m_kg_mol / M_AIR_KG_MOL * Z_AIR / z;
        let (gross_j_m3, net_j_m3) = (gross_j_mol * mol_m3, net_j_mol * mol_m3);
        Ok(Self {
            molar_mass_kg_mol: m_kg_mol,
            compressibility: z,
            gross_j_mol,
            gross_j_kg: gross_j_mol / m_kg_mol,
            net_j_kg: net_j_mol / m_kg_mol,
            gross_j_m3,
            net_j_m3,
            density_kg_m3: m_kg_mol * mol_m3,
            relative_density,
            wobbe_gross_j_m3: gross_j_m3 / relative_density.sqrt(),
            wobbe_net_j_m3: net_j_m3 / relative_density.sqrt(),
        })
    }
}
