//! Holes for a wanted flow, drills for the holes.
//!
//! ```
//! use fuelwright::eos;
//! use fuelwright::fuel::{Composition, Library};
//! use fuelwright::flow::orifice::Expansion;
//! use fuelwright::injector::size::{HoleMake, InjectorInput, Supply, size};
//! use fuelwright::quantity::{kelvin, kilograms_per_second, pascals_absolute};
//! let library = Library::embedded();
//! let propane = eos::backend(&library, &Composition::parse("propane", &library)?)?;
//! let found = size(&InjectorInput {
//!     fluid: propane.as_ref(),
//!     supply_pressure: Some(pascals_absolute(3e5)),
//!     supply: Supply::Temperature(kelvin(288.15)),
//!     chamber: pascals_absolute(101_325.0),
//!     holes: Some(8),
//!     diameter: None,
//!     flow: Some(kilograms_per_second(1e-3)),
//!     make: HoleMake::default(),
//!     expansion: Expansion::Blend,
//!     phase: None,
//! })?;
//! assert!(found.choked);
//! assert!((found.diameter.value - 0.47e-3).abs() < 0.02e-3);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
pub mod drill_set;
pub mod drills;
pub mod duty;
pub mod error;
pub mod flow_test;
pub mod hole;
pub mod hole_law;
pub(crate) mod hole_table;
pub mod input;
pub mod jet;
pub mod perforated;
pub mod plan;
mod remarks;
pub mod result;
pub mod ring;
pub mod size;
pub mod solve;
pub mod spec;
pub mod supply;
pub mod template;
