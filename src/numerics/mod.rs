//! Plain numerics; knows nothing of fuel.
pub mod beside;
pub mod broyden;
pub mod chebyshev;
pub mod edge;
pub mod effort;
pub mod exponential;
pub mod fixed_point;
pub mod least_squares;
pub mod linear;
pub mod maximum;
pub mod ode;
pub mod polynomial;
pub mod root;
pub mod student;
