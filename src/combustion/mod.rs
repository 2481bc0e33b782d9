//! Burning: stoichiometry, heating values, flammability, flame.
//!
//! ```
//! use fuelwright::combustion::Stoichiometry;
//! use fuelwright::fuel::{Composition, Library};
//!
//! // C3H8 + 5 O2: 15.7 kg of air for a kilogram
//! let propane = Composition::parse("propane", &Library::embedded())?;
//! let air = Stoichiometry::of(&propane)?.air_fuel_ratio;
//! assert!((air.value - 15.68).abs() < 0.005);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
pub mod air;
pub mod equilibrium;
pub mod error;
pub mod faint;
pub mod flame;
pub mod flammability;
pub mod gas_quality;
pub mod own_air;
pub mod stoichiometry;

pub use air::Air;
pub use error::CombustionError;
pub use flammability::Flammability;
pub use gas_quality::GasQuality;
pub use stoichiometry::Stoichiometry;
