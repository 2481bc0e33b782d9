//! What the plan of a train works with.

use super::Supply;
use super::duty::InjectorHoles;
use super::rig::Rig;
use crate::eos::Backend;

/// A rig, its fuel as it is drawn, and what feeds and sets it.
pub(super) struct Planner<'a> {
    pub(super) rig: &'a Rig,
    pub(super) fuel: &'a dyn Backend,
    pub(super) supply: Supply,
    pub(super) holes: InjectorHoles,
    pub(super) throttle: Option<&'a str>,
}
