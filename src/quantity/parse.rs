//! Quantities from text with a unit.
