//! Round tube: mass a metre and the pressure it may hold.

use crate::quantity::range::{NotPositive, positive};
use crate::quantity::sentence::temperature;
use crate::quantity::told::errors;
use crate::quantity::{
    AbsolutePressure, GaugePressure, Length, MassDensity, ThermodynamicTemperature, metres,
    pascals_gauge,
};

/// Density of copper, kg/m³.
pub const COPPER_KG_M3: f64 = 8940.0;
/// Density of brass, kg/m³.
pub const BRASS_KG_M3: f64 = 8470.0;
/// Density of type 316 stainless steel, kg/m³.
pub const STAINLESS_316_KG_M3: f64 = 8000.0;

const PSI_PA: f64 = 6_894.757_293_168;
const FAHRENHEIT_OFFSET: f64 = 459.67;

/// Allowable stress of annealed copper tube by temperature: °F, psi. **Source:** `copper-tube-handbook`.
const ANNEALED_COPPER: [(f64, f64); 7] = [
    (100.0, 6000.0),
    (150.0, 5100.0),
    (200.0, 4900.0),
    (250.0, 4800.0),
    (300.0, 4700.0),
    (350.0, 4000.0),
    (400.0, 3000.0),
];

errors! {
    /// Why a tube could not be worked out.
    #[derive(Copy)]
    pub enum TubeError {
        Shape { outside_m: f64, wall_m: f64 } =>
            "a wall of {wall_m} m does not fit a tube of {outside_m} m outside diameter";
        TemperatureOutOfRange { t_k: f64, upper_k: f64 } =>
            "{} is outside the allowable stresses of annealed copper, up to {} [copper-tube-handbook]",
            temperature(t_k), temperature(upper_k);
        SteelTooHot { t_k: f64, upper_k: f64 } =>
            "{} is above {}, up to which the stress of 316 steel is used here",
            temperature(t_k), temperature(upper_k);
        NotPositive(NotPositive);
    }
}

/// A round tube.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tube {
    outside_m: f64,
    wall_m: f64,
}

impl Tube {
    /// A tube by outside diameter and wall.
    ///
    /// # Errors
    /// [`TubeError::Shape`].
    pub fn new(outside: Length, wall: Length) -> Result<Self, TubeError> {
        let (outside_m, wall_m) = (outside.value, wall.value);
        if wall_m > 0.0 && 2.0 * wall_m < outside_m && outside_m.is_finite() {
            Ok(Self { outside_m, wall_m })
        } else {
            Err(TubeError::Shape { outside_m, wall_m })
        }
    }

    /// Inside diameter.
    pub fn bore(&self) -> Length {
        metres(self.outside_m - 2.0 * self.wall_m)
    }

    /// Mass a metre: `π ρ t (D − t)`, kg/m.
    ///
    /// **Source:** geometry; tables of `astm-b280` round to 1 %.
    ///
    /// # Errors
    /// [`TubeError::NotPositive`].
    ///
    /// ```
    /// use fuelwright::mass::tube::{COPPER_KG_M3, Tube};
    /// use fuelwright::quantity::{kilograms_per_cubic_metre, metres};
    /// let half_inch = Tube::new(metres(12.7e-3), metres(0.889e-3))?;
    /// let kg_m = half_inch.mass_per_metre_kg(kilograms_per_cubic_metre(COPPER_KG_M3))?;
    /// assert!((kg_m - 0.295).abs() < 0.001);
    /// # Ok::<(), fuelwright::mass::tube::TubeError>(())
    /// ```
    pub fn mass_per_metre_kg(&self, density: MassDensity) -> Result<f64, TubeError> {
        let rho = positive("density", density.value)?;
        Ok(std::f64::consts::PI * rho * self.wall_m * (self.outside_m - self.wall_m))
    }

    /// Pressure by the thin-wall formula of Barlow: `p = 2 S t/D`. Joints govern, not the tube.
    ///
    /// * `stress` — allowable, with its factor already in it
    ///
    /// **Source:** `barlow`.
    ///
    /// # Errors
    /// [`TubeError::NotPositive`].
    pub fn barlow_pressure(&self, stress: AbsolutePressure) -> Result<GaugePressure, TubeError> {
        let s_pa = positive("stress", stress.pascals())?;
        Ok(pascals_gauge(2.0 * s_pa * self.wall_m / self.outside_m))
    }

    /// Pressure rating of annealed copper tube: `p = 2 S t_min/(D_max − 0.8 t_min)`.
    ///
    /// The tube is given by its greatest outside diameter and least wall. The stress is that of the next
    /// higher temperature in the table, never interpolated.
    ///
    /// **Valid:** annealed tube (brazing anneals it) up to 204 °C. Joints may hold less.
    /// **Source:** `copper-tube-handbook`, after `asme-b31`.
    ///
    /// # Errors
    /// [`TubeError::TemperatureOutOfRange`].
    pub fn annealed_copper_rating(
        &self,
        t: ThermodynamicTemperature,
    ) -> Result<GaugePressure, TubeError> {
        let t_f = t.value * 1.8 - FAHRENHEIT_OFFSET;
        // a table entry itself, converted to kelvin and back, must find its own row
        let row = ANNEALED_COPPER.iter().find(|(f, _)| t_f <= f + 1e-6);
        let (_, s_psi) = row.ok_or(TubeError::TemperatureOutOfRange {
            t_k: t.value,
            upper_k: (ANNEALED_COPPER[6].0 + FAHRENHEIT_OFFSET) / 1.8,
        })?;
        Ok(pascals_gauge(
            2.0 * s_psi * PSI_PA * self.wall_m / (self.outside_m - 0.8 * self.wall_m),
        ))
    }
}
