//! Pressure regulators: droop line, lock-up, capacity and isenthalpic let-down.

use crate::quantity::{AbsolutePressure, FlowCoefficient, MassRate, PressureDifference};

/// A spring-loaded pressure regulator.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Regulator {
    /// Outlet pressure set, at vanishing flow and at `nominal_inlet`.
    pub set_pressure: AbsolutePressure,
    /// Flow at which `droop` is stated.
    pub rated_flow: MassRate,
    /// Fall of the outlet pressure from set to `rated_flow`, taken as a straight line.
    pub droop: PressureDifference,
    /// Rise of the outlet pressure over set when flow stops.
    pub lock_up: PressureDifference,
    /// Flow coefficient with the seat wide open.
    pub wide_open: FlowCoefficient,
    /// Lowest inlet pressure the maker allows.
    pub min_inlet: Option<AbsolutePressure>,
    /// Highest inlet pressure the maker allows.
    pub max_inlet: Option<AbsolutePressure>,
    /// Inlet pressure at which `set_pressure` was set; `None`: the inlet does not matter.
    pub nominal_inlet: Option<AbsolutePressure>,
    /// Rise of the outlet for a fall of the inlet, both in the same unit.
    pub supply_effect: f64,
}
