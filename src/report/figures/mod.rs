//! Figures of results: what a table tells, drawn.

mod choices;
mod injector;
mod leak;
mod mass;
mod tank;
mod train;

pub(super) use choices::choices;
pub(super) use injector::{bands, holes};
pub(super) use leak::{ruler, stand, within};
pub(super) use mass::mass;
pub(super) use tank::{Level, contents_run, needed, rig_run, tank_run};
pub(super) use train::{throttle, walks};
