//! Figures held against published ones, against identities, and against themselves.

mod identities;
mod properties;
mod reference;
#[path = "../support/round_trip.rs"]
mod round_trip;
mod saturation_line;
mod states;
#[path = "../support/times.rs"]
mod times;
