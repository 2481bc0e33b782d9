//! A burner at constant pressure: fuel, air and heat that does not reach the gas, asked at an equivalence ratio.

use super::air_feed::AirFeed;
use super::error::FlameError;
use super::fuel_feed::FuelFeed;
use super::products::Flame;
use crate::combustion::equilibrium::{ELEMENTS, Reactants, Start, State};
use crate::quantity::{
    AbsolutePressure, Ratio, joules_per_kilogram, kelvin, kilograms_per_mole, pascals_absolute,
    ratio,
};

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
    pub(super) efficiency: f64,
    /// Moles of air for complete burning of one mole of fuel.
    pub(super) stoichiometric_air_mol: f64,
}

impl Burner {
    /// A burner that sets free all the heat for which there is air, and loses none.
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
            efficiency: 1.0,
            stoichiometric_air_mol,
        })
    }

    /// The same burner that loses a share of the heat released to its walls: `share · η · LHV · min(1, 1/φ)`.
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

    /// The same burner that sets free a share `η` of the heat for which there is air: `η · LHV · min(1, 1/φ)`.
    ///
    /// The rest leaves bound in unburnt fuel and carbon monoxide. They are not told apart from the burnt gas:
    /// with unburnt vapour carried along as such an exit up to φ = 0.8 is within 5 K (`tests/figures/reference/flame.rs`).
    ///
    /// # Errors
    /// [`FlameError::EfficiencyOutOfRange`] unless 0 < share ≤ 1.
    pub fn with_efficiency(self, share: Ratio) -> Result<Self, FlameError> {
        let efficiency = share.value;
        if !(efficiency > 0.0 && efficiency <= 1.0) {
            return Err(FlameError::EfficiencyOutOfRange { share: efficiency });
        }
        Ok(Self { efficiency, ..self })
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

    /// The gas that leaves at an equivalence ratio: products in chemical equilibrium that hold the enthalpy of
    /// fuel and air less the heat not set free and the heat lost.
    ///
    /// `Σ n_j h_j(T) = h_fuel(T_fuel) + (ν/φ) h_air(T_air) − (1 − η) Q − Q_loss`, `Q = LHV · min(1, 1/φ)`, `ν` the
    /// stoichiometric moles of air.
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

    /// The flame where all the fuel has met a share of the air: [`Burner::flame`] at `φ/share`, with all its heat
    /// set free.
    ///
    /// The efficiency is one of the whole burner, measured at its exit. Fuel that leaves unburnt was never in the
    /// flame or was quenched behind it: what burns in the zone burns at the full temperature, which is also the one
    /// that its walls have to bear.
    ///
    /// **Valid:** as [`Burner::flame`], `φ/share` in the place of `φ`.
    ///
    /// # Errors
    /// [`FlameError::AirShareOutOfRange`], and as [`Burner::flame`].
    pub fn primary(&self, equivalence_ratio: Ratio, share: Ratio) -> Result<Flame, FlameError> {
        let (phi, share) = (equivalence_ratio.value, share.value);
        if !(share > 0.0 && share <= 1.0) {
            return Err(FlameError::AirShareOutOfRange { share });
        }
        check_equivalence_ratio(phi)?;
        self.flame_of(phi / share, 1.0, &Start::default())
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
        self.flame_of(phi, self.efficiency, start)
    }

    fn flame_of(&self, phi: f64, efficiency: f64, start: &Start) -> Result<Flame, FlameError> {
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
        // for one mole of fuel: what burns if all of it does that finds air, what of it stays bound, what walls take
        let heat_j =
            self.fuel.lower_heating_value().value * self.fuel.molar_mass_kg_mol / phi.max(1.0);
        let bound_j = (1.0 - efficiency) * heat_j;
        let heat_lost_j = self.heat_loss * efficiency * heat_j;
        let reactants = Reactants {
            atoms_mol,
            enthalpy_j: self.fuel.enthalpy_j_mol + air_mol * self.air.enthalpy_j_mol
                - bound_j
                - heat_lost_j,
            pressure_pa: self.p_pa,
        };
        let state = reactants.at_enthalpy(start)?;
        if state.t_k < self.air.t_k {
            return Err(FlameError::InletHotterThanFlame {
                t_air_k: self.air.t_k,
                t_flame_k: state.t_k,
            });
        }
        Ok(self.leaving(phi, &state, mass_kg, heat_lost_j))
    }

    /// What leaves.
    fn leaving(&self, phi: f64, state: &State, mass_kg: f64, heat_lost_j: f64) -> Flame {
        let air_kg = mass_kg - self.fuel.molar_mass_kg_mol;
        Flame {
            temperature: kelvin(state.t_k),
            air_temperature: kelvin(self.air.t_k),
            pressure: pascals_absolute(self.p_pa),
            equivalence_ratio: ratio(phi),
            air_fuel_ratio: ratio(air_kg / self.fuel.molar_mass_kg_mol),
            molar_mass: kilograms_per_mole(mass_kg / state.moles),
            heat_lost: joules_per_kilogram(heat_lost_j / mass_kg),
            complete_water: (phi <= 1.0).then(|| {
                let [c, h, o, n, ar] = state.atoms_mol();
                let spare_oxygen = (o / 2.0 - c - h / 4.0).max(0.0);
                h / 2.0 / (c + h / 2.0 + n / 2.0 + ar + spare_oxygen)
            }),
            state: *state,
        }
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
