//! Typed quantities: text with a unit in, text with a unit out.

/// Molar gas constant, J/(mol K), exact since 2019 [codata2018].
pub const GAS_CONSTANT_J_MOL_K: f64 = 8.314_462_618_153_24;

pub mod parse;
pub mod show;
