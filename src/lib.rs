//! Fuel-train sums for small air-breathing burners and ducted thrusters.
//!
//! Three jobs: size an injector before drilling, plan a switch to liquid fuel, audit a fuel train
//! before a test day. Arrows between modules point one way:
//!
//! `numerics`, `quantity` → `fuel` → `eos` → `combustion`, `flow` → `injector`, `tank` → `train`
//! → `convert`, `mass`, `leak` → `audit` → `tolerance` → `report` → `input` → `cli`.
//!
//! **This is engineering reference material, not permission to build or operate anything.**
//! Local codes and licensed gas practice decide.
//!
//! ```
//! use fuelwright::audit::{audit, solution::solve};
//! use fuelwright::fuel::Library;
//! use fuelwright::quantity::show::Units;
//!
//! let library = Library::embedded();
//! let loaded = fuelwright::input::load("examples/coupon-soak-rig.toml".as_ref(), &library)?;
//! let solution = solve(&loaded.rig, &library, Units::Si)?;
//! let injector = solution.injector.as_ref().map_err(ToString::to_string)?;
//! assert_eq!(injector.holes, 16);
//! assert!(!audit(&solution).has_alarms());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod audit;
pub mod cli;
pub mod combustion;
pub mod convert;
pub mod eos;
pub mod flow;
pub mod fuel;
pub mod injector;
pub mod input;
pub mod leak;
pub mod mass;
pub mod numerics;
pub mod quantity;
pub mod report;
pub mod tank;
pub mod tolerance;
pub mod train;
