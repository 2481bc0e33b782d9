//! The train at one duty: what is asked of it, and what it answers.

use super::Check;
use super::rig::PressureRead;
use super::solution::{PartProblem, Solution, TrainError};
use super::solve::Setting;
use crate::quantity::{
    AbsolutePressure, AvailableEnergy, Length, MassRate, PressureDifference,
    ThermodynamicTemperature,
};

/// Name of the outlet that is the rig's injector: the rig reader gives it.
pub const INJECTOR: &str = "main";

/// A duty as the train meets it.
#[derive(Debug, Clone, PartialEq)]
pub struct TrainNeed {
    /// Name.
    pub name: String,
    /// Fuel flow wanted at the injector.
    pub fuel: MassRate,
    /// Dry air; `None` where the duty has none.
    pub air: Option<MassRate>,
    /// Pressure of the chamber.
    pub chamber: AbsolutePressure,
    /// Discharge coefficient of the injector's holes at this duty.
    pub discharge_coefficient: f64,
}

/// The injector's holes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InjectorHoles {
    /// Number.
    pub number: u32,
    /// Diameter.
    pub diameter: Length,
}

/// What the fire makes of the fuel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrainFire {
    /// Mass of air that just burns a mass of fuel.
    pub air_fuel_ratio: f64,
    /// Lower heating value.
    pub heating_value: AvailableEnergy,
}

/// The train at one duty.
#[derive(Debug, Clone)]
pub struct TrainDuty {
    /// Name.
    pub name: String,
    /// Flow wanted at the injector.
    pub wanted: MassRate,
    /// The throttle's setting; `None` without a throttle: the flow is then what the train gives.
    pub setting: Option<Setting>,
    /// Flows, pressures and temperatures, or why not.
    pub solution: Result<Solution, TrainError>,
    /// What stands out.
    pub checks: Vec<Check>,
    /// Lowest tank pressure that still feeds it, every valve open, or why none does; `None` where the supply
    /// is no saturated tank.
    pub lowest: Option<Result<LowestSupply, TrainError>>,
}

impl TrainDuty {
    /// Whether it is not fed because liquid and vapour together reach a part whose law holds for one of them.
    pub fn is_two_phase(&self) -> bool {
        matches!(
            &self.solution,
            Err(TrainError::Part {
                problem: PartProblem::TwoPhase { .. },
                ..
            })
        )
    }
}

/// The lowest tank pressure that feeds a duty.
#[derive(Debug, Clone, PartialEq)]
pub struct LowestSupply {
    /// Pressure in the tank.
    pub pressure: AbsolutePressure,
    /// Temperature at which what is drawn is saturated there: of a pure fuel, that of the coldest tank.
    pub saturation: ThermodynamicTemperature,
    /// Part or outlet that gives out first.
    pub limited_by: String,
    /// The duty is fed down to the lowest temperature of the properties; the figures are those there.
    pub at_lowest: bool,
}

/// Pressure of gas at rest over that of the same gas moving through the first part behind a main.
#[derive(Debug, Clone, PartialEq)]
pub struct MainHead {
    /// Which of both the file gives.
    pub read: PressureRead,
    /// First part.
    pub part: String,
    /// Duty.
    pub duty: String,
    /// Difference.
    pub head: PressureDifference,
}
