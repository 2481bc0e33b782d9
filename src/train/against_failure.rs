//! Whether a part is a shut-off, what it holds and what it stands: decided here, once, for every rule.

use super::{Actuation, Closure, OnLoss, Part, PartKind};
use crate::quantity::AbsolutePressure;

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
    /// Whether it is a regulator.
    pub fn is_regulator(&self) -> bool {
        matches!(self.kind, PartKind::Regulator(_))
    }
    /// Whether it is a pump.
    pub fn is_pump(&self) -> bool {
        matches!(self.kind, PartKind::Pump(_))
    }
    /// Whether it sets the pressure behind it: a regulator or a pump.
    pub fn sets_pressure(&self) -> bool {
        self.is_regulator() || self.is_pump()
    }
    /// Pressure behind it with the flow stopped: lock-up of a regulator, what a pump gives against shut valves, else that
    /// before it.
    pub fn holds(&self, inlet: AbsolutePressure) -> AbsolutePressure {
        match &self.kind {
            PartKind::Regulator(r) => r.lock_up_pressure(inlet),
            PartKind::Pump(p) => p.against_closed(inlet),
            _ => inlet,
        }
    }
    /// Highest pressure before it, and the key that says so: its rating, or of a regulator the highest inlet pressure if
    /// that is less.
    pub fn rated(&self) -> Option<(AbsolutePressure, &'static str)> {
        let rating = self.rating.max_pressure.map(|p| (p, "max_pressure"));
        let inlet = match &self.kind {
            PartKind::Regulator(r) => r.max_inlet.map(|p| (p, "max_inlet")),
            _ => None,
        };
        match (rating, inlet) {
            (Some(rating), Some(inlet)) if inlet.0 < rating.0 => Some(inlet),
            (rating, inlet) => rating.or(inlet),
        }
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
