//! What bands on the inputs make of the results: Monte-Carlo, bands, main drivers.

mod air;
pub mod bands;
pub mod beside;
mod burning;
pub mod calibration;
pub mod drivers;
mod exit;
pub mod inputs;
pub mod sampling;
pub mod study;
pub mod surface;
mod tally;
mod whole;

pub use bands::{Band, Quantile, Tally};
pub use drivers::{Share, Shares};
pub use inputs::{Input, InputKind};
pub use sampling::{Draws, Sampling, SamplingError};
pub use study::{DutyTolerance, Path, Quantity, Spread, Tolerance, ToleranceError, tolerance};
