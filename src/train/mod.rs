//! The fuel train: parts, how they stand together, and what flows through them.
//!
//! ```
//! use fuelwright::audit::solution::solve;
//! use fuelwright::fuel::Library;
//! use fuelwright::quantity::show::Units;
//!
//! let library = Library::embedded();
//! let loaded = fuelwright::input::load("examples/kiln-pilot.toml".as_ref(), &library)?;
//! let solution = solve(&loaded.rig, &library, Units::Si)?;
//! let train = solution.train().as_ref().map_err(ToString::to_string)?;
//! for duty in &train.duties {
//!     let solved = duty.solution.as_ref().map_err(ToString::to_string)?;
//!     assert!(solved.flow.value > 0.0, "{}", duty.name);
//! }
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod against_failure;
mod answer;
mod blocked;
mod by_stand_in;
pub mod catalogue;
pub mod characteristic;
pub mod check_kind;
pub mod checks;
mod coldest;
pub mod coldest_day;
pub mod compatibility;
pub mod components;
pub mod conditions;
pub mod cylinder;
pub mod duty;
pub mod fixed;
mod given;
pub mod joints;
mod law;
pub mod layout;
mod main_pressure;
pub mod materials;
mod network;
pub mod part_protection;
pub mod plan;
mod planner;
pub mod protection;
mod records;
pub mod rig;
mod rows;
pub(crate) mod severed;
pub mod shutoff;
pub mod solution;
pub mod solve;
mod sources;
mod stand_in;
pub mod throttle;
mod tree;
pub mod ways;
pub mod worded;

pub use check_kind::CheckKind;
pub use checks::{Check, checks};
pub use components::{
    Actuation, Characteristic, CheckValve, Closure, ExcessFlowValve, Fitting, FittingLoss, OnLoss,
    OrificePlate, Part, PartKind, Pump, PumpCurve, Rating, ReliefValve, Restriction, Tapping,
    Valve, Vaporiser, VaporiserHeat,
};
pub use conditions::{Chamber, Conditions, Supply};
pub use duty::{InjectorHoles, LowestSupply, TrainDuty, TrainFire, TrainNeed};
pub use joints::{JointKind, Joints};
pub use layout::{Draw, End, Outlet, OutletLaw, Run, Source, Train};
pub use materials::Material;
pub use part_protection::{Arrow, Protection, VentsTo};
pub use plan::TrainPlan;
pub use shutoff::{ShutOff, ShutOffSetup, after_shut_off};
pub use solution::{OutletFlow, PartFlow, PartProblem, Solution, SourceFlow, Station, TrainError};
pub use solve::{
    Setting, Target, flow_by_stand_in, flow_for_openings, flow_near, openings_for_flows,
    walk_for_flows,
};
pub use throttle::{
    CurvePoint, DutyPoint, DutySetting, ThrottleSetup, ThrottleStudy, openings_of_size,
    throttle_study,
};
