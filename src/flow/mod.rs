//! Flow through holes, valves and lines.
//!
//! ```
//! use fuelwright::eos::backend;
//! use fuelwright::flow::orifice::{Stagnation, isentropic_flux};
//! use fuelwright::fuel::{Composition, Library};
//! use fuelwright::quantity::{kelvin, pascals_absolute};
//!
//! let library = Library::embedded();
//! let propane = backend(&library, &Composition::parse("propane", &library)?)?;
//! let supply = Stagnation::at(propane.as_ref(), pascals_absolute(3e5), kelvin(288.15))?;
//! let jet = isentropic_flux(&supply, pascals_absolute(101_325.0))?;
//! assert!(jet.choked);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
pub mod air;
pub mod atomize;
pub mod blower;
pub mod discharge;
pub mod evaporation;
pub mod film;
pub mod fittings;
pub mod friction;
pub mod line;
pub mod metering;
pub mod orifice;
pub mod pump;
pub mod regulator;
pub mod relief;
pub(crate) mod stagnation;
pub(crate) mod stream;
pub mod suction;
pub mod valve;
