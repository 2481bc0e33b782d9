//! What a solved train records: every part, every outlet, the flows and openings found.

use super::law::{Detail, Node};
use super::layout::Outlet;
use super::rows::Step;

/// What a part did in the solution.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Record<'a> {
    pub(crate) step: Step<'a>,
    pub(crate) flow: f64,
    pub(crate) inlet: Node,
    pub(crate) outlet: Node,
    pub(crate) detail: Detail,
    pub(crate) choked: bool,
}

/// What an outlet did in the solution.
#[derive(Debug, Clone, Copy)]
pub(crate) struct OutletRecord<'a> {
    pub(crate) outlet: &'a Outlet,
    pub(crate) flow: f64,
    pub(crate) inlet: Node,
    pub(crate) chamber_pa: f64,
    pub(crate) choked: bool,
}

/// Records of a whole solution.
#[derive(Debug, Default)]
pub(crate) struct Records<'a> {
    pub(crate) parts: Vec<Record<'a>>,
    pub(crate) outlets: Vec<OutletRecord<'a>>,
    /// Openings found for throttles: part and opening.
    pub(crate) flow: f64,
    pub(crate) openings: Vec<(&'a str, f64, f64)>,
    pub(crate) source_flows: Vec<f64>,
}
