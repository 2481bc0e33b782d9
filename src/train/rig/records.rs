//! Papers of a rig: leak test, dates, rules set aside, run plan, plan for another fuel, bands.

use super::{Date, Device};
use crate::fuel::Composition;
use crate::injector::drills::HoleTolerance;
use crate::injector::flow_test::{FlowTest, TestedFlow};
use crate::quantity::{
    AbsolutePressure, AvailableEnergy, GaugePressure, Length, PressureDifference, Ratio,
    TemperatureInterval, ThermodynamicTemperature, Time, Volume,
};
use crate::train::worded::worded;

/// How a leak test was made, and what it showed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TestMethod {
    /// Held at a pressure.
    Decay {
        /// How long.
        hold_time: Time,
        /// Fall of the gauge.
        drop: PressureDifference,
    },
    /// Soap or leak detector fluid on every joint.
    Soap {
        /// Whether a joint bubbled; `None`: the record does not say.
        leak_found: Option<bool>,
    },
}

worded! {
    /// Words of the file for the two methods.
    pub enum TestWord {
        /// A pressure that is held.
        Decay = "decay",
        /// Soap on the joints.
        Soap = "soap",
    }
}

/// A leak test of one zone that was made.
#[derive(Debug, Clone, PartialEq)]
pub struct LeakTest {
    /// Where it stands in the file.
    pub at: String,
    /// Part behind which the zone begins; `None`: the supply, or not said.
    pub from: Option<String>,
    /// Part at which it ends; `None`: the next regulator or pump, or the holes, or not said.
    pub to: Option<String>,
    /// When.
    pub date: Date,
    /// Pressure at its start.
    pub pressure: GaugePressure,
    /// How it was made.
    pub method: TestMethod,
    /// Smallest step the gauge shows.
    pub gauge_resolution: Option<PressureDifference>,
    /// Volume under test.
    pub volume: Option<Volume>,
    /// Gas.
    pub gas: Option<String>,
    /// Gas temperature at its start.
    pub start_temperature: Option<ThermodynamicTemperature>,
    /// Gas temperature at its end.
    pub end_temperature: Option<ThermodynamicTemperature>,
}

/// A flow test of the holes that was made.
#[derive(Debug, Clone, PartialEq)]
pub struct HoleTest {
    /// Where it stands in the file.
    pub at: String,
    /// When.
    pub date: Date,
    /// What was let through, as written.
    pub gas: String,
    /// As it was read.
    pub test: FlowTest,
    /// What it says; `None`: it is of other holes than the rig has now.
    pub says: Option<TestedFlow>,
}

/// Dates and papers.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Records {
    /// Day the rig is to be lit: what other dates are held against.
    pub test_day: Option<Date>,
    /// Date stamped on the hoses.
    pub hose_made: Option<Date>,
    /// Date stamped on the regulator.
    pub regulator_made: Option<Date>,
    /// Last inspection of the cylinder.
    pub cylinder_inspected: Option<Date>,
    /// Years from one inspection of the cylinder to the next.
    pub cylinder_years: Option<u32>,
    /// Last inspection of the extinguisher.
    pub extinguisher_inspected: Option<Date>,
    /// Whether a licensed person has looked at the rig.
    pub reviewed: Option<bool>,
}

/// The last time that a device was tried and did what it is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ProofTest {
    /// Device.
    pub device: Device,
    /// Day.
    pub date: Date,
}

/// A rule that is set aside.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Suppression {
    /// Id of the rule.
    pub rule: String,
    /// Only where a finding's place begins with this; `None`: everywhere.
    pub at: Option<String>,
    /// Why.
    pub reason: String,
    /// Who says so.
    pub by: Option<String>,
    /// Last day on which it holds.
    pub until: Option<Date>,
}

/// A run plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Timetable {
    /// Steps in order.
    pub steps: Vec<ScheduleStep>,
    /// How many times over.
    pub repeats: u32,
}

/// One step of a run plan.
#[derive(Debug, Clone, PartialEq)]
pub struct ScheduleStep {
    /// Name of the duty; `None`: rest.
    pub duty: Option<String>,
    /// How long.
    pub duration: Time,
}

/// A plan for another fuel.
#[derive(Debug, Clone, PartialEq)]
pub struct SwitchPlan {
    /// Fuel, by mole.
    pub to: Composition,
    /// As written in the file.
    pub written: String,
    /// Running time on one fill.
    pub endurance: Option<Time>,
    /// Pressure of the liquid before the nozzle.
    pub feed_pressure: Option<AbsolutePressure>,
    /// Hydraulic over electric power of the pump.
    pub pump_efficiency: Option<Ratio>,
    /// Specific energy of the battery.
    pub battery_energy: Option<AvailableEnergy>,
    /// Height of the pump above the lowest fuel level; negative below it.
    pub pump_lift: Option<Length>,
    /// Net positive suction head required by the pump.
    pub suction_head: Option<Length>,
    /// Number of nozzles.
    pub nozzles: Option<u32>,
    /// Length of line from tank to nozzles.
    pub line_length: Option<Length>,
}

/// Bands on what was given, each the half-width.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tolerances {
    /// Air flow, relative.
    pub air_flow: Option<Ratio>,
    /// Pressure before the injector, relative to its drop over the chamber.
    pub supply_pressure: Option<Ratio>,
    /// Set pressure of each regulator, relative to its gauge pressure.
    pub set_pressure: Option<Ratio>,
    /// Droop of each regulator, relative.
    pub droop: Option<Ratio>,
    /// Flow coefficient of each part, relative.
    pub flow_coefficient: Option<Ratio>,
    /// Rangeability of the throttle, relative.
    pub rangeability: Option<Ratio>,
    /// Friction of tubes and hoses, relative.
    pub line_loss: Option<Ratio>,
    /// Rise of each regulator to lock-up, relative.
    pub lock_up: Option<Ratio>,
    /// Heat that comes into the cylinder for a kelvin, relative.
    pub conductance: Option<Ratio>,
    /// Ambient and tank temperature.
    pub temperature: Option<TemperatureInterval>,
    /// Share of each component, relative.
    pub composition: Option<Ratio>,
    /// Discharge coefficient, relative; replaces the model's own band.
    pub discharge_coefficient: Option<Ratio>,
    /// Grade of the finished holes, 9 to 13.
    pub hole_grade: Option<u32>,
}

impl Tolerances {
    /// Class of the finished holes.
    pub fn hole_tolerance(&self) -> Option<HoleTolerance> {
        self.hole_grade.map(|grade| match grade {
            ..=9 => HoleTolerance::H9,
            10 => HoleTolerance::H10,
            11 => HoleTolerance::H11,
            12 => HoleTolerance::H12,
            13.. => HoleTolerance::H13,
        })
    }
}
