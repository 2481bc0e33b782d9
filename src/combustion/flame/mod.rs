//! Adiabatic flame at constant pressure: temperature, products, and the questions turned round.
//!
//! A [`Burner`] joins a fuel feed, the air and the pressure. [`Burner::flame`] gives the flame at an
//! equivalence ratio; [`duty`] solves for the equivalence ratio from exit temperature, heat or fuel flow;
//! [`staged`] shows primary zone and exit when the air comes in two portions.

pub mod air_feed;
pub mod burner;
pub mod duty;
pub mod error;
pub mod fuel_feed;
pub mod products;
pub mod staged;
pub mod warnings;

pub use air_feed::AirFeed;
pub use burner::Burner;
pub use duty::{Branch, Duty, FuelTarget};
pub use error::FlameError;
pub use fuel_feed::FuelFeed;
pub use products::Flame;
pub use staged::Staged;
pub use warnings::{FlameWarning, FlammableRange};
