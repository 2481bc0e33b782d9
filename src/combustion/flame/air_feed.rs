//! Air that feeds the flame: its atoms, mass and enthalpy.

use super::error::FlameError;
use crate::combustion::Air;
use crate::combustion::equilibrium::{ELEMENTS, Products, polynomial};
use crate::quantity::{Ratio, ThermodynamicTemperature, kelvin, ratio};

/// Coldest and hottest air the polynomials reach, K.
pub const AIR_RANGE_K: [f64; 2] = [200.0, 3000.0];
/// Molar mass of water, kg/mol (`ciaaw2013`).
const WATER_KG_MOL: f64 = 0.018_015_28;

/// One mole of air, with the water it carries, as it enters the burner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirFeed {
    pub(super) air: Air,
    pub(super) t_k: f64,
    pub(super) atoms: [f64; ELEMENTS],
    pub(super) enthalpy_j_mol: f64,
    pub(super) molar_mass_kg_mol: f64,
}

impl AirFeed {
    /// Air of a composition and temperature.
    ///
    /// **Valid:** 200 K to 3000 K, ideal gas. **Source:** `gri30`, `tm4513`.
    ///
    /// # Errors
    /// [`FlameError::AirTemperatureOutOfRange`].
    ///
    /// # Panics
    /// Never: all that air is made of is in the table of products, which the tests read.
    ///
    /// ```
    /// use fuelwright::combustion::{Air, flame::AirFeed};
    /// use fuelwright::quantity::{celsius, pascals_absolute, ratio};
    /// let humid = Air::humid(celsius(30.0), pascals_absolute(95_000.0), ratio(0.7))?;
    /// assert!(AirFeed::new(humid, celsius(30.0)).is_ok());
    /// # Ok::<(), fuelwright::combustion::CombustionError>(())
    /// ```
    pub fn new(air: Air, t: ThermodynamicTemperature) -> Result<Self, FlameError> {
        let t_k = t.value;
        let [lower_k, upper_k] = AIR_RANGE_K;
        if !(lower_k..=upper_k).contains(&t_k) {
            return Err(FlameError::AirTemperatureOutOfRange {
                t_k,
                lower_k,
                upper_k,
            });
        }
        let table = Products::embedded();
        let (mut atoms, mut enthalpy_j_mol) = ([0.0; ELEMENTS], 0.0);
        for (name, x) in [
            ("N2", air.nitrogen),
            ("O2", air.oxygen),
            ("AR", air.argon),
            ("CO2", air.carbon_dioxide),
            ("H2O", air.water),
        ] {
            let nasa = table.nasa(name).zip(table.index(name));
            let (nasa, index) = nasa.expect("air is made of products");
            enthalpy_j_mol += x * polynomial::enthalpy_j_mol(nasa, t_k);
            for (sum, a) in atoms.iter_mut().zip(table.atoms(index)) {
                *sum += x * a;
            }
        }
        Ok(Self {
            air,
            t_k,
            atoms,
            enthalpy_j_mol,
            molar_mass_kg_mol: air.molar_mass().value,
        })
    }

    /// Dry air.
    ///
    /// # Errors
    /// [`FlameError::AirTemperatureOutOfRange`].
    pub fn dry(t: ThermodynamicTemperature) -> Result<Self, FlameError> {
        Self::new(Air::dry(), t)
    }

    /// Air with a mass of water a mass of dry air: `x_w = w/(w + M_w/M_a)`.
    ///
    /// # Errors
    /// [`FlameError::AirTemperatureOutOfRange`], [`FlameError::HumidityOutOfRange`].
    pub fn with_humidity_ratio(
        t: ThermodynamicTemperature,
        humidity_ratio: Ratio,
    ) -> Result<Self, FlameError> {
        let w = humidity_ratio.value;
        let out_of_range = || FlameError::HumidityOutOfRange { ratio: w };
        if w < 0.0 {
            return Err(out_of_range());
        }
        let by_moles = w * Air::dry().molar_mass().value / WATER_KG_MOL;
        let air = Air::with_water(ratio(by_moles / (1.0 + by_moles)));
        Self::new(air.map_err(|_| out_of_range())?, t)
    }

    /// What the air is made of.
    pub fn air(&self) -> &Air {
        &self.air
    }

    /// Temperature.
    pub fn temperature(&self) -> ThermodynamicTemperature {
        kelvin(self.t_k)
    }
}
