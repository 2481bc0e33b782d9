//! What a part has and does against failure, as far as the file says.

use crate::quantity::{AbsolutePressure, PressureDifference};

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

/// Where a relief valve or regulator blows off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VentsTo {
    /// Into the open, through a pipe or because it stands there.
    Outdoors,
    /// Into the room.
    Room,
    /// Back to the tank.
    Tank,
    /// To the suction side of its pump.
    Suction,
}

/// Way that the arrow on a check valve points.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Arrow {
    /// With the fuel.
    ToBurner,
    /// Against it.
    ToSupply,
}
