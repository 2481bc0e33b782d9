//! Holes for a wanted flow, drills for the holes.
pub mod drills;
pub mod duty;
pub mod error;
pub mod hole;
pub mod hole_law;
pub mod input;
pub mod jet;
pub mod perforated;
pub mod plan;
mod remarks;
pub mod result;
pub mod ring;
pub mod size;
pub mod solve;
pub mod spec;
pub mod supply;
pub mod template;
