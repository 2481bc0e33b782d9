//! How long a drop of fuel lives: the d-squared law with transfer number.

use crate::quantity::range::{NotPositive, positive};
use crate::quantity::{
    AvailableEnergy, Length, MassDensity, Ratio, SpecificHeatCapacity, TemperatureInterval,
    ThermalConductivity, Time, Velocity, metres, ratio, seconds,
};

/// Transfer number of a drop in hot gas: heat that the gas can give over heat that the liquid needs.
///
/// `B = c_p (T_∞ − T_b)/(h_fg + c_l (T_b − T_0))`
///
/// * `cp` — of the gas film
/// * `superheat` — gas temperature above the boiling point
/// * `heat_to_vaporise` — latent heat, with the heating of the liquid up to the boiling point if it enters
///   cold
///
/// **Valid:** gas hotter than the boiling point, pressure well below critical.
/// **Source:** `turns`, `godsave1953`.
///
/// # Errors
/// [`NotPositive`].
pub fn transfer_number(
    cp: SpecificHeatCapacity,
    superheat: TemperatureInterval,
    heat_to_vaporise: AvailableEnergy,
) -> Result<Ratio, NotPositive> {
    let cp_j_kg_k = positive("heat capacity of the gas", cp.value)?;
    let rise_k = positive("gas temperature above the boiling point", superheat.value)?;
    let need_j_kg = positive("heat to vaporise", heat_to_vaporise.value)?;
    Ok(ratio(cp_j_kg_k * rise_k / need_j_kg))
}

/// Transfer number of a drop that burns with a flame of its own.
///
/// `B = [c_p (T_∞ − T_b) + Δh_c/ν]/(h_fg + c_l (T_b − T_0))`, `ν` the stoichiometric air-fuel ratio
///
/// * `superheat` — may be negative: cold air
///
/// **Valid:** a single drop in still air. **Source:** `turns`, `godsave1953`.
///
/// # Errors
/// [`NotPositive`].
pub fn burning_transfer_number(
    cp: SpecificHeatCapacity,
    superheat: TemperatureInterval,
    heat_to_vaporise: AvailableEnergy,
    lower_heating_value: AvailableEnergy,
    stoichiometric_air_fuel_ratio: Ratio,
) -> Result<Ratio, NotPositive> {
    let cp_j_kg_k = positive("heat capacity of the gas", cp.value)?;
    let need_j_kg = positive("heat to vaporise", heat_to_vaporise.value)?;
    let air = positive("air-fuel ratio", stoichiometric_air_fuel_ratio.value)?;
    let gives_j_kg = cp_j_kg_k * superheat.value + lower_heating_value.value / air;
    Ok(ratio(
        positive("heat given to the drop", gives_j_kg)? / need_j_kg,
    ))
}

/// Factor by which a drop that moves through the gas evaporates faster.
///
/// `1 + 0.3 Re^½ Pr^⅓`
///
/// **Valid:** Reynolds number of the drop 0 to 200; ±20 %. **Source:** `ranz-marshall-1952`.
///
/// # Errors
/// [`NotPositive`] for a Prandtl number that is not above zero or a negative Reynolds number.
pub fn convection_factor(reynolds: Ratio, prandtl: Ratio) -> Result<Ratio, NotPositive> {
    let re = reynolds.value;
    if !(re >= 0.0 && re.is_finite()) {
        return Err(NotPositive {
            name: "Reynolds number of the drop",
            value: re,
        });
    }
    let pr = positive("Prandtl number", prandtl.value)?;
    Ok(ratio(1.0 + 0.3 * re.sqrt() * pr.cbrt()))
}

/// The constant `K` in `d² = d0² − K t`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EvaporationConstant {
    k_m2_s: f64,
}

/// Conductivity, liquid density and heat capacity that the d-squared law rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Film {
    /// Thermal conductivity of the gas film.
    pub conductivity: ThermalConductivity,
    /// Heat capacity of the gas film.
    pub heat_capacity: SpecificHeatCapacity,
    /// Density of the liquid.
    pub liquid_density: MassDensity,
}

impl EvaporationConstant {
    /// A measured constant, m²/s.
    ///
    /// # Errors
    /// [`NotPositive`].
    pub fn measured(k_m2_s: f64) -> Result<Self, NotPositive> {
        Ok(Self {
            k_m2_s: positive("evaporation constant", k_m2_s)?,
        })
    }

    /// From the transfer number: `K = 8 k/(ρ_L c_p) ln(1 + B)`.
    ///
    /// **Valid:** a single drop in still gas, its temperature settled, properties of the film constant;
    /// within 30 % of measurement (from memory). Dense sprays live longer.
    /// **Source:** `turns`, `godsave1953`.
    ///
    /// # Errors
    /// [`NotPositive`].
    ///
    /// ```
    /// use fuelwright::flow::evaporation::{EvaporationConstant, Film};
    /// use fuelwright::quantity::*;
    /// let film = Film {
    ///     conductivity: watts_per_metre_kelvin(0.0495),
    ///     heat_capacity: joules_per_kilogram_kelvin(2872.0),
    ///     liquid_density: kilograms_per_cubic_metre(659.0),
    /// };
    /// let k = EvaporationConstant::new(&film, ratio(4.355))?;
    /// assert!((k.lifetime(metres(500e-6))?.value - 0.712).abs() < 0.001);
    /// # Ok::<(), fuelwright::quantity::range::NotPositive>(())
    /// ```
    pub fn new(film: &Film, transfer_number: Ratio) -> Result<Self, NotPositive> {
        let k = positive("conductivity of the gas", film.conductivity.value)?;
        let cp = positive("heat capacity of the gas", film.heat_capacity.value)?;
        let rho = positive("liquid density", film.liquid_density.value)?;
        let b = positive("transfer number", transfer_number.value)?;
        Ok(Self {
            k_m2_s: 8.0 * k / (rho * cp) * b.ln_1p(),
        })
    }

    /// The constant, m²/s.
    pub fn square_metres_per_second(&self) -> f64 {
        self.k_m2_s
    }

    /// The constant of a moving drop, [`convection_factor`] times this one.
    ///
    /// # Errors
    /// [`NotPositive`].
    pub fn faster_by(&self, factor: Ratio) -> Result<Self, NotPositive> {
        Self::measured(self.k_m2_s * factor.value)
    }

    /// Time until a drop is gone: `d0²/K`.
    ///
    /// # Errors
    /// [`NotPositive`].
    pub fn lifetime(&self, diameter: Length) -> Result<Time, NotPositive> {
        let d_m = positive("drop diameter", diameter.value)?;
        Ok(seconds(d_m * d_m / self.k_m2_s))
    }

    /// Length that a drop carried along at a gas velocity needs before it is gone.
    ///
    /// # Errors
    /// [`NotPositive`].
    pub fn length(&self, diameter: Length, velocity: Velocity) -> Result<Length, NotPositive> {
        let u_m_s = positive("gas velocity", velocity.value)?;
        Ok(metres(self.lifetime(diameter)?.value * u_m_s))
    }

    /// Largest drop that is gone within a residence time: `√(K t)`.
    ///
    /// # Errors
    /// [`NotPositive`].
    pub fn largest_drop(&self, residence: Time) -> Result<Length, NotPositive> {
        let t_s = positive("residence time", residence.value)?;
        Ok(metres((self.k_m2_s * t_s).sqrt()))
    }

    /// Share of the liquid's mass still there after a time: `(1 − K t/d0²)^1.5`, zero once it is gone.
    ///
    /// # Errors
    /// [`NotPositive`].
    pub fn mass_left(&self, diameter: Length, after: Time) -> Result<Ratio, NotPositive> {
        let life_s = self.lifetime(diameter)?.value;
        Ok(ratio(
            (1.0 - after.value.max(0.0) / life_s).max(0.0).powf(1.5),
        ))
    }
}

/// Burning constants of single drops in still air at about 1 atm, m²/s, ±15 %; `None` for a fuel not listed.
///
/// **Source:** `burning-constant-memory`.
pub fn typical_burning_constant(fuel: &str) -> Option<EvaporationConstant> {
    const TYPICAL_MM2_S: [(&str, f64); 6] = [
        ("kerosene", 0.96),
        ("gasoline", 1.05),
        ("diesel", 0.79),
        ("ethanol", 0.83),
        ("methanol", 0.8),
        ("n-heptane", 0.97),
    ];
    let found = TYPICAL_MM2_S.iter().find(|(name, _)| *name == fuel);
    found.map(|(_, k)| EvaporationConstant { k_m2_s: k * 1e-6 })
}
