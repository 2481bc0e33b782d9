//! Gas film around an evaporating drop: heat capacity of the vapour, conductivity of vapour and air mixed.

use super::evaporation::Film;
use crate::fuel::{FedAs, Fuel, Nasa};
use crate::quantity::sentence::in_kelvin;
use crate::quantity::told::errors;
use crate::quantity::{
    GAS_CONSTANT_J_MOL_K, MassDensity, ThermodynamicTemperature, joules_per_kilogram_kelvin,
    watts_per_metre_kelvin,
};

/// Relative half-width of the band on a conductivity computed here: Chung's formula was within 14 % of
/// reference correlations of four fuels (tests), the air's within 7 % at 1500 K.
pub const CONDUCTIVITY_BAND: f64 = 0.15;
/// Shares of vapour and air in the conductivity of the film (`law-williams-1972`).
const VAPOUR_SHARE: f64 = 0.4;
/// Hottest film looked at, K: the polynomials of the shortest-ranged air formula end there.
const HOTTEST_FILM_K: f64 = 2000.0;

errors! {
    /// Why a film has no properties.
    pub enum FilmError {
        Missing { fuel: String, what: &'static str } =>
            "the file of {fuel} has no {what} to take the vapour film from";
        OutOfRange { t_k: f64, lower_k: f64, upper_k: f64 } =>
            "a film at {} is outside the formulas, {} to {}", in_kelvin(t_k), in_kelvin(lower_k), in_kelvin(upper_k);
    }
}

/// Vapour of a fuel as its film needs it.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmVapour {
    nasa: Nasa,
    nasa_molar_mass_kg_mol: f64,
    molar_mass_kg_mol: f64,
    t_critical_k: f64,
    v_critical_m3_mol: f64,
    acentric: f64,
    alcohol: bool,
}

impl FilmVapour {
    /// Vapour of a fuel; `stand_in` gives the critical constants, and the heat capacity where the fuel has
    /// none of its own.
    ///
    /// # Errors
    /// [`FilmError::Missing`].
    pub fn new(fuel: &Fuel, stand_in: &Fuel) -> Result<Self, FilmError> {
        let missing = |what| FilmError::Missing {
            fuel: stand_in.name.clone(),
            what,
        };
        let equation = stand_in.equation.as_ref();
        let equation = equation.ok_or_else(|| missing("equation of state"))?;
        let (nasa, of) = match (&fuel.nasa, &stand_in.nasa) {
            (Some(nasa), _) => (nasa, fuel),
            (None, Some(nasa)) => (nasa, stand_in),
            (None, None) => return Err(missing("heat capacity of the ideal gas")),
        };
        Ok(Self {
            nasa: nasa.clone(),
            nasa_molar_mass_kg_mol: of.molar_mass_kg_mol,
            molar_mass_kg_mol: stand_in.molar_mass_kg_mol,
            t_critical_k: equation.t_critical_k,
            v_critical_m3_mol: 1.0 / equation.rho_critical_mol_m3,
            acentric: equation.acentric,
            alcohol: stand_in.fed_as == FedAs::Liquid
                && stand_in.formula.c > 0.0
                && (stand_in.formula.o - 1.0).abs() < 1e-9,
        })
    }

    fn check(&self, t_k: f64) -> Result<(), FilmError> {
        let (lower_k, upper_k) = (self.nasa.t_k[0], self.nasa.t_k[2].min(HOTTEST_FILM_K));
        if (lower_k..=upper_k).contains(&t_k) {
            return Ok(());
        }
        Err(FilmError::OutOfRange {
            t_k,
            lower_k,
            upper_k,
        })
    }

    /// Heat capacity of the ideal gas over the gas constant, by mole.
    fn cp_over_r(&self, t_k: f64) -> f64 {
        let a = if t_k < self.nasa.t_k[1] {
            &self.nasa.low
        } else {
            &self.nasa.high
        };
        a[..5].iter().rev().fold(0.0, |sum, a| sum * t_k + a)
    }

    /// Heat capacity of the vapour, J/(kg K).
    fn cp_j_kg_k(&self, t_k: f64) -> f64 {
        self.cp_over_r(t_k) * GAS_CONSTANT_J_MOL_K / self.nasa_molar_mass_kg_mol
    }

    /// Viscosity of the dilute vapour, Pa s.
    fn viscosity_pa_s(&self, t_k: f64) -> f64 {
        let m_g_mol = self.molar_mass_kg_mol * 1e3;
        let t_star = 1.2593 * t_k / self.t_critical_k;
        let omega = 1.161_45 * t_star.powf(-0.148_74)
            + 0.524_87 * (-0.773_20 * t_star).exp()
            + 2.161_78 * (-2.437_87 * t_star).exp();
        let association = if self.alcohol {
            0.0682 + 4.704 / m_g_mol
        } else {
            0.0
        };
        let shape = 1.0 - 0.2756 * self.acentric + association;
        4.0785e-6 * (m_g_mol * t_k).sqrt() * shape
            / ((self.v_critical_m3_mol * 1e6).cbrt().powi(2) * omega)
    }

    /// Conductivity of the dilute vapour, W/(m K).
    fn conductivity_w_m_k(&self, t_k: f64) -> f64 {
        // per mole of the stand-in: a heavier fuel's heat capacity belongs to its own molecule
        let cv = self.cp_over_r(t_k) * self.molar_mass_kg_mol / self.nasa_molar_mass_kg_mol - 1.0;
        let alpha = cv - 1.5;
        let beta = if self.alcohol {
            0.758
        } else {
            0.7862 - 0.7109 * self.acentric + 1.3168 * self.acentric.powi(2)
        };
        let z = 2.0 + 10.5 * (t_k / self.t_critical_k).powi(2);
        #[allow(
            clippy::approx_constant,
            reason = "the paper prints it so; it is no ratio of pi"
        )]
        let constant = 0.6366;
        let psi = 1.0
            + alpha * (0.215 + 0.282_88 * alpha - 1.061 * beta + 0.266_65 * z)
                / (constant + beta * z + 1.061 * alpha * beta);
        3.75 * psi * GAS_CONSTANT_J_MOL_K * self.viscosity_pa_s(t_k) / self.molar_mass_kg_mol
    }

    /// Film of a drop that boils at one temperature in gas of another.
    ///
    /// `T̄ = (T_b + T_∞)/2`, `c_p = c_p,vapour(T̄)`, `k = 0.4 k_vapour(T̄) + 0.6 k_air(T̄)`; the vapour's
    /// conductivity from its critical constants.
    ///
    /// **Valid:** films up to 2000 K; conductivity within 15 %. **Source:** `law-williams-1972` (the rule),
    /// `chung1988`, [`air_conductivity_w_m_k`].
    ///
    /// # Errors
    /// [`FilmError::OutOfRange`].
    ///
    /// ```
    /// use fuelwright::flow::film::FilmVapour;
    /// use fuelwright::fuel::Library;
    /// use fuelwright::quantity::{kelvin, kilograms_per_cubic_metre};
    /// let heptane = Library::embedded().fuel("n-heptane")?;
    /// let film = FilmVapour::new(&heptane, &heptane)?
    ///     .film(kelvin(371.5), kelvin(828.5), kilograms_per_cubic_metre(614.0))?;
    /// // 0.4 of heptane's 0.0452 and 0.6 of air's 0.0460 W/(m K) at 600 K (reference correlations)
    /// assert!((film.conductivity.value / 0.0457 - 1.0).abs() < 0.02);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn film(
        &self,
        boiling: ThermodynamicTemperature,
        gas: ThermodynamicTemperature,
        liquid_density: MassDensity,
    ) -> Result<Film, FilmError> {
        let t_k = 0.5 * (boiling.value + gas.value);
        self.check(t_k)?;
        let k = VAPOUR_SHARE * self.conductivity_w_m_k(t_k)
            + (1.0 - VAPOUR_SHARE) * air_conductivity_w_m_k(t_k);
        Ok(Film {
            conductivity: watts_per_metre_kelvin(k),
            heat_capacity: joules_per_kilogram_kelvin(self.cp_j_kg_k(t_k)),
            liquid_density,
        })
    }
}

/// Conductivity of air, W/(m K): `0.0241 (T/273)^1.5 (273 + 194)/(T + 194)`.
///
/// **Valid:** 200 K to 2000 K, within 3 % to 1000 K, 11 % low at 2000 K.
/// **Source:** `white-viscous`.
pub fn air_conductivity_w_m_k(t_k: f64) -> f64 {
    0.0241 * (t_k / 273.0).powf(1.5) * (273.0 + 194.0) / (t_k + 194.0)
}

/// Viscosity of air, Pa s: `1.716e-5 (T/273)^1.5 (273 + 111)/(T + 111)`.
///
/// **Valid:** 200 K to 2000 K, within 4 % to 1000 K, 9 % low at 1900 K. **Source:** `white-viscous`.
pub fn air_viscosity_pa_s(t_k: f64) -> f64 {
    1.716e-5 * (t_k / 273.0).powf(1.5) * (273.0 + 111.0) / (t_k + 111.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fuel::Library;

    // Code to code: CoolProp 8.0.0 at 1 kPa (thermal conductivity, W/(m K)): reference correlations of
    // ethanol, methanol, n-heptane, n-dodecane.
    #[test]
    fn vapour_conductivity_lies_within_its_band_of_reference_correlations() {
        let library = Library::embedded();
        let rows = [
            ("ethanol", 400.0, 0.025_807),
            ("ethanol", 650.0, 0.057_383),
            ("methanol", 400.0, 0.025_338),
            ("methanol", 650.0, 0.060_317),
            ("n-heptane", 400.0, 0.021_406),
            ("n-heptane", 600.0, 0.045_191),
            ("n-dodecane", 400.0, 0.015_851),
            ("n-dodecane", 650.0, 0.040_160),
        ];
        for (name, t_k, want) in rows {
            let fuel = library.fuel(name).expect("in the library");
            let vapour = FilmVapour::new(&fuel, &fuel).expect("has its constants");
            let got = vapour.conductivity_w_m_k(t_k);
            assert!(
                (got / want - 1.0).abs() <= CONDUCTIVITY_BAND,
                "{name} {t_k} K: {got} {want}"
            );
        }
    }

    // Code to code: CoolProp 8.0.0, air at 1 bar
    #[test]
    fn air_is_within_its_band() {
        let rows = [
            (300.0, 0.026_384, 1.854e-5),
            (600.0, 0.046_011, 3.077e-5),
            (1000.0, 0.067_677, 4.328e-5),
        ];
        for (t_k, k, mu) in rows {
            assert!(
                (air_conductivity_w_m_k(t_k) / k - 1.0).abs() < 0.03,
                "{t_k}"
            );
            assert!((air_viscosity_pa_s(t_k) / mu - 1.0).abs() < 0.04, "{t_k}");
        }
    }

    #[test]
    fn a_film_outside_the_formulas_is_refused() {
        let fuel = Library::embedded().fuel("ethanol").expect("in the library");
        let vapour = FilmVapour::new(&fuel, &fuel).expect("has its constants");
        let rho = crate::quantity::kilograms_per_cubic_metre(740.0);
        let kelvin = crate::quantity::kelvin;
        let e = vapour.film(kelvin(351.0), kelvin(5000.0), rho);
        assert!(matches!(e, Err(FilmError::OutOfRange { .. })));
    }
}
