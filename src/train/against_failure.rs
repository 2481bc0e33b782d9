//! Whether a part is a shut-off and what it stands: decided here, once, for every rule.

use super::{Actuation, Closure, OnLoss, Part, PartKind};
use crate::quantity::{AbsolutePressure, pascals_absolute};

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
