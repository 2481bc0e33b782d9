//! Where a rig stands: air, room, distances, who and what is near.

use crate::quantity::{
    AbsolutePressure, Length, Mass, Ratio, ThermodynamicTemperature, Velocity, Volume, VolumeRate,
};
use crate::train::worded::worded;

/// Where a rig stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Site {
    /// Pressure of the air there.
    pub air_pressure: AbsolutePressure,
    /// Whether that came from the altitude, from a reading, or from neither (standard atmosphere).
    pub air_pressure_from: AirPressureFrom,
    /// Temperature of the air on the test day.
    pub ambient: ThermodynamicTemperature,
    /// Coldest day the rig is to work on.
    pub coldest: Option<ThermodynamicTemperature>,
    /// Hottest day the rig is to stand through.
    pub hottest: Option<ThermodynamicTemperature>,
    /// Relative humidity of the air.
    pub relative_humidity: Option<Ratio>,
    /// Wind at the tank.
    pub wind: Option<Velocity>,
    /// Indoors or outdoors.
    pub setting: Setting,
    /// Volume of the room.
    pub room_volume: Option<Volume>,
    /// Air that passes the room.
    pub ventilation: Option<VolumeRate>,
    /// Where the air for the fire comes from, indoors; `None`: not said.
    pub combustion_air: Option<CombustionAir>,
    /// Whether what leaves the duct is led outdoors; `None`: not said.
    pub flue: Option<bool>,
    /// Whether there are pits, drains or cellar openings near.
    pub low_points: Option<bool>,
    /// Distance to the nearest of them.
    pub low_point_distance: Option<Length>,
    /// Distance from the fire to the operator.
    pub operator_distance: Option<Length>,
    /// Distance from the fire to other people.
    pub people_distance: Option<Length>,
    /// Distance from the tank to the fire or the nearest other source of ignition.
    pub tank_to_fire: Option<Length>,
    /// Distance from the operator to the shut-off that the operator would use.
    pub shutoff_distance: Option<Length>,
    /// Fire extinguisher at hand.
    pub extinguisher: Option<Extinguisher>,
    /// Mass of what is in it.
    pub extinguisher_charge: Option<Mass>,
    /// Whether a gas detector is on.
    pub gas_detector: Option<bool>,
    /// Whether a carbon monoxide alarm is on.
    pub carbon_monoxide_alarm: Option<bool>,
}

/// Where the air pressure is from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AirPressureFrom {
    /// Read and given.
    Given,
    /// Standard atmosphere at this altitude.
    Altitude(Length),
    /// Standard atmosphere at sea level, for want of both.
    Assumed,
}

worded! {
    /// Indoors or outdoors.
    pub enum Setting {
        /// Under a roof with walls.
        Indoor = "indoor",
        /// In the open.
        Outdoor = "outdoor",
    }
}

worded! {
    /// Where the air for the fire comes from.
    pub enum CombustionAir {
        /// Out of the room.
        Room = "room",
        /// By a duct from outdoors.
        Outdoors = "outdoors",
    }
}

worded! {
    /// Kind of fire extinguisher.
    pub enum Extinguisher {
        /// None.
        None = "none",
        /// Dry powder.
        DryPowder = "dry-powder",
        /// Carbon dioxide.
        CarbonDioxide = "carbon-dioxide",
        /// Foam.
        Foam = "foam",
        /// Water.
        Water = "water",
    }
}
