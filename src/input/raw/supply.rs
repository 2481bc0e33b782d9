//! Tables of the supply: a tank, or a main.

use crate::input::section::section;
use crate::quantity::{
    Length, Mass, MassRate, PressureLevel, Ratio, SpecificHeatCapacity, ThermalConductance,
    ThermalConductivity, ThermodynamicTemperature, Volume,
};
use crate::train::Draw;
use crate::train::rig::{ChangeOver, PressureRead, Setting, TankPosition, WallMaterial};

section! {
    /// A tank or cylinder, or several alike.
    Tank {
        /// Water capacity of one.
        volume: Volume, required, Positive, "\"26.2 L\"";
        /// Fuel in one at the start, liquid and vapour together.
        fuel_mass: Mass, optional, Positive, "\"9 kg\"";
        /// Share of the volume that is liquid at the start, instead of `fuel_mass`.
        fill: Ratio, optional, Share, "\"70 %\"";
        /// Temperature at the start; the site's if left out.
        temperature: ThermodynamicTemperature, optional, Between(200.0, 340.0), "\"12 degC\"";
        /// Pressure over a liquid that is drawn: of the air for a vented tank, or of gas on top of it; its own
        /// vapour pressure if left out.
        pressure: PressureLevel, optional, Any, "\"0 bar(g)\"";
        /// Mass of the wall of one; a steel cylinder is taken where nothing is said of wall and size.
        wall_mass: Mass, optional, Positive, "\"10.5 kg\"";
        /// What the wall is of.
        wall_material: WallMaterial, optional, Any, "\"steel\"";
        /// Specific heat of the wall; from its material if left out.
        wall_specific_heat: SpecificHeatCapacity, optional, Positive, "\"470 J/(kg K)\"";
        /// Mass of one without fuel, with its valve and guard.
        empty_mass: Mass, optional, Positive, "\"12.5 kg\"";
        /// Outside diameter.
        diameter: Length, optional, Positive, "\"300 mm\"";
        /// Length or height.
        length: Length, optional, Positive, "\"480 mm\"";
        /// How it stands; upright if left out.
        position: TankPosition, optional, Any, "\"upright\"";
        /// Where it stands; where the rig stands, if that is in the open.
        setting: Setting, optional, Any, "\"outdoor\"";
        /// Whether the sun shines on it on the hottest day.
        in_sun: bool, optional, Any, "true";
        /// Whether it stands in a cellar, a pit or anywhere below the ground round it.
        below_ground: bool, optional, Any, "false";
        /// What is drawn; vapour of a fuel that is fed as a gas, else liquid, if left out.
        draw: Draw, optional, Any, "\"vapour\"";
        /// Set pressure of its relief valve.
        relief_pressure: PressureLevel, stated, Any, "\"26 bar(g)\"";
        /// Highest pressure it is made for.
        rating: PressureLevel, stated, Any, "\"30 bar(g)\"";
        /// How many alike are drawn together.
        number: u32, optional, Between(1.0, 1000.0), "1";
        /// How several are drawn: all open together, or one after the other, changed over by hand or by a change-over
        /// valve; together if left out.
        change_over: ChangeOver, optional, Any, "\"together\"";
        /// Heat conductance from the surroundings to what is in one, where you know it.
        conductance: ThermalConductance, optional, NotNegative, "\"6 W/K\"";
        /// Temperature of a water bath it stands in.
        water_bath: ThermodynamicTemperature, optional, Between(273.15, 333.15), "\"20 degC\"";
        /// Thickness of the frost on its wall that is counted as a resistance; none if left out.
        frost_thickness: Length, optional, Between(0.0, 0.2), "\"3 mm\"";
        /// Conductivity of that frost: 0.05 to 0.2 W/(m K) loose, 0.5 dense; 0.1 if left out.
        frost_conductivity: ThermalConductivity, optional, Between(0.01, 2.5), "\"0.1 W/(m K)\"";
        /// Emissivity of its surface: paint 0.9, bright metal 0.1 to 0.3; 0.9 if left out.
        emissivity: Ratio, optional, Share, "0.9";
        /// Thickness of the wall; from its mass if left out.
        wall_thickness: Length, optional, Positive, "\"2.8 mm\"";
    }
}

section! {
    /// A main, instead of a tank.
    Mains {
        /// Pressure at the rig's first part.
        pressure: PressureLevel, required, Any, "\"100 mbar(g)\"";
        /// How that pressure is read: in the gas moving through the first part, or at rest on a wide main; moving if
        /// left out.
        pressure_read: PressureRead, optional, Any, "\"at-rest\"";
        /// Temperature of the gas; the site's if left out.
        temperature: ThermodynamicTemperature, optional, Between(200.0, 370.0), "\"10 degC\"";
        /// Most the main gives.
        max_flow: MassRate, optional, Positive, "\"3 g/s\"";
    }
}
