//! Rows of parts: what stands in a run or before a joint, what is closed, and how a failure is named.

use super::Part;
use super::blocked::Blocked;
use super::layout::{End, Outlet, OutletLaw, Run, Source};
use super::solution::TrainError;
use crate::numerics::edge::{EdgeError, MAX_ITERATIONS};
use std::f64::consts::PI;

/// A part with the share of the row's flow that passes it (one of several tanks alike: 1/n).
#[derive(Debug, Clone, Copy)]
pub(crate) struct Step<'a> {
    pub(crate) part: &'a Part,
    pub(crate) share: f64,
    pub(crate) row: &'a str,
}

pub(super) fn outlets_below(run: &Run) -> usize {
    match &run.end {
        End::Outlet(_) => 1,
        End::Split(runs) => runs.iter().map(outlets_below).sum(),
    }
}

/// Area of the holes of an outlet times their discharge coefficient.
pub(super) fn effective_area_m2(outlet: &Outlet) -> f64 {
    match outlet.law {
        OutletLaw::Holes {
            number,
            diameter,
            discharge_coefficient,
        } => discharge_coefficient * f64::from(number) * PI / 4.0 * diameter.value.powi(2),
        OutletLaw::Open => 0.0,
    }
}

pub(super) fn key_of(run: &Run) -> usize {
    std::ptr::from_ref(run) as usize
}

pub(super) fn row_of(run: &Run) -> Vec<Step<'_>> {
    let step = |part| Step {
        part,
        share: 1.0,
        row: &run.name,
    };
    run.parts.iter().map(step).collect()
}

pub(crate) fn source_row(source: &Source) -> Vec<Step<'_>> {
    let step = |part| Step {
        part,
        share: 1.0 / f64::from(source.count.max(1)),
        row: &source.name,
    };
    source.parts.iter().map(step).collect()
}

pub(crate) fn closed(part: &Part) -> bool {
    part.kind.valve().is_some_and(|v| v.opening <= 0.0)
}

pub(super) fn has_closed(parts: &[Part]) -> bool {
    parts.iter().any(closed)
}

pub(super) fn scaled(mut b: Blocked, share: f64) -> Blocked {
    b.edge /= share;
    b
}

pub(super) fn part_error(row: &[Step], i: usize, blocked: Blocked) -> TrainError {
    TrainError::Part {
        part: row
            .get(i)
            .map_or_else(|| "sources".to_owned(), |s| s.part.name.clone()),
        problem: blocked.problem,
    }
}

pub(super) fn settle(what: &str, e: EdgeError<TrainError>) -> TrainError {
    e.or(TrainError::NotConverged {
        what: what.to_owned(),
        steps: MAX_ITERATIONS,
    })
}
