//! The rig file: read strictly, every mistake pointed at.
pub mod check;
pub mod diagnostic;
pub mod raw;
