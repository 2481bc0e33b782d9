//! The tank: what it can feed, how it chills, how full it may be.
pub mod chilling;
pub mod filling;
pub mod heat_gain;
pub mod trapped;
pub mod vapour_pressure;
