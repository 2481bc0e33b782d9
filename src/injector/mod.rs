//! Holes for a wanted flow, drills for the holes.
pub mod drills;
pub mod size;
