//! A switch of a rig to another fuel: what each duty needs, what feeds it, what of the old train can stay.
//!
//! [`plan()`] takes a rig with its duties worked out and the fuel wanted. From gas to liquid it gives tank, pump,
//! lines, valve and nozzles, drops and their evaporation, light-off, suction, materials and masses
//! ([`ToLiquid`]); to a gas, holes, pressures and Wobbe index ([`ToGas`]).

pub mod concern;
pub mod demand;
pub mod error;
pub mod evaporation;
pub mod fate;
pub mod feed;
pub mod gas;
pub mod gas_holes;
pub mod hazards;
pub mod input;
pub mod light_off;
pub mod lines;
pub mod liquid;
pub mod nozzle;
pub mod plan;
pub mod reach;
pub mod suction;
pub mod system;
pub mod through;
pub mod to_buy;
pub mod vaporiser;
pub mod volatility;

pub use demand::{DutyNext, ExitAgainstLimits};
pub use error::ConvertError;
pub use gas::ToGas;
pub use input::{ConvertInput, DutyNow, HolesNow, Keep, Wishes};
pub use plan::{Conversion, ToLiquid, plan};
pub use reach::HighestSupply;
pub use system::{LiquidSystem, MassGroup, MassItem};
