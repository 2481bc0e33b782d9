//! Quantities as texts.

use super::{Units, show};
use crate::quantity::kind::Kind;
use crate::quantity::{
    AbsolutePressure, FlowCoefficient, GaugePressure, Length, MassRate, Power, PressureDifference,
    PressureLevel, TemperatureInterval, ThermodynamicTemperature,
};

/// A quantity that can be shown.
pub trait Show {
    /// Text with the unit that suits it.
    fn show(&self, units: Units) -> String;
}

impl Show for AbsolutePressure {
    fn show(&self, units: Units) -> String {
        show(Kind::AbsolutePressure, self.pascals(), units)
    }
}

impl Show for GaugePressure {
    fn show(&self, units: Units) -> String {
        show(Kind::GaugePressure, self.pascals(), units)
    }
}

impl Show for PressureDifference {
    fn show(&self, units: Units) -> String {
        show(Kind::PressureDifference, self.pascals(), units)
    }
}

impl Show for PressureLevel {
    fn show(&self, units: Units) -> String {
        match self {
            Self::Absolute(p) => p.show(units),
            Self::Gauge(p) => p.show(units),
        }
    }
}

impl Show for FlowCoefficient {
    fn show(&self, units: Units) -> String {
        show(Kind::FlowCoefficient, self.kv(), units)
    }
}

impl Show for Length {
    fn show(&self, units: Units) -> String {
        show(Kind::Length, self.value, units)
    }
}

impl Show for MassRate {
    fn show(&self, units: Units) -> String {
        show(Kind::MassRate, self.value, units)
    }
}

impl Show for Power {
    fn show(&self, units: Units) -> String {
        show(Kind::Power, self.value, units)
    }
}

impl Show for ThermodynamicTemperature {
    fn show(&self, units: Units) -> String {
        show(Kind::Temperature, self.value, units)
    }
}

impl Show for TemperatureInterval {
    fn show(&self, units: Units) -> String {
        show(Kind::TemperatureDifference, self.value, units)
    }
}
