//! What a run of a tank is asked to record, and what it records: rows, events, balances.

use super::TankError;
use super::vessel::{Contents, Tank};
use crate::eos::MoleFractions;
use crate::quantity::{
    AbsolutePressure, Energy, Mass, Power, ThermodynamicTemperature, Time, kelvin,
};

/// How a run is reported and when it ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunOptions {
    /// Time between rows of the series; `None` for the first and last row only.
    pub every: Option<Time>,
    /// Temperature at which the run ends; the equation's own range always counts.
    pub lowest_temperature: Option<ThermodynamicTemperature>,
    /// Whether to stop when a duty can no longer be fed, or to go on as if it could.
    pub stop_at_failure: bool,
}

impl Default for RunOptions {
    fn default() -> Self {
        Self {
            every: None,
            lowest_temperature: None,
            stop_at_failure: true,
        }
    }
}

/// Something that happens in a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Happening {
    /// The pressure falls below what the duty needs.
    PressureTooLow {
        /// Needed.
        needed: AbsolutePressure,
    },
    /// The last liquid has boiled off; gas alone from here on.
    LiquidGone,
    /// Gas turns wet again.
    Condensing,
    /// Liquid is to be drawn, but there is none.
    NoLiquid,
    /// The temperature is down to the floor, or to the end of the equation's range.
    TooCold,
    /// Liquid fills the whole tank: the pressure rises steeply from here.
    LiquidFull,
    /// Nothing worth drawing is left.
    Empty,
    /// The contents have left the range of a model: [`Run::stopped_by`] says which.
    OutOfRange,
}

impl Happening {
    /// Whether the duty is not fed from here on.
    pub fn is_failure(self) -> bool {
        !matches!(self, Self::LiquidGone | Self::Condensing)
    }
    pub(super) fn ends_run(self) -> bool {
        matches!(
            self,
            Self::TooCold | Self::LiquidFull | Self::Empty | Self::OutOfRange
        )
    }
    /// One sentence part, for tables and messages.
    pub fn text(self) -> &'static str {
        match self {
            Self::PressureTooLow { .. } => "tank pressure below what the duty needs",
            Self::LiquidGone => "last liquid boiled off, gas alone from here",
            Self::Condensing => "gas turns wet again",
            Self::NoLiquid => "liquid wanted, but none is left",
            Self::TooCold => "temperature down to the floor",
            Self::LiquidFull => "tank liquid-full",
            Self::Empty => "tank empty",
            Self::OutOfRange => "contents outside the range of a model",
        }
    }
}

/// When and where something happens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Event {
    /// What.
    pub what: Happening,
    /// When, from the start of the run.
    pub time: Time,
    /// Which step of the schedule, from 0.
    pub step: usize,
    /// Which repeat, from 0.
    pub repeat: u32,
    /// What is in the tank then.
    pub contents: Contents,
}

/// One row of the series.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// From the start of the run.
    pub time: Time,
    /// What is in the tank.
    pub contents: Contents,
    /// Heat coming in.
    pub heat: Power,
    /// Composition of what is being drawn; `None` in a rest.
    pub drawn: Option<MoleFractions>,
    /// Which step of the schedule, from 0.
    pub step: usize,
}

/// Balances over the whole run: what is found in the tank less what should be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// Largest error of a species, relative to all moles at the start.
    pub species: f64,
    /// Error of the energy, relative to the energy that warms the whole by 1 K, or the heat and
    /// enthalpy that crossed its boundary if that is more.
    pub energy: f64,
}

/// Temperature below which what is drawn condenses in a line at a pressure: its dew point.
///
/// # Errors
/// What the backend says.
pub fn dew_point_of_drawn(
    tank: &Tank,
    drawn: &MoleFractions,
    line: AbsolutePressure,
) -> Result<ThermodynamicTemperature, TankError> {
    let gas = tank.backend.recomposed(drawn)?;
    Ok(kelvin(gas.dew_p(line.pascals())?.temperature_k))
}

/// A finished run.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Series; first row at time zero, last row at the end.
    pub rows: Vec<Row>,
    /// What happened, in order.
    pub events: Vec<Event>,
    /// When it ended.
    pub end: Time,
    /// Whether the whole schedule was run.
    pub complete: bool,
    /// What a model said when the contents left its range and the run ended there.
    pub stopped_by: Option<String>,
    /// Mass drawn.
    pub drawn: Mass,
    /// Heat that came in.
    pub heat: Energy,
    /// Enthalpy of what was drawn, on the reference of the backend.
    pub enthalpy_drawn: Energy,
    /// How well the balances close.
    pub balance: Balance,
    /// Steps of the integrator.
    pub steps: usize,
    /// Slopes computed.
    pub slopes: usize,
}

impl Run {
    /// First event from which on a duty is not fed.
    pub fn first_failure(&self) -> Option<&Event> {
        self.events.iter().find(|e| e.what.is_failure())
    }
    /// What its slopes count in an allowance, besides the steps of iteration they took: eight of a pure fluid cost
    /// as much as one step.
    pub(crate) fn effort(&self) -> u64 {
        self.slopes as u64 / 8
    }
    /// Last row.
    ///
    /// # Panics
    /// Never: a run has a first row.
    pub fn last(&self) -> &Row {
        self.rows.last().expect("a run has a first row")
    }
}
