//! Holes for a wanted flow, drills for the holes.
pub mod drills;
pub mod hole_law;
pub mod jet;
pub mod perforated;
pub mod ring;
pub mod size;
