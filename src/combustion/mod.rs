//! Burning: stoichiometry, heating values, flammability, flame.
pub mod air;
pub mod equilibrium;
pub mod error;
pub mod faint;
pub mod flame;
pub mod flammability;
pub mod gas_quality;
pub mod stoichiometry;

pub use air::Air;
pub use error::CombustionError;
pub use flammability::Flammability;
pub use gas_quality::GasQuality;
pub use stoichiometry::Stoichiometry;
