//! Air as it is at the site: pressure by altitude, water in it, density and heat capacity.

use crate::quantity::sentence::{in_kelvin, length, pressure};
use crate::quantity::show::percent_hint;
use crate::quantity::told::errors;
use crate::quantity::{
    AbsolutePressure, GAS_CONSTANT_J_MOL_K, Length, MassDensity, Ratio, SpecificHeatCapacity,
    ThermodynamicTemperature, joules_per_kilogram_kelvin, kilograms_per_cubic_metre,
    pascals_absolute, ratio,
};

/// Molar mass of dry air, kg/mol (`iso6976`).
pub const DRY_AIR_KG_MOL: f64 = 28.9655e-3;
/// Molar mass of water, kg/mol (`ciaaw2013`).
pub const WATER_KG_MOL: f64 = 18.015_3e-3;

/// Heat capacity of dry air between −40 °C and 100 °C, J/(kg K) (`ashrae-fundamentals-1`).
const CP_DRY_J_KG_K: f64 = 1006.0;
/// Heat capacity of water vapour in that range, J/(kg K) (`ashrae-fundamentals-1`).
const CP_VAPOUR_J_KG_K: f64 = 1860.0;

/// Coldest and hottest temperature the water-vapour sums are used at, K.
const WATER_RANGE_K: (f64, f64) = (183.15, 373.15);
/// Triple point of water, K and Pa (`iapws-r14`).
const TRIPLE_K: f64 = crate::eos::water::TRIPLE_K;
const TRIPLE_PA: f64 = 611.657;

errors! {
    /// What can be wrong with a description of the air.
    pub enum AirError {
        AltitudeOutOfRange { altitude_m: f64, lower_m: f64, upper_m: f64 } =>
            "{} is outside the standard atmosphere used here, {} to {} [iso2533]",
            length(altitude_m).close(), length(lower_m).close(), length(upper_m).close();
        TemperatureOutOfRange { t_k: f64, lower_k: f64, upper_k: f64 } =>
            "{} is outside the range of the humidity sums, {} to {}",
            in_kelvin(t_k), in_kelvin(lower_k), in_kelvin(upper_k);
        HumidityOutOfRange { humidity: f64 } =>
            "a relative humidity of {} is not between 0 and 1{}",
            humidity, percent_hint(humidity, 1.0);
        PressureTooLow { p_pa: f64, vapour_pa: f64 } =>
            "an air pressure of {} cannot hold water vapour of {}",
            pressure(p_pa).close(), pressure(vapour_pa).close();
    }
}

/// Lowest and highest pressure of the air that a barometer shows where people work, Pa. Our choice.
pub const BAROMETER_PA: std::ops::RangeInclusive<f64> = 3e4..=1.2e5;

/// Pressure of the standard atmosphere at a height above sea level.
///
/// `p = p0 (1 − L H / T0)^(g0 / (R L))`, `H = r z / (r + z)`, with `p0` 101325 Pa, `T0` 288.15 K,
/// `L` 6.5 K/km, `g0` 9.80665 m/s², `R` 287.05287 J/(kg K), `r` 6356.766 km.
///
/// **Valid:** −500 m to 9000 m (the formula holds to 11 km; nobody lights a burner there). The weather
/// moves the true pressure by up to about 4 % either way: a barometer beats this.
/// **Source:** `iso2533`.
///
/// # Errors
/// [`AirError::AltitudeOutOfRange`].
///
/// ```
/// use fuelwright::flow::air::standard_pressure;
/// use fuelwright::quantity::metres;
///
/// assert!((standard_pressure(metres(1000.0))?.pascals() - 89_876.0).abs() < 1.0);
/// # Ok::<(), fuelwright::flow::air::AirError>(())
/// ```
pub fn standard_pressure(altitude: Length) -> Result<AbsolutePressure, AirError> {
    const LOWER_M: f64 = -500.0;
    const UPPER_M: f64 = 9000.0;
    let z_m = altitude.value;
    if !(LOWER_M..=UPPER_M).contains(&z_m) {
        return Err(AirError::AltitudeOutOfRange {
            altitude_m: z_m,
            lower_m: LOWER_M,
            upper_m: UPPER_M,
        });
    }
    let r_m = 6_356_766.0;
    let h_m = r_m * z_m / (r_m + z_m);
    let (t0_k, lapse_k_m, g0, r_air) = (288.15, 6.5e-3, 9.806_65, 287.052_87);
    let p_pa = crate::quantity::STANDARD_ATMOSPHERE_PA
        * (1.0 - lapse_k_m * h_m / t0_k).powf(g0 / (r_air * lapse_k_m));
    Ok(pascals_absolute(p_pa))
}

/// Saturation pressure of water vapour, over liquid above 0.01 °C and over ice below.
///
/// Liquid: `ln(p/pc) = (Tc/T) (a1 τ + a2 τ^1.5 + a3 τ³ + a4 τ^3.5 + a5 τ⁴ + a6 τ^7.5)`, `τ = 1 − T/Tc`.
/// Ice: `ln(p/pt) = (1/θ) Σ a_i θ^(b_i)`, `θ = T/Tt`.
///
/// **Valid:** 183.15 K to 373.15 K here (the equations reach further).
/// **Source:** `wagner-pruss-1993` (liquid), `iapws-r14` (ice).
///
/// # Errors
/// [`AirError::TemperatureOutOfRange`].
///
/// ```
/// use fuelwright::flow::air::saturation_pressure;
/// use fuelwright::quantity::kelvin;
///
/// assert!((saturation_pressure(kelvin(293.15))?.pascals() - 2339.3).abs() < 0.5);
/// # Ok::<(), fuelwright::flow::air::AirError>(())
/// ```
pub fn saturation_pressure(t: ThermodynamicTemperature) -> Result<AbsolutePressure, AirError> {
    let t_k = t.value;
    let (lower_k, upper_k) = WATER_RANGE_K;
    if !(lower_k..=upper_k).contains(&t_k) {
        return Err(AirError::TemperatureOutOfRange {
            t_k,
            lower_k,
            upper_k,
        });
    }
    Ok(pascals_absolute(if t_k >= TRIPLE_K {
        over_liquid_pa(t_k)
    } else {
        over_ice_pa(t_k)
    }))
}

fn over_liquid_pa(t_k: f64) -> f64 {
    crate::eos::water::saturation_pressure_pa(t_k)
        .expect("the range used here lies between triple and critical point")
}

fn over_ice_pa(t_k: f64) -> f64 {
    let theta = t_k / TRIPLE_K;
    let sum = -21.214_400_6 * theta.powf(0.003_333_333_33)
        + 27.320_381_9 * theta.powf(1.206_666_67)
        - 6.105_981_30 * theta.powf(1.703_333_33);
    TRIPLE_PA * (sum / theta).exp()
}

/// Air with water vapour in it, both taken as ideal gases.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoistAir {
    /// Pressure.
    pub p: AbsolutePressure,
    /// Temperature.
    pub t: ThermodynamicTemperature,
    /// Mass of water vapour over mass of dry air.
    pub humidity_ratio: Ratio,
}

impl MoistAir {
    /// Air of a relative humidity (0 to 1).
    ///
    /// `w = (M_w / M_a) p_v / (p − p_v)`, `p_v = φ p_sat(T)`
    ///
    /// **Valid:** 183.15 K to 373.15 K, near atmospheric pressure (the enhancement of vapour pressure by
    /// the air, 0.5 % at most, is left out).
    /// **Source:** `ashrae-fundamentals-1`.
    ///
    /// # Errors
    /// [`AirError`].
    ///
    /// ```
    /// use fuelwright::flow::air::MoistAir;
    /// use fuelwright::quantity::{kelvin, pascals_absolute, ratio};
    ///
    /// let air = MoistAir::new(pascals_absolute(101_325.0), kelvin(288.15), ratio(0.6))?;
    /// assert!((air.humidity_ratio.value - 0.006_37).abs() < 5e-5);
    /// # Ok::<(), fuelwright::flow::air::AirError>(())
    /// ```
    pub fn new(
        p: AbsolutePressure,
        t: ThermodynamicTemperature,
        relative_humidity: Ratio,
    ) -> Result<Self, AirError> {
        let phi = relative_humidity.value;
        if !(0.0..=1.0).contains(&phi) {
            return Err(AirError::HumidityOutOfRange { humidity: phi });
        }
        let p_pa = p.pascals();
        // dry air has no water to be outside a range with
        let vapour_pa = if phi > 0.0 {
            phi * saturation_pressure(t)?.pascals()
        } else {
            0.0
        };
        if !(p_pa > vapour_pa && p_pa.is_finite()) {
            return Err(AirError::PressureTooLow { p_pa, vapour_pa });
        }
        let w = WATER_KG_MOL / DRY_AIR_KG_MOL * vapour_pa / (p_pa - vapour_pa);
        Ok(Self {
            p,
            t,
            humidity_ratio: ratio(w),
        })
    }

    /// Share of the mass that is dry air, `1 / (1 + w)`.
    pub fn dry_share(&self) -> Ratio {
        ratio(1.0 / (1.0 + self.humidity_ratio.value))
    }

    /// Gas constant of the moist air, J/(kg K): `R (1/M_a + w/M_w) / (1 + w)`.
    pub fn gas_constant_j_kg_k(&self) -> f64 {
        let w = self.humidity_ratio.value;
        GAS_CONSTANT_J_MOL_K * (1.0 / DRY_AIR_KG_MOL + w / WATER_KG_MOL) / (1.0 + w)
    }

    /// Density, `p / (R T)`.
    pub fn density(&self) -> MassDensity {
        kilograms_per_cubic_metre(self.p.pascals() / (self.gas_constant_j_kg_k() * self.t.value))
    }

    /// Heat capacity at constant pressure, `(cp_a + w cp_v) / (1 + w)`.
    ///
    /// **Valid:** −40 °C to 100 °C, 0.5 %. **Source:** `ashrae-fundamentals-1`.
    pub fn heat_capacity(&self) -> SpecificHeatCapacity {
        let w = self.humidity_ratio.value;
        joules_per_kilogram_kelvin((CP_DRY_J_KG_K + w * CP_VAPOUR_J_KG_K) / (1.0 + w))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{kelvin, metres};

    #[test]
    fn standard_pressure_matches_the_1976_tables() {
        // Geometric altitude, code to code with fluids 1.3.1 ATMOSPHERE_1976 (US Standard Atmosphere
        // 1976, the same formula as ISO 2533 below 11 km).
        for (z_m, p_pa) in [
            (0.0, 101_325.0),
            (250.0, 98_357.651_374),
            (1000.0, 89_876.285_187),
            (2000.0, 79_501.424_642),
            (3000.0, 70_121.162_236),
            (5000.0, 54_048.286_146),
            (8000.0, 35_651.628_336),
        ] {
            let got = standard_pressure(metres(z_m)).expect("in range").pascals();
            // gas constants differ in the 8th digit
            assert!((got / p_pa - 1.0).abs() < 1e-6, "{z_m} m: {got} Pa");
        }
    }

    #[test]
    fn altitude_outside_the_model_is_refused() {
        assert!(standard_pressure(metres(12_000.0)).is_err());
        assert!(standard_pressure(metres(f64::NAN)).is_err());
    }

    #[test]
    fn saturation_pressure_matches_the_reference_equation_of_water() {
        // Code to code: CoolProp 8.0.0, IAPWS-95.
        for (t_k, p_pa) in [
            (273.16, 611.654_771),
            (280.0, 991.820_320),
            (293.15, 2_339.318_183),
            (310.0, 6_231.118_283),
            (330.0, 17_213.151_67),
            (373.15, 101_417.996_7),
        ] {
            let got = saturation_pressure(kelvin(t_k))
                .expect("in range")
                .pascals();
            // the auxiliary equation follows IAPWS-95 to 3e-5 (its authors' statement: 0.025 %)
            assert!((got / p_pa - 1.0).abs() < 1e-4, "{t_k} K: {got} Pa");
        }
        // Check value printed in IAPWS R14-08 for 230 K, from memory: 8.947 35 Pa.
        let ice = saturation_pressure(kelvin(230.0))
            .expect("in range")
            .pascals();
        assert!((ice / 8.947_35 - 1.0).abs() < 1e-5, "{ice} Pa");
    }

    #[test]
    fn liquid_and_ice_meet_at_the_triple_point() {
        assert!((over_liquid_pa(TRIPLE_K) / over_ice_pa(TRIPLE_K) - 1.0).abs() < 1e-4);
    }

    #[test]
    fn moist_air_matches_the_real_gas_mixture() {
        // Code to code: CoolProp 8.0.0 HAPropsSI (ASHRAE RP-1485): humidity ratio, density of moist
        // air and heat capacity a kilogram of moist air.
        for (t_k, phi, p_pa, w, rho, cp) in [
            (273.15, 0.5, 101_325.0, 0.001_889_26, 1.291_625, 1007.30),
            (288.15, 0.6, 101_325.0, 0.006_372_43, 1.220_900, 1011.52),
            (303.15, 0.9, 101_325.0, 0.024_491_94, 1.148_226, 1027.90),
            (308.15, 0.5, 84_000.0, 0.021_652_02, 0.937_857, 1025.18),
            (263.15, 0.8, 101_325.0, 0.001_284_30, 1.341_383, 1006.66),
        ] {
            let air =
                MoistAir::new(pascals_absolute(p_pa), kelvin(t_k), ratio(phi)).expect("in range");
            // 0.6 %: the vapour-pressure enhancement that the ideal mixture leaves out
            assert!((air.humidity_ratio.value / w - 1.0).abs() < 6e-3, "{t_k} K");
            assert!((air.density().value / rho - 1.0).abs() < 1e-3, "{t_k} K");
            assert!(
                (air.heat_capacity().value / cp - 1.0).abs() < 5e-3,
                "{t_k} K"
            );
        }
    }

    #[test]
    fn humidity_outside_zero_to_one_is_refused() {
        let p = pascals_absolute(101_325.0);
        for phi in [-0.1, 1.1, f64::NAN] {
            assert!(MoistAir::new(p, kelvin(288.15), ratio(phi)).is_err());
        }
    }
}
