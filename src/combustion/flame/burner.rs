//! A burner at constant pressure: fuel, air and heat loss joined, asked at an equivalence ratio.

use super::air_feed::AirFeed;
use super::error::FlameError;
use super::fuel_feed::FuelFeed;
use super::products::Flame;
use crate::combustion::equilibrium::{ELEMENTS, Reactants, Start};
use crate::quantity::{AbsolutePressure, Ratio, ratio};

/// Largest equivalence ratio computed. Without soot as a product the sums say little beyond.
pub const LARGEST_EQUIVALENCE_RATIO: f64 = 10.0;
/// Pressures at which products are taken as ideal gases, Pa.
pub const PRESSURE_RANGE_PA: [f64; 2] = [1e3, 1e7];

/// Fuel and air that meet at a pressure.
#[derive(Debug, Clone, PartialEq)]
pub struct Burner {
    pub(super) fuel: FuelFeed,
    pub(super) air: AirFeed,
    pub(super) p_pa: f64,
    pub(super) heat_loss: f64,
    /// Moles of air for complete burning of one mole of fuel.
    pub(super) stoichiometric_air_mol: f64,
}

impl Burner {
    /// A burner without heat loss.
    ///
    /// **Valid:** 0.01 bar to 100 bar.
    ///
    /// # Errors
    /// [`FlameError::PressureOutOfRange`].
    pub fn new(
        fuel: FuelFeed,
        air: AirFeed,
        pressure: AbsolutePressure,
    ) -> Result<Self, FlameError> {
        let p_pa = pressure.pascals();
        let [lower_pa, upper_pa] = PRESSURE_RANGE_PA;
        if !(lower_pa..=upper_pa).contains(&p_pa) {
            return Err(FlameError::PressureOutOfRange {
                p_pa,
                lower_pa,
                upper_pa,
            });
        }
        let stoichiometric_air_mol = fuel.oxygen_mol_mol / air.air.oxygen;
        Ok(Self {
            fuel,
            air,
            p_pa,
            heat_loss: 0.0,
            stoichiometric_air_mol,
        })
    }

    /// The same burner that loses a share of the heat released to its walls: `share · LHV · min(1, 1/φ)`.
    ///
    /// # Errors
    /// [`FlameError::HeatLossOutOfRange`] unless 0 ≤ share < 1.
    pub fn with_heat_loss(self, share: Ratio) -> Result<Self, FlameError> {
        let heat_loss = share.value;
        if !(0.0..1.0).contains(&heat_loss) {
            return Err(FlameError::HeatLossOutOfRange { share: heat_loss });
        }
        Ok(Self { heat_loss, ..self })
    }

    /// Fuel as fed.
    pub fn fuel(&self) -> &FuelFeed {
        &self.fuel
    }

    /// Air as fed.
    pub fn air(&self) -> &AirFeed {
        &self.air
    }

    /// Pressure.
    pub fn pressure(&self) -> AbsolutePressure {
        crate::quantity::pascals_absolute(self.p_pa)
    }

    /// Air over fuel by mass at an equivalence ratio of one; the air with its humidity.
    pub fn stoichiometric_air_fuel_ratio(&self) -> Ratio {
        ratio(
            self.stoichiometric_air_mol * self.air.molar_mass_kg_mol / self.fuel.molar_mass_kg_mol,
        )
    }

    /// The flame at an equivalence ratio: products in chemical equilibrium that hold the enthalpy of fuel
    /// and air less the heat lost.
    ///
    /// `Σ n_j h_j(T) = h_fuel(T_fuel) + (ν/φ) h_air(T_air) − Q_loss`, `ν` the stoichiometric moles of air.
    ///
    /// **Valid:** 0 < φ ≤ 10, products from 300 K to 3500 K; ideal gas without soot: see
    /// [`Flame::carbon_activity`]. Real flames fall short by unburnt fuel and radiation; equilibrium is what
    /// complete mixing and time would reach.
    /// **Source:** `nasa-rp1311`; species data `gri30`, `tm4513`.
    ///
    /// # Errors
    /// [`FlameError`]: equivalence ratio out of range, products out of range, air hotter than the flame.
    ///
    /// ```
    /// use fuelwright::combustion::flame::{Burner, AirFeed, FuelFeed};
    /// use fuelwright::fuel::{Composition, Library};
    /// use fuelwright::quantity::{kelvin, pascals_absolute, ratio};
    /// let library = Library::embedded();
    /// let fuel = FuelFeed::usual(&Composition::parse("propane", &library)?)?;
    /// let air = AirFeed::dry(kelvin(288.0))?;
    /// let burner = Burner::new(fuel, air, pascals_absolute(101_325.0))?;
    /// let flame = burner.flame(ratio(1.0))?;
    /// assert!((flame.temperature.value - 2261.6).abs() < 4.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn flame(&self, equivalence_ratio: Ratio) -> Result<Flame, FlameError> {
        self.flame_from(equivalence_ratio.value, &Start::default())
    }

    /// Flames over a list of equivalence ratios, each one started from the one before.
    ///
    /// # Errors
    /// As [`Burner::flame`], at the first that fails.
    pub fn sweep(&self, equivalence_ratios: &[Ratio]) -> Result<Vec<Flame>, FlameError> {
        let mut start = Start::default();
        let mut flames = Vec::with_capacity(equivalence_ratios.len());
        for phi in equivalence_ratios {
            let flame = self.flame_from(phi.value, &start)?;
            start = flame.state.as_start();
            flames.push(flame);
        }
        Ok(flames)
    }

    pub(super) fn flame_from(&self, phi: f64, start: &Start) -> Result<Flame, FlameError> {
        check_equivalence_ratio(phi)?;
        let air_mol = self.stoichiometric_air_mol / phi;
        let mass_kg = self.fuel.molar_mass_kg_mol + air_mol * self.air.molar_mass_kg_mol;
        let mut atoms_mol = [0.0; ELEMENTS];
        for ((sum, f), a) in atoms_mol
            .iter_mut()
            .zip(self.fuel.atoms)
            .zip(self.air.atoms)
        {
            *sum = f + air_mol * a;
        }
        let heat_lost_j = self.heat_lost_j_mol(phi);
        let reactants = Reactants {
            atoms_mol,
            enthalpy_j: self.fuel.enthalpy_j_mol + air_mol * self.air.enthalpy_j_mol - heat_lost_j,
            pressure_pa: self.p_pa,
        };
        let state = reactants.at_enthalpy(start)?;
        if state.t_k < self.air.t_k {
            return Err(FlameError::InletHotterThanFlame {
                t_air_k: self.air.t_k,
                t_flame_k: state.t_k,
            });
        }
        Ok(Flame::new(self, phi, &state, mass_kg, heat_lost_j))
    }

    /// Heat lost for one mole of fuel, J.
    fn heat_lost_j_mol(&self, phi: f64) -> f64 {
        let heat_j_mol =
            self.fuel.lower_heating_value().value * self.fuel.molar_mass_kg_mol / phi.max(1.0);
        self.heat_loss * heat_j_mol
    }
}

/// Refuses an equivalence ratio that no burner has.
///
/// # Errors
/// [`FlameError::EquivalenceRatioOutOfRange`] outside 0 to [`LARGEST_EQUIVALENCE_RATIO`].
pub fn check_equivalence_ratio(phi: f64) -> Result<(), FlameError> {
    if phi > 0.0 && phi <= LARGEST_EQUIVALENCE_RATIO {
        Ok(())
    } else {
        Err(FlameError::EquivalenceRatioOutOfRange {
            phi,
            upper: LARGEST_EQUIVALENCE_RATIO,
        })
    }
}
