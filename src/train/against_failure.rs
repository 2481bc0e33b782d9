//! What a part has and does against failure, and whether it is a shut-off: decided here, once, for every rule.

use super::{Actuation, Closure, OnLoss, Part, PartKind};
use crate::quantity::{AbsolutePressure, PressureDifference, pascals_absolute};

impl Part {
    /// Whether it is a shut-off: a valve that is made to close tight. A metering or needle valve meters, however far
    /// it closes; a regulator, a check valve or an excess-flow valve closes for reasons of its own. Every rule asks
    /// here.
    ///
    /// **Source:** common practice, no source.
    pub fn is_shut_off(&self) -> bool {
        matches!(
            self.kind,
            PartKind::CylinderValve(_) | PartKind::BallValve(_) | PartKind::SolenoidValve(_)
        )
    }
    /// Whether it is a shut-off that closes by itself without power: what a shut command does to it.
    pub fn shuts_without_power(&self) -> bool {
        self.shuts_when(|c| c.on_power_loss)
    }
    /// Whether it is a shut-off that closes by itself without its signal.
    pub fn shuts_without_signal(&self) -> bool {
        self.shuts_when(|c| c.on_signal_loss)
    }
    fn shuts_when(&self, loss: fn(&Closure) -> OnLoss) -> bool {
        let closes = |c: &Closure| c.closes_on(loss(c));
        self.is_shut_off() && self.closure.as_ref().is_some_and(closes)
    }
    /// Highest pressure before it: its rating, and of a regulator its highest inlet pressure.
    pub fn most_pressure(&self) -> Option<AbsolutePressure> {
        let inlet = match &self.kind {
            PartKind::Regulator(r) => r.max_inlet,
            _ => None,
        };
        let both = [self.rating.max_pressure, inlet].into_iter().flatten();
        both.map(AbsolutePressure::pascals)
            .reduce(f64::min)
            .map(pascals_absolute)
    }
}

impl Closure {
    /// Whether it closes, tight or not, when its power is cut.
    pub fn closes_without_power(&self) -> bool {
        self.closes_on(self.on_power_loss)
    }
    /// A hand valve closes by nothing but a hand.
    fn closes_on(&self, loss: OnLoss) -> bool {
        loss == OnLoss::Closes && self.actuation != Actuation::Manual
    }
}

/// What a part has and does against failure, as far as the file says.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Protection {
    /// Coil, relay or switch that drives it.
    pub driven_by: Option<String>,
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
