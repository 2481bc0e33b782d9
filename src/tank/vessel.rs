//! A tank and its charge, checked before anything is computed with them.

use super::TankError;
use super::contents::{Inventory, Point, Solver, Vessel};
use super::heat_gain::HeatGain;
use crate::eos::{Backend, MoleFractions};
use crate::quantity::range::in_range_of;
use crate::quantity::{
    AbsolutePressure, HeatCapacity, Mass, Ratio, ThermodynamicTemperature, Volume, kelvin,
    kilograms, pascals_absolute, ratio,
};
use std::sync::Arc;

/// Rigid tank with its fluid, wall and surroundings.
///
/// The wall has the temperature of the contents: good for metal, whose heat runs in within seconds.
#[derive(Debug, Clone)]
pub struct Tank {
    /// Fluid it is filled with, as a whole (liquid and vapour together).
    pub backend: Arc<dyn Backend>,
    /// Inner volume (water capacity).
    pub volume: Volume,
    /// Heat capacity of the wall: mass times specific heat.
    pub wall: HeatCapacity,
    /// Where heat comes from.
    pub heat_gain: HeatGain,
}

/// What a tank is filled with at the start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Charge {
    /// Mass of fluid, liquid and vapour together.
    pub mass: Mass,
    /// Temperature of fluid and wall.
    pub temperature: ThermodynamicTemperature,
}

/// What is in a tank at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contents {
    /// Temperature of fluid and wall.
    pub temperature: ThermodynamicTemperature,
    /// Pressure.
    pub pressure: AbsolutePressure,
    /// Mass of liquid; zero if there is gas alone.
    pub liquid: Mass,
    /// Mass of vapour or gas.
    pub vapour: Mass,
    /// Part of the volume that is liquid.
    pub liquid_volume: Ratio,
    /// Composition of the liquid, in the order of the backend's components; `None` if there is none.
    pub liquid_composition: Option<MoleFractions>,
    /// Composition of the vapour.
    pub vapour_composition: MoleFractions,
}

impl Contents {
    /// Liquid and vapour.
    pub fn mass(&self) -> Mass {
        self.liquid + self.vapour
    }
    pub(crate) fn new(p: &Point, volume_m3: f64) -> Self {
        Self {
            temperature: kelvin(p.t_k),
            pressure: pascals_absolute(p.p_pa),
            liquid: kilograms(p.liquid_kg()),
            vapour: kilograms(p.vapour_kg()),
            liquid_volume: ratio(p.liquid_m3() / volume_m3),
            liquid_composition: p.liquid.map(|l| l.mole_fractions),
            vapour_composition: p.vapour.mole_fractions,
        }
    }
}

impl Tank {
    /// What a charge looks like in this tank.
    ///
    /// # Errors
    /// [`TankError::Empty`], [`TankError::LiquidFull`], [`TankError::OutOfRange`], or what the backend says.
    pub fn contents(&self, charge: &Charge) -> Result<Contents, TankError> {
        let (_, _, point) = self.start(charge)?;
        Ok(Contents::new(&point, self.volume.value))
    }

    pub(crate) fn start(&self, charge: &Charge) -> Result<(Solver, Inventory, Point), TankError> {
        self.check()?;
        let (mass_kg, t_k) = (charge.mass.value, charge.temperature.value);
        if mass_kg.is_nan() || mass_kg <= 0.0 {
            return Err(TankError::Empty);
        }
        // liquid-full is told in the tank's own terms before the equation refuses the density
        if let Ok(e) = self.backend.bubble_t(t_k) {
            let most_kg = self.volume.value * e.liquid.density_kg_m3;
            if mass_kg >= most_kg {
                return Err(TankError::LiquidFull {
                    mass_kg,
                    most_kg,
                    t_k,
                });
            }
        }
        let vessel = Vessel {
            volume_m3: self.volume.value,
            wall_j_k: self.wall.value,
        };
        let mut solver = Solver::new(Arc::clone(&self.backend), vessel);
        let (inventory, point) = solver.start(mass_kg, t_k).map_err(TankError::of_charge)?;
        Ok((solver, inventory, point))
    }

    fn check(&self) -> Result<(), TankError> {
        in_range_of("tank volume", self.volume.value, 1e-6..=1e4, "m³")?;
        in_range_of(
            "heat capacity of the wall",
            self.wall.value,
            0.0..=1e9,
            "J/K",
        )?;
        self.heat_gain.check()?;
        if let Some(ambient) = self.heat_gain.ambient() {
            let range = self.backend.validity().temperature_k.clone();
            in_range_of("ambient temperature", ambient.value, range, "K")?;
        }
        Ok(())
    }
}
