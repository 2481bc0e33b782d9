//! Why a part cannot pass a flow, and the flow it could just pass.

use super::solution::{PartProblem, TrainError};
use crate::flow::line::LineError;
use crate::flow::regulator::RegulatorError;
use crate::flow::valve::ValveError;
use crate::numerics::edge::Value;
use crate::quantity::range::OutOfRange;

/// Flows looked at for one that no part turns into liquid and vapour, kg/s, and their ratio.
const DRY_FLOWS: (f64, f64) = (1.0, 1e-9);
const DRY_RATIO: f64 = 1.2;

/// The largest flow looked at that passes every part with something left over.
///
/// A line in the cold condenses a small flow and leaves a large one dry: flows that no valve can be asked
/// for then lie below the answer, and not only above it as elsewhere.
pub(super) fn dry_flow(
    left: impl Fn(f64) -> Result<Value<Block>, TrainError>,
) -> Result<Option<f64>, TrainError> {
    let mut m = DRY_FLOWS.0;
    while m > DRY_FLOWS.1 {
        match left(m)? {
            Value::At(v) if v > 0.0 => return Ok(Some(m)),
            _ => m /= DRY_RATIO,
        }
    }
    Ok(None)
}

/// A part in a row that blocks, by its place in the row.
pub(crate) type Block = (usize, Blocked);

/// A part that cannot pass a flow.
#[derive(Debug, Clone)]
pub(crate) struct Blocked {
    /// The flow it could just pass, kg/s; NaN where not known.
    pub(crate) edge: f64,
    /// At the edge it passes that flow to any lower pressure (choked, or a pump at its limit).
    pub(crate) limit: bool,
    pub(crate) problem: PartProblem,
}

impl Blocked {
    pub(super) fn fault(problem: impl Into<PartProblem>) -> Self {
        Self {
            edge: f64::NAN,
            limit: false,
            problem: problem.into(),
        }
    }
    /// Whether liquid and vapour came to a part that can take only one of them, or a line found no end in
    /// them.
    pub(super) fn is_wet(&self) -> bool {
        matches!(
            self.problem,
            PartProblem::TwoPhase { .. }
                | PartProblem::Line(LineError::NotConverged { .. } | LineError::Property(_))
        )
    }
    pub(super) fn limit(edge: f64, flow_kg_s: f64) -> Self {
        Self {
            edge,
            limit: true,
            problem: PartProblem::Limit {
                limit_kg_s: edge,
                flow_kg_s,
            },
        }
    }
}

impl From<crate::eos::EosError> for Blocked {
    fn from(e: crate::eos::EosError) -> Self {
        Self::fault(e)
    }
}

impl From<OutOfRange> for Blocked {
    fn from(e: OutOfRange) -> Self {
        Self::fault(e)
    }
}

impl From<ValveError> for Blocked {
    fn from(e: ValveError) -> Self {
        match e {
            ValveError::Choked {
                limit_kg_s,
                flow_kg_s,
                ..
            } => Self::limit(limit_kg_s, flow_kg_s),
            other => Self::fault(other),
        }
    }
}

impl From<LineError> for Blocked {
    fn from(e: LineError) -> Self {
        match e {
            LineError::Choked {
                flow_kg_s, share, ..
            } => {
                // a line reaches a share of its length that falls about with the square of the flow
                let edge = if share > 0.0 {
                    flow_kg_s * share.sqrt()
                } else {
                    f64::NAN
                };
                Self {
                    edge,
                    limit: true,
                    problem: e.into(),
                }
            }
            other => Self::fault(other),
        }
    }
}

impl From<RegulatorError> for Blocked {
    fn from(e: RegulatorError) -> Self {
        match e {
            RegulatorError::Seat(seat) => seat.into(),
            RegulatorError::BeyondDroopLine { .. } => Self::fault(e),
            RegulatorError::Property(p) => Self::fault(p),
        }
    }
}
