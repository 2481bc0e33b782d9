//! Leaks and what stops the fuel: how much comes out, where it goes and what it does there; joints, leak
//! test, sections that trap liquid, shut-down on failures.

pub mod closure_rate;
pub mod joints;
pub mod rest;

pub use closure_rate::{ClosureRate, LeakClass};
pub use joints::{JointRow, inventory};
pub use rest::{RestPressure, pressures_at_rest};
