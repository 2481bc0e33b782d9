//! Plain numerics; knows nothing of fuel.
pub mod edge;
pub mod maximum;
pub mod ode;
pub mod root;
