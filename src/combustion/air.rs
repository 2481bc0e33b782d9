//! Composition of the air that burns the fuel, dry or humid.

use super::error::CombustionError;
use crate::quantity::{
    AbsolutePressure, MolarMass, Ratio, ThermodynamicTemperature, kilograms_per_mole, ratio,
};

/// Molar masses, kg/mol: nitrogen, oxygen, argon, carbon dioxide, water.
const M_N2: f64 = 0.028_013_4;
const M_O2: f64 = 0.031_998_8;
const M_AR: f64 = 0.039_948;
const M_CO2: f64 = 0.044_009_5;
const M_H2O: f64 = 0.018_015_28;

/// Mole fractions of air; they add up to one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Nitrogen.
    pub nitrogen: f64,
    /// Oxygen.
    pub oxygen: f64,
    /// Argon.
    pub argon: f64,
    /// Carbon dioxide.
    pub carbon_dioxide: f64,
    /// Water vapour.
    pub water: f64,
}

impl Air {
    /// Dry air: N2 0.78084, O2 0.20946, Ar 0.00934, CO2 0.00036.
    ///
    /// **Source:** `dry-air`
    pub fn dry() -> Self {
        Self {
            nitrogen: 0.780_84,
            oxygen: 0.209_46,
            argon: 0.009_34,
            carbon_dioxide: 0.000_36,
            water: 0.0,
        }
    }

    /// Dry air with a mole fraction of water vapour added: `x_i = x_i,dry (1 - x_w)`.
    ///
    /// **Valid:** water from 0 to 0.5.
    ///
    /// # Errors
    /// [`CombustionError::WaterOutOfRange`].
    pub fn with_water(water: Ratio) -> Result<Self, CombustionError> {
        let x = water.value;
        if !(0.0..=0.5).contains(&x) {
            return Err(CombustionError::WaterOutOfRange { mole_fraction: x });
        }
        let dry = Self::dry();
        Ok(Self {
            nitrogen: dry.nitrogen * (1.0 - x),
            oxygen: dry.oxygen * (1.0 - x),
            argon: dry.argon * (1.0 - x),
            carbon_dioxide: dry.carbon_dioxide * (1.0 - x),
            water: x,
        })
    }

    /// Humid air: `x_w = φ p_s(T) / p`, `p_s = 611.2 Pa exp(17.62 t / (243.12 + t))`, t in °C.
    ///
    /// **Valid:** -20 °C to 60 °C (over water, 0.5 %), relative humidity 0 to 1.
    /// **Source:** `wmo8`
    ///
    /// # Errors
    /// [`CombustionError::HumidityOutOfRange`], [`CombustionError::WaterOutOfRange`].
    ///
    /// ```
    /// use fuelwright::combustion::air::Air;
    /// use fuelwright::quantity::{celsius, pascals_absolute, ratio};
    /// let air = Air::humid(celsius(25.0), pascals_absolute(101_325.0), ratio(0.6))?;
    /// assert!((air.water - 0.0188).abs() < 1e-4);
    /// # Ok::<(), fuelwright::combustion::error::CombustionError>(())
    /// ```
    pub fn humid(
        temperature: ThermodynamicTemperature,
        pressure: AbsolutePressure,
        relative_humidity: Ratio,
    ) -> Result<Self, CombustionError> {
        let (t_c, rh) = (temperature.value - 273.15, relative_humidity.value);
        if !((-20.0..=60.0).contains(&t_c) && (0.0..=1.0).contains(&rh)) {
            return Err(CombustionError::HumidityOutOfRange {
                t_k: temperature.value,
                relative_humidity: rh,
            });
        }
        let p_saturation_pa = 611.2 * (17.62 * t_c / (243.12 + t_c)).exp();
        Self::with_water(ratio(rh * p_saturation_pa / pressure.pascals()))
    }

    /// Molar mass.
    pub fn molar_mass(&self) -> MolarMass {
        kilograms_per_mole(
            self.nitrogen * M_N2
                + self.oxygen * M_O2
                + self.argon * M_AR
                + self.carbon_dioxide * M_CO2
                + self.water * M_H2O,
        )
    }
}
