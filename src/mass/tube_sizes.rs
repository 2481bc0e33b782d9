//! Tube that can be had: outside diameter, wall, metal, with its pressure rating and mass.

use super::density::density;
use super::tube::{Tube, TubeError};
use crate::quantity::{
    GaugePressure, Length, Mass, ThermodynamicTemperature, kilograms, metres, pascals_absolute,
};
use crate::train::Material;

const INCH_M: f64 = 0.0254;
/// Least wall over nominal wall. Our choice, a tenth: drawn tube is held closer.
const LEAST_WALL: f64 = 0.9;
/// Greatest outside diameter over nominal. Our choice, a hundredth.
const GREATEST_OUTSIDE: f64 = 1.01;
/// Allowable stress of 316 steel in the thin-wall formula, Pa. From memory, to be checked with the code.
const STRESS_316_PA: f64 = 115e6;
/// Highest temperature to which that stress is used, K. Our choice.
const HOTTEST_316_K: f64 = 373.15;

/// A size of tube.
#[derive(Debug, Clone, PartialEq)]
pub struct TubeSize {
    /// Name, by which a person would ask for it.
    pub name: String,
    /// Outside diameter.
    pub outside: Length,
    /// Wall.
    pub wall: Length,
    /// Metal.
    pub metal: Material,
    /// Table it is from.
    pub source: &'static str,
}

impl TubeSize {
    /// Inside diameter.
    pub fn bore(&self) -> Length {
        self.outside - 2.0 * self.wall
    }

    /// Mass of a length.
    ///
    /// # Errors
    /// [`TubeError`].
    pub fn mass(&self, length: Length) -> Result<Mass, TubeError> {
        let rho = density(&self.metal).unwrap_or_default();
        let per_metre = Tube::new(self.outside, self.wall)?.mass_per_metre_kg(rho)?;
        Ok(kilograms(per_metre * length.value))
    }

    /// Pressure it may hold at a temperature, with a tenth off its wall and a hundredth on its diameter:
    /// copper as annealed tube, stainless steel by the thin-wall formula. Joints may hold less.
    ///
    /// **Valid:** copper to 204 °C, steel to 100 °C. **Source:** `copper-tube-handbook`, `barlow`.
    ///
    /// # Errors
    /// [`TubeError::TemperatureOutOfRange`].
    pub fn rating(&self, t: ThermodynamicTemperature) -> Result<GaugePressure, TubeError> {
        let thin = Tube::new(
            metres(GREATEST_OUTSIDE * self.outside.value),
            metres(LEAST_WALL * self.wall.value),
        )?;
        if self.metal == Material::Copper {
            return thin.annealed_copper_rating(t);
        }
        if t.value > HOTTEST_316_K {
            return Err(TubeError::SteelTooHot {
                t_k: t.value,
                upper_k: HOTTEST_316_K,
            });
        }
        thin.barlow_pressure(pascals_absolute(STRESS_316_PA))
    }
}

/// Coils by inch: outside diameter, wall, inch. **Source:** `astmb280`.
const COILS: [(&str, f64, f64); 7] = [
    ("1/8 in", 0.125, 0.030),
    ("3/16 in", 0.1875, 0.030),
    ("1/4 in", 0.25, 0.030),
    ("5/16 in", 0.3125, 0.032),
    ("3/8 in", 0.375, 0.032),
    ("1/2 in", 0.5, 0.032),
    ("5/8 in", 0.625, 0.035),
];

/// Drawn lengths by inch: outside diameter, wall, inch. **Source:** `astm-b280`.
const DRAWN: [(&str, f64, f64); 2] = [("3/4 in", 0.75, 0.042), ("7/8 in", 0.875, 0.045)];

/// Metric outside diameters with 1 mm wall, mm. **Source:** `en1057` from 6 mm, `iso1127` from memory; 4 mm in
/// copper is our choice: an ordinary size that `en1057` does not have.
const METRIC_MM: [f64; 5] = [4.0, 6.0, 8.0, 10.0, 12.0];

/// Every size.
pub fn tube_sizes() -> Vec<TubeSize> {
    let inch = |source, list: &[(&str, f64, f64)]| -> Vec<TubeSize> {
        list.iter()
            .map(|(name, outside, wall)| TubeSize {
                name: format!("copper tube {name} x {wall} in"),
                outside: metres(outside * INCH_M),
                wall: metres(wall * INCH_M),
                metal: Material::Copper,
                source,
            })
            .collect()
    };
    let metric = |metal: Material, word: &str, source| -> Vec<TubeSize> {
        METRIC_MM
            .iter()
            .map(|mm| TubeSize {
                name: format!("{word} tube {mm} x 1 mm"),
                outside: metres(mm * 1e-3),
                wall: metres(1e-3),
                metal: metal.clone(),
                source,
            })
            .collect()
    };
    [
        inch("astmb280", &COILS),
        inch("astm-b280", &DRAWN),
        metric(Material::Copper, "copper", "en1057"),
        metric(Material::StainlessSteel, "stainless steel", "iso1127"),
    ]
    .concat()
}
