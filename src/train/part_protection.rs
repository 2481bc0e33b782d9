//! What a part has and does against failure, as far as the file says.

use crate::quantity::{AbsolutePressure, PressureDifference};
use crate::train::worded::worded;

/// What a part has and does against failure, as far as the file says.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Protection {
    /// Coil, relay or switch that drives it.
    pub driven_by: Option<Drive>,
    /// Whether a quick coupling on it closes when parted.
    pub self_closing: Option<bool>,
    /// Where what it blows off goes.
    pub vents_to: Option<VentsTo>,
    /// Greatest pressure difference that it opens or closes against.
    pub max_differential: Option<PressureDifference>,
    /// Way that the arrow of a check valve points.
    pub arrow: Option<Arrow>,
    /// Pressure behind a regulator at which a slam-shut built in closes.
    pub shut_off_pressure: Option<AbsolutePressure>,
}

/// Name of a coil, relay or switch. One name written with other capitals or blanks around it is the same.
#[derive(Debug, Clone)]
pub struct Drive(pub String);

impl PartialEq for Drive {
    fn eq(&self, other: &Self) -> bool {
        self.0.trim().to_lowercase() == other.0.trim().to_lowercase()
    }
}

impl Eq for Drive {}

worded! {
    /// Where a relief valve or regulator blows off.
    pub enum VentsTo {
        /// Into the open, through a pipe or because it stands there.
        Outdoors = "outdoors",
        /// Into the room.
        Room = "room",
        /// Back to the tank.
        Tank = "tank",
        /// To the suction side of its pump.
        Suction = "suction",
    }
}

worded! {
    /// Way that the arrow on a check valve points.
    pub enum Arrow {
        /// With the fuel.
        ToBurner = "to-burner",
        /// Against it.
        ToSupply = "to-supply",
    }
}
