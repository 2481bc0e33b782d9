//! Plain numerics; knows nothing of fuel.
pub mod ode;
pub mod root;
