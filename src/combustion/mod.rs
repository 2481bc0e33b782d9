//! Burning: stoichiometry, heating values, flame.
pub mod flame;
pub mod stoichiometry;
