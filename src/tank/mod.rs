//! The tank: what it can feed, how it chills, how full it may be.
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
