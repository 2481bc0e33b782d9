//! Air-fuel ratio and heating values from composition.

use super::air::Air;
use super::error::CombustionError;
use crate::fuel::{Composition, FedAs, Fuel, SourceKey};
use crate::quantity::{
    AvailableEnergy, MolarMass, Ratio, ThermodynamicTemperature, joules_per_kilogram, kelvin,
    kilograms_per_mole, ratio,
};

/// Heat of vaporization of water at 25 °C, J/mol. **Source:** `iso6976`
pub const WATER_VAPORIZATION_25C_J_MOL: f64 = 44_013.0;

/// How much air a fuel needs and how much heat it gives.
#[derive(Debug, Clone, PartialEq)]
pub struct Stoichiometry {
    /// Mean molar mass of the fuel.
    pub molar_mass: MolarMass,
    /// Moles of oxygen that a mole of fuel needs.
    pub oxygen: Ratio,
    /// Mass of air that a mass of fuel needs.
    pub air_fuel_ratio: Ratio,
    /// Volume of air that a volume of fuel gas needs (both ideal, at one temperature and pressure).
    pub air_fuel_ratio_by_volume: Ratio,
    /// Mole fraction of fuel in the stoichiometric mixture.
    pub fuel_in_mixture: Ratio,
    /// Net heating value at [`Stoichiometry::reference_temperature`]: water leaves as vapour.
    pub lower_heating_value: AvailableEnergy,
    /// Gross heating value: water leaves as liquid.
    pub higher_heating_value: AvailableEnergy,
    /// Relative uncertainty of the heating values: the largest of the components'.
    pub heating_value_uncertainty: Ratio,
    /// Temperature of fuel, air and products to which the heating values belong.
    pub reference_temperature: ThermodynamicTemperature,
    /// Phase of the fuel to which the heating values belong; `None` for a blend of fuels that are
    /// metered in different phases, each counted in its own.
    pub phase: Option<FedAs>,
    /// Sources of the heating values, without repetition.
    pub sources: Vec<SourceKey>,
}

impl Stoichiometry {
    /// Of a fuel or blend with dry air, each component in the phase it is normally metered in.
    ///
    /// # Errors
    /// As [`Stoichiometry::with_air`].
    ///
    /// ```
    /// use fuelwright::combustion::stoichiometry::Stoichiometry;
    /// use fuelwright::fuel::{Composition, Library};
    /// let propane = Composition::parse("propane", &Library::embedded())?;
    /// let s = Stoichiometry::of(&propane)?;
    /// assert!((s.air_fuel_ratio.value - 15.68).abs() < 0.005);
    /// assert!((s.lower_heating_value.value - 46.33e6).abs() < 0.01e6);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of(fuel: &Composition) -> Result<Self, CombustionError> {
        Self::with_air(fuel, &Air::dry(), None)
    }

    /// Of a fuel or blend with the air given, all of it in the phase given or, for `None`, each
    /// component in the phase it is normally metered in.
    ///
    /// `CcHhOoNn + (c + h/4 - o/2) O2 → c CO2 + h/2 H2O + n/2 N2`; oxygen in the fuel counts, so the air is what it needs
    /// besides; air by mass `= n_O2 / x_O2 · M_air / M_fuel`; net = gross `- h/2 · 44.013 kJ/mol`.
    /// Gross values of a component in its other phase differ by the enthalpies of formation.
    ///
    /// **Valid:** complete combustion; heating values at 25 °C, the gas ideal.
    /// **Source:** `iso6976`, `atct`
    ///
    /// # Errors
    /// [`CombustionError::DoesNotBurn`], [`CombustionError::NeedsNoAir`], [`CombustionError::NoHeatingValue`].
    pub fn with_air(
        fuel: &Composition,
        air: &Air,
        phase: Option<FedAs>,
    ) -> Result<Self, CombustionError> {
        let mut oxygen = 0.0;
        let mut gross_j_mol = 0.0;
        let mut net_j_mol = 0.0;
        let mut uncertainty = 0.0_f64;
        let mut sources: Vec<SourceKey> = Vec::new();
        let mut phases: Vec<FedAs> = Vec::new();
        for part in fuel.parts() {
            let (x, f) = (part.mole_fraction, part.fuel.formula);
            let as_phase = phase.unwrap_or(part.fuel.fed_as);
            oxygen += x * f.oxygen();
            gross_j_mol += x * gross_as(&part.fuel, as_phase)?;
            net_j_mol += x * net_as(&part.fuel, as_phase)?;
            let Some(data) = &part.fuel.combustion else {
                continue;
            };
            uncertainty = uncertainty.max(data.uncertainty);
            let mut add = |key: &SourceKey| {
                if !sources.contains(key) {
                    sources.push(key.clone());
                }
            };
            add(&data.source);
            if as_phase != part.fuel.fed_as {
                data.formation_source.iter().for_each(add);
            }
            if !phases.contains(&as_phase) {
                phases.push(as_phase);
            }
        }
        if oxygen <= 0.0 {
            let fuel = || fuel.label().to_owned();
            return Err(if sources.is_empty() {
                CombustionError::DoesNotBurn { fuel: fuel() }
            } else {
                CombustionError::NeedsNoAir { fuel: fuel() }
            });
        }
        let m_kg_mol = fuel.molar_mass_kg_mol();
        let air_per_fuel = oxygen / air.oxygen;
        Ok(Self {
            molar_mass: kilograms_per_mole(m_kg_mol),
            oxygen: ratio(oxygen),
            air_fuel_ratio: ratio(air_per_fuel * air.molar_mass().value / m_kg_mol),
            air_fuel_ratio_by_volume: ratio(air_per_fuel),
            fuel_in_mixture: ratio(1.0 / (1.0 + air_per_fuel)),
            lower_heating_value: joules_per_kilogram(net_j_mol / m_kg_mol),
            higher_heating_value: joules_per_kilogram(gross_j_mol / m_kg_mol),
            heating_value_uncertainty: ratio(uncertainty),
            reference_temperature: kelvin(298.15),
            phase: match phases[..] {
                [one] => Some(one),
                _ => None,
            },
            sources,
        })
    }
}

/// Net heating value of one component in a phase, J/mol: its water leaves as vapour, also that which it brings.
pub(crate) fn net_as(fuel: &Fuel, phase: FedAs) -> Result<f64, CombustionError> {
    let water = fuel.formula.h / 2.0 * WATER_VAPORIZATION_25C_J_MOL;
    Ok(gross_as(fuel, phase)? - water)
}

/// Gross heating value of one component in a phase, J/mol: none of what does not burn, but steam condenses.
fn gross_as(fuel: &Fuel, phase: FedAs) -> Result<f64, CombustionError> {
    let missing = || CombustionError::NoHeatingValue {
        fuel: fuel.name.clone(),
        phase: match phase {
            FedAs::Gas => "gas",
            FedAs::Liquid => "liquid",
        },
    };
    let Some(data) = &fuel.combustion else {
        let steam = fuel.fed_as == FedAs::Liquid && phase == FedAs::Gas;
        return Ok(if steam {
            fuel.formula.h / 2.0 * WATER_VAPORIZATION_25C_J_MOL
        } else {
            0.0
        });
    };
    if phase == fuel.fed_as {
        return Ok(data.gross_25c_j_mol);
    }
    let gas = data.formation_enthalpy_gas_j_mol.ok_or_else(missing)?;
    let liquid = data.formation_enthalpy_liquid_j_mol.ok_or_else(missing)?;
    Ok(match phase {
        FedAs::Gas => data.gross_25c_j_mol + gas - liquid,
        FedAs::Liquid => data.gross_25c_j_mol + liquid - gas,
    })
}
