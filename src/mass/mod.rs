//! What parts weigh.
pub mod tube;
