//! Fuel that feeds the flame: its atoms, mass and enthalpy, as gas or as liquid.
//!
//! The enthalpy decides what a liquid costs: it lies below that of the gas by the heat of vaporization.

use super::error::FlameError;
use crate::combustion::equilibrium::{ELEMENTS, Element, polynomial, species::ATOMIC_MASS_KG_MOL};
use crate::combustion::stoichiometry::WATER_VAPORIZATION_25C_J_MOL;
use crate::combustion::{Air, Stoichiometry};
use crate::eos::{Backend, Phase};
use crate::fuel::{Combustion, Composition, FedAs, Fuel};
use crate::quantity::{
    AbsolutePressure, AvailableEnergy, ThermodynamicTemperature, joules_per_kilogram, kelvin,
};

/// Temperature that enthalpies of formation belong to, K.
pub const STANDARD_TEMPERATURE_K: f64 = 298.15;
/// How far the formula may be off the molar mass, as a share, before elements count as missing.
const MASS_TOLERANCE: f64 = 2e-3;
/// Pressure at which a real gas is taken as ideal, Pa.
const IDEAL_PRESSURE_PA: f64 = 1.0;
/// Enthalpies of formation of carbon dioxide and liquid water at 25 °C, J/mol (`atct`).
const CARBON_DIOXIDE_J_MOL: f64 = -393_510.0;
const LIQUID_WATER_J_MOL: f64 = -285_830.0;

/// The phase a composition is normally metered in: liquid where all parts are.
pub fn usual_phase(composition: &Composition) -> FedAs {
    let liquid = |p: &crate::fuel::Part| p.fuel.fed_as == FedAs::Liquid;
    if composition.parts().iter().all(liquid) {
        FedAs::Liquid
    } else {
        FedAs::Gas
    }
}

/// One mole of fuel as it enters the burner.
#[derive(Debug, Clone, PartialEq)]
pub struct FuelFeed {
    composition: Composition,
    phase: FedAs,
    t_k: f64,
    pub(super) atoms: [f64; ELEMENTS],
    pub(super) molar_mass_kg_mol: f64,
    pub(super) enthalpy_j_mol: f64,
    /// Oxygen for complete burning, mol/mol.
    pub(super) oxygen_mol_mol: f64,
    lower_heating_value_j_kg: f64,
}

impl FuelFeed {
    /// Fuel as gas.
    ///
    /// `h = Σ x_i h_i(T)` by NASA polynomials, ideal gas.
    ///
    /// **Valid:** the range of the polynomials. It is not looked at whether the fuel is a gas there:
    /// [`FuelFeed::from_state`] does.
    /// **Source:** of the polynomials: `gri30`, `tm4513`.
    ///
    /// # Errors
    /// [`FlameError`]: nothing burns, elements not covered, no data.
    ///
    /// ```
    /// use fuelwright::combustion::flame::FuelFeed;
    /// use fuelwright::fuel::{Composition, Library};
    /// use fuelwright::quantity::kelvin;
    /// let library = Library::embedded();
    /// let propane = FuelFeed::gas(&Composition::parse("propane", &library)?, kelvin(298.15))?;
    /// assert!((propane.enthalpy().value / 1e3 + 2355.0).abs() < 2.0); // kJ/kg
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn gas(composition: &Composition, t: ThermodynamicTemperature) -> Result<Self, FlameError> {
        let h_j_mol = mean(composition, |fuel| gas_enthalpy_j_mol(fuel, t.value))?;
        Self::new(composition, FedAs::Gas, t.value, h_j_mol)
    }

    /// Fuel as liquid.
    ///
    /// `h = Σ x_i [h_i,gas(25 °C) − Δ_vap h_i + ∫ c dT]`, `Δ_vap h` the difference of the enthalpies of
    /// formation of gas and liquid; liquids mix ideally.
    ///
    /// **Valid:** 25 °C; other temperatures only for fuels whose file has the heat capacity of the liquid:
    /// [`FuelFeed::from_state`] takes the others.
    /// **Source:** of the fuel file.
    ///
    /// # Errors
    /// [`FlameError`]: nothing burns, elements not covered, no data.
    pub fn liquid(
        composition: &Composition,
        t: ThermodynamicTemperature,
    ) -> Result<Self, FlameError> {
        let h_j_mol = mean(composition, |fuel| {
            Ok(liquid_enthalpy_j_mol(fuel)? + liquid_heating_j_mol(fuel, t.value)?)
        })?;
        Self::new(composition, FedAs::Liquid, t.value, h_j_mol)
    }

    /// Fuel at 25 °C in the phase it is normally metered in.
    ///
    /// # Errors
    /// As [`FuelFeed::gas`] and [`FuelFeed::liquid`].
    pub fn usual(composition: &Composition) -> Result<Self, FlameError> {
        Self::standard(composition, usual_phase(composition))
    }

    /// Fuel at 25 °C in a given phase.
    ///
    /// # Errors
    /// As [`FuelFeed::gas`] and [`FuelFeed::liquid`].
    pub fn standard(composition: &Composition, phase: FedAs) -> Result<Self, FlameError> {
        let t = kelvin(STANDARD_TEMPERATURE_K);
        match phase {
            FedAs::Gas => Self::gas(composition, t),
            FedAs::Liquid => Self::liquid(composition, t),
        }
    }

    /// Fuel at a pressure and temperature, its enthalpy from the real fluid.
    ///
    /// `h = h_ref(25 °C) + [h(p, T) − h_ref]`, the reference being the ideal gas at 25 °C for a gas and, where
    /// its enthalpy of formation is known, the liquid at 25 °C for a liquid.
    ///
    /// **Valid:** the range of the backend, in one phase.
    /// **Source:** of the backend and of the fuel file.
    ///
    /// # Errors
    /// [`FlameError::BelowDewPoint`], [`FlameError::AboveBubblePoint`] if the fuel is not in that phase
    /// there; otherwise as [`FuelFeed::gas`], or what the backend says.
    pub fn from_state(
        backend: &dyn Backend,
        p: AbsolutePressure,
        t: ThermodynamicTemperature,
        phase: FedAs,
    ) -> Result<Self, FlameError> {
        let composition = backend.composition();
        let (p_pa, t_k) = (p.pascals(), t.value);
        check_phase(backend, p_pa, t_k, phase)?;
        let feed = Self::standard(composition, phase).or_else(|e| match (phase, e) {
            // a liquefied gas: no enthalpy of formation of the liquid, the gas anchors it
            (FedAs::Liquid, FlameError::NoEnthalpy { .. }) => {
                Self::standard(composition, FedAs::Gas)
            }
            (_, e) => Err(e),
        })?;
        let (anchor_phase, anchor_pa) = match feed.phase {
            FedAs::Gas => (Phase::Gas, IDEAL_PRESSURE_PA),
            FedAs::Liquid => (Phase::Liquid, p_pa),
        };
        let anchor = backend.state_pt_in(anchor_pa, STANDARD_TEMPERATURE_K, anchor_phase)?;
        let state_phase = match phase {
            FedAs::Gas => Phase::Gas,
            FedAs::Liquid => Phase::Liquid,
        };
        let here = backend.state_pt_in(p_pa, t_k, state_phase)?;
        let rise_j_kg = here.enthalpy_j_kg - anchor.enthalpy_j_kg;
        let mut lower_heating_value_j_kg = feed.lower_heating_value_j_kg;
        if feed.phase != phase
            && let Ok(boiling) = backend.bubble_t(STANDARD_TEMPERATURE_K)
        {
            // the liquefied gas at 25 °C gives less by what its evaporation takes
            lower_heating_value_j_kg += boiling.liquid.enthalpy_j_kg - anchor.enthalpy_j_kg;
        }
        Ok(Self {
            lower_heating_value_j_kg,
            phase,
            t_k,
            enthalpy_j_mol: feed.enthalpy_j_mol + rise_j_kg * feed.molar_mass_kg_mol,
            ..feed
        })
    }

    fn new(
        composition: &Composition,
        phase: FedAs,
        t_k: f64,
        enthalpy_j_mol: f64,
    ) -> Result<Self, FlameError> {
        let mut atoms = [0.0; ELEMENTS];
        for part in composition.parts() {
            check_elements(&part.fuel)?;
            let f = part.fuel.formula;
            for (e, n) in [
                (Element::C, f.c),
                (Element::H, f.h),
                (Element::O, f.o),
                (Element::N, f.n),
                (Element::Ar, f.ar),
            ] {
                atoms[e.index()] += part.mole_fraction * n;
            }
        }
        // a liquefied gas has no heating value as liquid in its file: from_state corrects that of its gas
        let stoichiometry = Stoichiometry::with_air(composition, &Air::dry(), Some(phase))
            .or_else(|_| Stoichiometry::of(composition))?;
        Ok(Self {
            composition: composition.clone(),
            phase,
            t_k,
            atoms,
            molar_mass_kg_mol: composition.molar_mass_kg_mol(),
            enthalpy_j_mol,
            oxygen_mol_mol: stoichiometry.oxygen.value,
            lower_heating_value_j_kg: stoichiometry.lower_heating_value.value,
        })
    }

    /// What the fuel is.
    pub fn composition(&self) -> &Composition {
        &self.composition
    }

    /// Phase in which it enters.
    pub fn phase(&self) -> FedAs {
        self.phase
    }

    /// Temperature at which it enters.
    pub fn temperature(&self) -> ThermodynamicTemperature {
        kelvin(self.t_k)
    }

    /// Enthalpy with the enthalpy of formation in it.
    pub fn enthalpy(&self) -> AvailableEnergy {
        joules_per_kilogram(self.enthalpy_j_mol / self.molar_mass_kg_mol)
    }

    /// Lower heating value at 25 °C in the phase fed, as [`Stoichiometry`] has it.
    pub fn lower_heating_value(&self) -> AvailableEnergy {
        joules_per_kilogram(self.lower_heating_value_j_kg)
    }
}

/// Mean over the parts by moles.
fn mean(
    composition: &Composition,
    of: impl Fn(&Fuel) -> Result<f64, FlameError>,
) -> Result<f64, FlameError> {
    let mut sum = 0.0;
    for part in composition.parts() {
        sum += part.mole_fraction * of(&part.fuel)?;
    }
    Ok(sum)
}

fn check_elements(fuel: &Fuel) -> Result<(), FlameError> {
    let f = fuel.formula;
    let [m_c, m_h, m_o, m_n, m_ar] = ATOMIC_MASS_KG_MOL;
    let covered_kg_mol = f.c * m_c + f.h * m_h + f.o * m_o + f.n * m_n + f.ar * m_ar;
    let molar_mass_kg_mol = fuel.molar_mass_kg_mol;
    if (covered_kg_mol / molar_mass_kg_mol - 1.0).abs() > MASS_TOLERANCE {
        return Err(FlameError::ElementsNotCovered {
            fuel: fuel.name.clone(),
            covered_kg_mol,
            molar_mass_kg_mol,
        });
    }
    Ok(())
}

fn gas_enthalpy_j_mol(fuel: &Fuel, t_k: f64) -> Result<f64, FlameError> {
    let Some(nasa) = &fuel.nasa else {
        return standard_enthalpy_j_mol(fuel, FedAs::Gas, t_k);
    };
    if polynomial::in_range(nasa, t_k) {
        Ok(polynomial::enthalpy_j_mol(nasa, t_k))
    } else {
        Err(FlameError::FuelTemperatureOutOfRange {
            fuel: fuel.name.clone(),
            phase: "gas",
            t_k,
            lower_k: nasa.t_k[0],
            upper_k: nasa.t_k[2],
        })
    }
}

/// Of a fuel without polynomials, at 25 °C only.
fn standard_enthalpy_j_mol(fuel: &Fuel, phase: FedAs, t_k: f64) -> Result<f64, FlameError> {
    let none = FlameError::NoEnthalpy {
        fuel: fuel.name.clone(),
        phase: phase.name(),
    };
    let combustion = fuel.combustion.as_ref().ok_or(none.clone())?;
    let h = formation_enthalpy_j_mol(fuel, combustion, phase).ok_or(none)?;
    if (t_k - STANDARD_TEMPERATURE_K).abs() > 0.01 {
        return Err(FlameError::FuelTemperatureOutOfRange {
            fuel: fuel.name.clone(),
            phase: phase.name(),
            t_k,
            lower_k: STANDARD_TEMPERATURE_K,
            upper_k: STANDARD_TEMPERATURE_K,
        });
    }
    Ok(h)
}

/// From the fuel file, else from the gross heating value where that is of this phase.
fn formation_enthalpy_j_mol(fuel: &Fuel, data: &Combustion, phase: FedAs) -> Option<f64> {
    let (stated, same_phase) = match phase {
        FedAs::Gas => (data.formation_enthalpy_gas_j_mol, FedAs::Gas),
        FedAs::Liquid => (data.formation_enthalpy_liquid_j_mol, FedAs::Liquid),
    };
    let products =
        fuel.formula.c * CARBON_DIOXIDE_J_MOL + fuel.formula.h / 2.0 * LIQUID_WATER_J_MOL;
    stated.or_else(|| (fuel.fed_as == same_phase).then_some(data.gross_25c_j_mol + products))
}

/// Liquid at 25 °C: the gas of the polynomials less the heat of vaporization, so that gas and liquid
/// feeds of one fuel differ by just that. What does not burn and is a liquid is water.
fn liquid_enthalpy_j_mol(fuel: &Fuel) -> Result<f64, FlameError> {
    let both = fuel.combustion.as_ref().and_then(|c| {
        c.formation_enthalpy_gas_j_mol
            .zip(c.formation_enthalpy_liquid_j_mol)
    });
    if fuel.combustion.is_none() && fuel.fed_as == FedAs::Liquid {
        let heat_j_mol = fuel.formula.h / 2.0 * WATER_VAPORIZATION_25C_J_MOL;
        return Ok(gas_enthalpy_j_mol(fuel, STANDARD_TEMPERATURE_K)? - heat_j_mol);
    }
    match (both, &fuel.nasa) {
        (Some((gas, liquid)), Some(_)) => {
            Ok(gas_enthalpy_j_mol(fuel, STANDARD_TEMPERATURE_K)? - (gas - liquid))
        }
        _ => standard_enthalpy_j_mol(fuel, FedAs::Liquid, STANDARD_TEMPERATURE_K),
    }
}

/// `∫ c dT` from 25 °C, J/mol.
fn liquid_heating_j_mol(fuel: &Fuel, t_k: f64) -> Result<f64, FlameError> {
    let out_of_range = |lower_k, upper_k| FlameError::FuelTemperatureOutOfRange {
        fuel: fuel.name.clone(),
        phase: "liquid",
        t_k,
        lower_k,
        upper_k,
    };
    match &fuel.correlation {
        Some(correlation) => {
            let [lower_k, upper_k] = correlation.t_range_k;
            if !(lower_k..=upper_k).contains(&t_k) {
                return Err(out_of_range(lower_k, upper_k));
            }
            let integral = |t: f64| -> f64 {
                let powers = correlation.heat_capacity.c.iter().zip(1_i32..);
                powers.map(|(c, i)| c * t.powi(i) / f64::from(i)).sum()
            };
            Ok(fuel.molar_mass_kg_mol * (integral(t_k) - integral(STANDARD_TEMPERATURE_K)))
        }
        None if (t_k - STANDARD_TEMPERATURE_K).abs() <= 0.01 => Ok(0.0),
        None => Err(out_of_range(STANDARD_TEMPERATURE_K, STANDARD_TEMPERATURE_K)),
    }
}

/// Refuses a gas below its dew point and a liquid above its bubble point.
fn check_phase(backend: &dyn Backend, p_pa: f64, t_k: f64, phase: FedAs) -> Result<(), FlameError> {
    if phase == FedAs::Gas && backend.is_certainly(Phase::Gas, p_pa, t_k) {
        return Ok(());
    }
    let (t_critical_k, _) = backend.critical();
    if t_k >= t_critical_k {
        return Ok(());
    }
    let fuel = || backend.composition().label().to_owned();
    match phase {
        FedAs::Gas => {
            let dew_pa = backend.dew_t(t_k)?.pressure_pa;
            if p_pa > dew_pa {
                let dew_k = backend.dew_p(p_pa).ok().map(|e| e.temperature_k);
                return Err(FlameError::BelowDewPoint {
                    fuel: fuel(),
                    t_k,
                    p_pa,
                    dew_pa,
                    dew_k,
                });
            }
        }
        FedAs::Liquid => {
            let bubble_pa = backend.bubble_t(t_k)?.pressure_pa;
            if p_pa < bubble_pa {
                let bubble_k = backend.bubble_p(p_pa).ok().map(|e| e.temperature_k);
                return Err(FlameError::AboveBubblePoint {
                    fuel: fuel(),
                    t_k,
                    p_pa,
                    bubble_pa,
                    bubble_k,
                });
            }
        }
    }
    Ok(())
}
