//! Figures of results: what a table tells, drawn.

mod injector;
mod train;

pub(super) use injector::{bands, holes};
pub(super) use train::{throttle, walks};
