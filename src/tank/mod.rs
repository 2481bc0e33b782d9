//! The tank: what it can feed, how it chills, how full it may be.
//!
//! ```
//! use fuelwright::eos::backend;
//! use fuelwright::fuel::{Composition, Library};
//! use fuelwright::quantity::pascals_absolute;
//! use fuelwright::tank::vapour_pressure::coldest_feeding_temperature;
//!
//! let library = Library::embedded();
//! let butane = backend(&library, &Composition::parse("n-butane", &library)?)?;
//! // n-butane boils at -0.5 °C: below that it stands under no more than the air's pressure
//! let t = coldest_feeding_temperature(butane.as_ref(), pascals_absolute(101_325.0))?;
//! assert!((t.value - 272.66).abs() < 0.1);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
pub mod answer;
pub mod capability;
pub mod chilling;
pub(crate) mod contents;
pub mod convection;
pub mod filling;
pub mod filling_check;
pub mod heat_gain;
pub mod liquid_draw;
pub(crate) mod outside;
pub mod record;
pub mod relief;
pub mod remedies;
mod residual;
pub mod schedule;
pub mod shell;
pub mod trapped;
pub mod vaporisation_rule;
pub mod vapour_pressure;
pub mod vessel;

mod error;
pub use error::TankError;
