//! Air and water round a tank: the properties that convection needs, and dew and frost points.

use std::ops::RangeInclusive;

/// Temperatures the air correlations are used at, K. They agree with a reference library within
/// 2.3 % there (test below).
pub(crate) const AIR_RANGE_K: RangeInclusive<f64> = 200.0..=350.0;
/// Temperatures the water correlations are used at, K.
pub(crate) const WATER_RANGE_K: RangeInclusive<f64> = 273.15..=353.15;
/// Ice point, K.
pub(crate) const ICE_POINT_K: f64 = 273.15;

const AIR_MOLAR_MASS_KG_MOL: f64 = 0.028_964_4;
/// Heat capacity of dry air; within 0.4 % over the range.
const AIR_CP_J_KG_K: f64 = 1006.0;
/// Heat capacity of water; within 1 % over the range, 0.3 % above 10 °C.
const WATER_CP_J_KG_K: f64 = 4186.0;

/// What a Nusselt number needs to know of a fluid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Medium {
    pub(crate) density_kg_m3: f64,
    pub(crate) viscosity_pa_s: f64,
    pub(crate) conductivity_w_m_k: f64,
    pub(crate) cp_j_kg_k: f64,
}

impl Medium {
    pub(crate) fn kinematic_viscosity_m2_s(&self) -> f64 {
        self.viscosity_pa_s / self.density_kg_m3
    }
    pub(crate) fn prandtl(&self) -> f64 {
        self.viscosity_pa_s * self.cp_j_kg_k / self.conductivity_w_m_k
    }
    /// `Ra = g (Δρ/ρ) L³ / (ν a)`
    pub(crate) fn rayleigh(&self, buoyancy: f64, l_m: f64) -> f64 {
        const GRAVITY_M_S2: f64 = 9.806_65;
        let nu = self.kinematic_viscosity_m2_s();
        GRAVITY_M_S2 * buoyancy * l_m.powi(3) / (nu * nu) * self.prandtl()
    }
}

/// Dry air at low pressure: viscosity and conductivity by equations 51 and 53 of the U.S. Standard
/// Atmosphere 1976, density as an ideal gas.
///
/// **Source:** `ussa1976`.
pub(crate) fn air(p_pa: f64, t_k: f64) -> Medium {
    Medium {
        density_kg_m3: p_pa * AIR_MOLAR_MASS_KG_MOL / (crate::quantity::GAS_CONSTANT_J_MOL_K * t_k),
        viscosity_pa_s: 1.458e-6 * t_k * t_k.sqrt() / (t_k + 110.4),
        conductivity_w_m_k: 2.646_38e-3 * t_k * t_k.sqrt()
            / (t_k + 245.4 * 10.0_f64.powf(-12.0 / t_k)),
        cp_j_kg_k: AIR_CP_J_KG_K,
    }
}

/// Density of water at 1 atm, kg/m³.
///
/// **Source:** `kell1975`.
pub(crate) fn water_density_kg_m3(t_k: f64) -> f64 {
    let t = t_k - ICE_POINT_K;
    let top = 999.839_52
        + t * (16.945_176
            + t * (-7.987_040_1e-3
                + t * (-46.170_461e-6 + t * (105.563_02e-9 - t * 280.542_53e-12))));
    top / (1.0 + 16.879_850e-3 * t)
}

/// Liquid water near 1 bar.
///
/// **Source:** `kell1975` (density), `patek2009` (viscosity, conductivity).
pub(crate) fn water(t_k: f64) -> Medium {
    let x = t_k / 300.0;
    let viscosity = 280.68 * x.powf(-1.9)
        + 511.45 * x.powf(-7.7)
        + 61.131 * x.powf(-19.6)
        + 0.459_03 * x.powf(-40.0);
    let conductivity = 0.802_01 * x.powf(-0.32) - 0.259_92 * x.powf(-5.7)
        + 0.100_24 * x.powf(-12.0)
        - 0.032_005 * x.powf(-15.0);
    Medium {
        density_kg_m3: water_density_kg_m3(t_k),
        viscosity_pa_s: viscosity * 1e-6,
        conductivity_w_m_k: conductivity,
        cp_j_kg_k: WATER_CP_J_KG_K,
    }
}

/// Dew point of air from its temperature and relative humidity (0 to 1, over liquid water), by the
/// Magnus form. Above 0 °C within 0.3 % of the saturation pressure.
///
/// **Source:** `alduchov1996`.
pub(crate) fn dew_point_k(t_k: f64, relative_humidity: f64) -> f64 {
    const A: f64 = 17.625;
    const B_C: f64 = 243.04;
    let t = t_k - ICE_POINT_K;
    let exponent = relative_humidity.ln() + A * t / (t + B_C);
    ICE_POINT_K + B_C * exponent / (A - exponent)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Code to code: `CoolProp` 8.0.0, Air at 101325 Pa: T, viscosity, conductivity, density.
    const AIR: [(f64, f64, f64, f64); 3] = [
        (230.0, 1.498_33e-5, 0.020_971_3, 1.536_87),
        (273.15, 1.721_84e-5, 0.024_360_5, 1.293_07),
        (320.0, 1.948_79e-5, 0.027_854_2, 1.103_26),
    ];
    /// The same for Water: T, viscosity, conductivity, density, cp.
    const WATER: [(f64, f64, f64, f64, f64); 3] = [
        (278.15, 1.518_17e-3, 0.567_794, 999.967, 4205.04),
        (293.15, 1.001_6e-3, 0.598_012, 998.207, 4184.05),
        (323.15, 0.546_516e-3, 0.640_621, 988.035, 4181.34),
    ];

    #[test]
    fn air_agrees_with_a_reference_library() {
        for (t_k, mu, k, rho) in AIR {
            let a = air(101_325.0, t_k);
            // 2.3 %: greatest difference over AIR_RANGE_K, of the conductivity at 200 K
            assert!((a.viscosity_pa_s / mu - 1.0).abs() < 0.01, "{t_k}");
            assert!((a.conductivity_w_m_k / k - 1.0).abs() < 0.023, "{t_k}");
            assert!((a.density_kg_m3 / rho - 1.0).abs() < 0.003, "{t_k}");
        }
    }

    #[test]
    fn water_agrees_with_a_reference_library() {
        for (t_k, mu, k, rho, cp) in WATER {
            let w = water(t_k);
            assert!((w.viscosity_pa_s / mu - 1.0).abs() < 1e-3, "{t_k}");
            // the library has the conductivity formulation of 2011, up to 1 % lower near 0 °C
            assert!((w.conductivity_w_m_k / k - 1.0).abs() < 0.01, "{t_k}");
            assert!((w.density_kg_m3 / rho - 1.0).abs() < 1e-4, "{t_k}");
            assert!((w.cp_j_kg_k / cp - 1.0).abs() < 0.01, "{t_k}");
        }
    }

    #[test]
    fn water_is_densest_at_four_degrees() {
        let at = |c: f64| water_density_kg_m3(c + ICE_POINT_K);
        assert!(at(4.0) > at(3.5) && at(4.0) > at(4.5));
        // published: 999.97 kg/m³ at 4 °C, Kell (1975)
        assert!((at(4.0) - 999.97).abs() < 0.01);
    }

    #[test]
    fn saturated_air_is_at_its_dew_point() {
        for t_k in [253.15, 283.15, 303.15] {
            assert!((dew_point_k(t_k, 1.0) - t_k).abs() < 1e-9);
            assert!(dew_point_k(t_k, 0.5) < t_k - 7.0);
        }
    }

    // Common practice: 20 °C and half saturated has its dew point at 9.3 °C (psychrometric charts)
    #[test]
    fn dew_point_of_a_living_room() {
        assert!((dew_point_k(293.15, 0.5) - 282.4).abs() < 0.1);
    }
}
