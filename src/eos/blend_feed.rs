//! A feed whose stability is asked, and what a trial of it ends in.

use super::MAX_COMPONENTS;
use super::blend_equilibrium::{OnePhase, Vector};
use super::mixture::Model;

/// A feed at pressure and temperature in its better single phase.
pub(super) struct Feed<'a> {
    pub(super) model: &'a Model,
    pub(super) z: &'a [f64],
    pub(super) index: [usize; MAX_COMPONENTS],
    pub(super) n: usize,
    pub(super) p_pa: f64,
    pub(super) phase: OnePhase,
    pub(super) is_liquid: bool,
    /// `ln z_i + ln(f_i / z_i)`, by component.
    pub(super) d: Vector,
}

/// A phase below the tangent plane of a feed: `ln W_i` of the components present, its density, and how far below,
/// `ΔG/RT`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Trial {
    pub(super) ln_w: Vector,
    pub(super) rho: f64,
    pub(super) depth: f64,
}

impl Trial {
    /// What is less deep on the way to the end of a trial is rounding.
    pub(super) const LEAST_DEPTH: f64 = 1e-12;
}

/// Which density root a trial is on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Branch {
    Gas,
    Liquid,
    /// The one it comes from, or the better one where there is none.
    Either,
}

/// How a trial ended.
#[derive(Debug, Clone, Copy)]
pub(super) enum End {
    /// Below the tangent plane: the feed falls apart.
    Below(Trial),
    /// Not below.
    Above,
    /// Without an answer.
    Lost,
}
