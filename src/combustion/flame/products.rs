//! The flame as it leaves: temperature, composition and what follows from them.

use crate::combustion::equilibrium::{Products, State};
use crate::eos::water;
use crate::quantity::{
    AbsolutePressure, AvailableEnergy, GAS_CONSTANT_J_MOL_K, MassDensity, MolarMass, Ratio,
    SpecificHeatCapacity, TemperatureInterval, ThermodynamicTemperature,
    joules_per_kilogram_kelvin, kelvin, kelvin_difference, kilograms_per_cubic_metre, ratio,
};

/// Products in equilibrium, with what went in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flame {
    /// Temperature of the products.
    pub temperature: ThermodynamicTemperature,
    /// Temperature of the air that went in.
    pub air_temperature: ThermodynamicTemperature,
    /// Pressure.
    pub pressure: AbsolutePressure,
    /// Equivalence ratio: fuel over dry air, relative to complete burning without excess.
    pub equivalence_ratio: Ratio,
    /// Air over fuel by mass, the air with its humidity.
    pub air_fuel_ratio: Ratio,
    /// Mean molar mass of the products.
    pub molar_mass: MolarMass,
    /// Heat lost to the walls a kilogram of products.
    pub heat_lost: AvailableEnergy,
    /// Mole fraction of water if everything burnt as far as the oxygen reaches and stayed so; lean only.
    pub(super) complete_water: Option<f64>,
    pub(super) state: State,
}

impl Flame {
    /// Products above the air temperature.
    pub fn temperature_rise(&self) -> TemperatureInterval {
        kelvin_difference(self.temperature.value - self.air_temperature.value)
    }

    /// Name and mole fraction of every product, largest first among equals in the table's order.
    pub fn products(&self) -> Vec<(&'static str, f64)> {
        let names = Products::embedded().names();
        let mut all: Vec<_> = names.zip(self.state.mole_fractions).collect();
        all.sort_by(|a, b| b.1.total_cmp(&a.1));
        all
    }

    /// Mole fraction of a product such as `CO2`; zero for what is not in the table.
    pub fn mole_fraction(&self, species: &str) -> Ratio {
        ratio(self.state.mole_fraction(species))
    }

    /// Carbon monoxide a million parts of exhaust by volume, wet and with its water condensed out.
    pub fn carbon_monoxide_ppm(&self) -> (f64, f64) {
        let wet = 1e6 * self.state.mole_fraction("CO");
        (wet, wet / (1.0 - self.state.mole_fraction("H2O")))
    }

    /// Density of the products, `p M/(R T)`.
    pub fn density(&self) -> MassDensity {
        kilograms_per_cubic_metre(
            self.state.p_pa * self.molar_mass.value / (GAS_CONSTANT_J_MOL_K * self.state.t_k),
        )
    }

    /// Heat capacity at constant pressure and composition ("frozen") at the flame temperature.
    pub fn heat_capacity(&self) -> SpecificHeatCapacity {
        self.by_mass(self.state.cp_frozen_j_mol_k(self.state.t_k))
    }

    /// Heat capacity at constant pressure with the composition following equilibrium.
    pub fn equilibrium_heat_capacity(&self) -> SpecificHeatCapacity {
        self.by_mass(self.state.cp_equilibrium_j_mol_k)
    }

    /// Mean heat capacity of the products between air and flame temperature, composition frozen.
    pub fn mean_heat_capacity(&self) -> SpecificHeatCapacity {
        let (cold_k, hot_k) = (self.air_temperature.value, self.state.t_k);
        let rise_k = hot_k - cold_k;
        if rise_k < 1.0 {
            return self.heat_capacity();
        }
        let at = |t_k| self.state.enthalpy_frozen_j_mol(t_k);
        self.by_mass((at(hot_k) - at(cold_k)) / rise_k)
    }

    fn by_mass(&self, j_mol_k: f64) -> SpecificHeatCapacity {
        joules_per_kilogram_kelvin(j_mol_k / self.molar_mass.value)
    }

    /// Heat-capacity ratio `cp/(cp − R)` at constant composition.
    pub fn gamma(&self) -> Ratio {
        let cp = self.state.cp_frozen_j_mol_k(self.state.t_k);
        ratio(cp / (cp - GAS_CONSTANT_J_MOL_K))
    }

    /// Temperature at which water begins to condense in the cooled exhaust.
    ///
    /// Lean exhaust burns out as it cools: all hydrogen counts as water. Rich exhaust keeps the composition
    /// of the flame.
    ///
    /// **Valid:** above the triple point of water; `None` below it, where frost forms. Sulphur in the fuel
    /// raises the acid dew point far above: not covered.
    /// **Source:** `wagner-pruss-1993`.
    pub fn exhaust_dew_point(&self) -> Option<ThermodynamicTemperature> {
        let x_water = self
            .complete_water
            .unwrap_or_else(|| self.state.mole_fraction("H2O"));
        water::saturation_temperature_k(x_water * self.state.p_pa).map(kelvin)
    }

    /// Activity of solid carbon: above 1 equilibrium would deposit soot, and the gas-only composition given
    /// here is not the stable one. Real flames soot earlier, where mixing is poor.
    pub fn carbon_activity(&self) -> f64 {
        self.state.carbon_activity()
    }

    /// The equilibrium state itself.
    pub fn state(&self) -> &State {
        &self.state
    }
}
