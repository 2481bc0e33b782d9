//! Where the fuel comes from: a tank (or several alike), or a main.

use super::Setting;
use crate::quantity::{
    AbsolutePressure, Length, Mass, MassRate, Ratio, SpecificHeatCapacity, ThermalConductance,
    ThermalConductivity, ThermodynamicTemperature, Volume,
};
use crate::train::Draw;
use crate::train::worded::worded;

/// Pressure above the air from which a tank holds a pressure: a vent lets less stand, Pa. Our choice.
pub const VENTED_PA: f64 = 2_000.0;

/// What sun adds to a tank in the open, K. Common practice, no source.
pub const SUN_K: f64 = 20.0;

/// Where the fuel comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum Supply {
    /// A tank or cylinder, or several alike.
    Tank(TankSpec),
    /// A main.
    Mains(Mains),
}

impl Supply {
    /// The tank, if it is one.
    pub fn tank(&self) -> Option<&TankSpec> {
        match self {
            Self::Tank(tank) => Some(tank),
            Self::Mains(_) => None,
        }
    }
}

/// A main.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mains {
    /// Pressure at the rig's first part.
    pub pressure: AbsolutePressure,
    /// Whether that is the pressure of the moving gas.
    pub read: PressureRead,
    /// Temperature; `None`: that of the site.
    pub temperature: Option<ThermodynamicTemperature>,
    /// Most it gives.
    pub max_flow: Option<MassRate>,
}

worded! {
    /// Where a gauge reads the pressure of a main.
    pub enum PressureRead {
        /// In the gas that moves through the bore of the first part: a tapping in its wall.
        Moving = "moving",
        /// In gas at rest: on a main much wider than the first part, or with nothing drawn and no loss on the way.
        AtRest = "at-rest",
    }
}

/// A tank or cylinder.
#[derive(Debug, Clone, PartialEq)]
pub struct TankSpec {
    /// Water capacity of one.
    pub volume: Volume,
    /// What is in one.
    pub charge: Charge,
    /// Temperature at the start; `None`: that of the site.
    pub temperature: Option<ThermodynamicTemperature>,
    /// Pressure over a liquid that is drawn, where it is not its own vapour pressure: a vented tank, or gas
    /// on top.
    pub pressure: Option<AbsolutePressure>,
    /// Mass of the wall.
    pub wall_mass: Option<Mass>,
    /// Specific heat of the wall, given or from the material.
    pub wall_specific_heat: Option<SpecificHeatCapacity>,
    /// What the wall is of.
    pub wall_material: Option<WallMaterial>,
    /// Mass of one without fuel, with its valve and guard.
    pub empty_mass: Option<Mass>,
    /// Outside diameter.
    pub diameter: Option<Length>,
    /// Length or height.
    pub length: Option<Length>,
    /// Where it stands, if the file says so.
    pub setting: Option<Setting>,
    /// Whether the sun shines on it.
    pub in_sun: Option<bool>,
    /// Whether it stands below the ground round it.
    pub below_ground: Option<bool>,
    /// How it stands.
    pub position: TankPosition,
    /// What is drawn.
    pub draw: Draw,
    /// Set pressure of its relief valve.
    pub relief_pressure: Option<AbsolutePressure>,
    /// Highest pressure it is made for.
    pub rating: Option<AbsolutePressure>,
    /// How many alike are drawn together.
    pub number: u32,
    /// How several are drawn; `None`: not said.
    pub change_over: Option<ChangeOver>,
    /// Heat conductance from surroundings to contents, where the user knows it.
    pub conductance: Option<ThermalConductance>,
    /// Temperature of a water bath it stands in.
    pub water_bath: Option<ThermodynamicTemperature>,
    /// Frost on its wall that is counted, with its conductivity where the user gives it.
    pub frost: Option<(Length, Option<ThermalConductivity>)>,
    /// Emissivity of its surface.
    pub emissivity: Option<Ratio>,
    /// Thickness of the wall.
    pub wall_thickness: Option<Length>,
}

worded! {
    /// How several tanks are drawn.
    pub enum ChangeOver {
        /// All open at once.
        Together = "together",
        /// One at a time, changed over by hand.
        Manual = "manual",
        /// One at a time, changed over by a valve that its pressure works.
        Automatic = "automatic",
    }
}

/// What is in a tank at the start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Charge {
    /// Mass of fuel, liquid and vapour together.
    Mass(Mass),
    /// Share of the volume that is liquid.
    LiquidShare(Ratio),
}

worded! {
    /// How a tank stands.
    pub enum TankPosition {
        /// On its foot.
        Upright = "upright",
        /// On its side.
        Lying = "lying",
        /// On its head.
        Inverted = "inverted",
    }
}

worded! {
    /// What the wall is of.
    pub enum WallMaterial {
        /// Steel.
        Steel = "steel",
        /// Aluminium.
        Aluminium = "aluminium",
        /// Glass-fibre composite.
        Composite = "composite",
    }
}
