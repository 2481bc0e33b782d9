//! The equations of a train: walks along rows of parts, flow through a row, splits, joining sources.
//!
//! Everything rests on one fact: with the state at the start of a row given, what is left over at its end
//! (flow the outlet would pass less the flow that arrives) falls as the flow rises, until some part
//! chokes. One bracketed search finds the root, or the part that chokes before it.

use super::Conditions;
use super::blocked::{Block, Blocked, dry_flow};
use super::law::{Laws, Node};
use super::layout::{End, Outlet, OutletLaw, Run, Train};
use super::records::Records;
use super::rows::{
    Step, closed, effective_area_m2, has_closed, key_of, part_error, row_of, scaled, settle,
};
use super::solution::{PartProblem, TrainError};
use super::stand_in::StandIn;
use crate::flow::orifice::{OrificeError, Stagnation, flux_of};
use crate::flow::stream::Stream;
use crate::numerics::edge::{Found, Range, Value, falling_root};
use crate::numerics::effort::Allowance;
use crate::quantity::sentence::{flow, sentence};
use crate::quantity::{kilograms_per_second, pascals_absolute};
use std::cell::RefCell;

/// Relative tolerance of flows and pressures found.
pub(super) const TOLERANCE: f64 = 2e-13;
/// The same of flows that are only compared with one another.
pub(super) const ENOUGH: f64 = 1e-8;
/// Lowest and highest flow ever sought, kg/s.
pub(super) const FLOW_RANGE: (f64, f64) = (1e-12, 1e4);
/// First guess of a flow, kg/s, where nothing better is known.
pub(super) const FIRST_GUESS: f64 = 1e-3;
/// Steps of iteration that the states of one network may take; one of a blend takes some hundred to some thousand.
const MOST_EFFORT: u64 = 100_000;
/// Lowest pressure behind a choked part, Pa.
pub(super) const LOWEST_PRESSURE_PA: f64 = 50.0;

/// A target: the flow of an outlet, held by setting a valve in the outlet's own run.
#[derive(Debug, Clone)]
pub(crate) struct Held<'a> {
    pub(crate) outlet: &'a str,
    pub(crate) throttle: &'a str,
    pub(crate) flow: f64,
}

/// Flow through a row.
#[derive(Debug)]
pub(super) struct Flow {
    m: f64,
    /// The part that chokes.
    choke: Option<usize>,
    /// A part that cannot do what is asked of it, at a flow just above this.
    fault: Option<TrainError>,
}

impl Flow {
    fn of(m: f64) -> Self {
        Self {
            m,
            choke: None,
            fault: None,
        }
    }
    /// The flow and the part that chokes, unless a part failed. While a search tries states that will not
    /// come to be, a failure only ends the flow; in the answer it is an error.
    pub(super) fn settled(self) -> Result<(f64, Option<usize>), TrainError> {
        match self.fault {
            Some(fault) => Err(fault),
            None => Ok((self.m, self.choke)),
        }
    }
}

/// Where a row begins: one node, or sources that join.
pub(crate) enum Start<'n> {
    Node(Node),
    Sources(&'n [Node]),
}

pub(crate) struct Network<'a> {
    pub(crate) train: &'a Train,
    pub(crate) conditions: &'a Conditions<'a>,
    pub(crate) laws: Laws<'a>,
    pub(crate) held: Vec<Held<'a>>,
    pub(super) guesses: RefCell<Vec<(usize, f64)>>,
    /// A plain law in place of the holes', where a search is to be cheap; `None`: the holes themselves.
    pub(super) stand_in: Option<StandIn>,
    /// Relative tolerance of flows through a row.
    pub(super) tolerance: f64,
    allowance: Allowance,
}

impl<'a> Network<'a> {
    pub(crate) fn new(
        train: &'a Train,
        conditions: &'a Conditions<'a>,
        held: Vec<Held<'a>>,
    ) -> Self {
        Self {
            train,
            conditions,
            laws: Laws {
                stream: Stream::new(conditions.fuel),
                ambient: conditions.ambient,
                held_open: false,
            },
            held,
            guesses: RefCell::new(Vec::new()),
            stand_in: None,
            tolerance: TOLERANCE,
            allowance: Allowance::of(MOST_EFFORT),
        }
    }

    // ---- rows ----

    /// State behind the parts `from..` of a row.
    pub(super) fn walk(
        &self,
        row: &[Step<'a>],
        from: usize,
        start: Node,
        m: f64,
    ) -> Result<Node, Block> {
        let mut node = start;
        for (i, step) in row.iter().enumerate().skip(from) {
            node = self
                .laws
                .pass(step.part, &node, m * step.share)
                .map_err(|b| (i, scaled(b, step.share)))?
                .0;
        }
        Ok(node)
    }

    /// What is left over at the end of a row: positive if more flow could pass.
    pub(super) fn left(
        &self,
        row: &[Step<'a>],
        from: usize,
        start: Node,
        end: &'a End,
        m: f64,
    ) -> Result<Value<Block>, TrainError> {
        match self.walk(row, from, start, m) {
            Ok(node) => Ok(Value::At(self.surplus(end, node, m)?)),
            Err(block) => Ok(Value::Beyond {
                edge: block.1.edge,
                why: block,
            }),
        }
    }

    pub(super) fn left_from(
        &self,
        start: &Start,
        row: &[Step<'a>],
        end: &'a End,
        m: f64,
    ) -> Result<Value<Block>, TrainError> {
        match self.begin(start, m)? {
            Ok(node) => self.left(row, 0, node, end, m),
            Err(block) => Ok(Value::Beyond {
                edge: block.1.edge,
                why: block,
            }),
        }
    }

    /// The stream where a row begins, or the most that sources give.
    pub(super) fn begin(&self, start: &Start, m: f64) -> Result<Result<Node, Block>, TrainError> {
        match start {
            Start::Node(node) => Ok(Ok(*node)),
            Start::Sources(tanks) => Ok(self
                .join(tanks, m)?
                .map(|(node, _)| node)
                .map_err(|most| (usize::MAX, Blocked::limit(most, m)))),
        }
    }

    /// Flow through a row to its end, the part that chokes, and the part that cannot do what is asked.
    pub(super) fn flow(
        &self,
        start: &Start,
        row: &[Step<'a>],
        end: &'a End,
        key: usize,
    ) -> Result<Flow, TrainError> {
        let range = self.flow_range(key).squared();
        // what is left over goes about straight with the square of the flow
        let left = |y: f64| {
            self.left_from(start, row, end, y.sqrt())
                .map(Value::edge_squared)
        };
        let tolerance = 2.0 * self.tolerance;
        let mut found = falling_root(left, range, tolerance).map_err(|e| settle("a flow", e))?;
        if let Found::Edge { why: (_, b), .. } = &found
            && b.is_wet()
            && let Some(low) = dry_flow(|m| self.left_from(start, row, end, m))?
        {
            let low = low * low;
            let range = Range {
                low,
                guess: low,
                ..range
            };
            found = falling_root(left, range, tolerance).map_err(|e| settle("a flow", e))?;
        }
        match found {
            Found::Root(y) => {
                self.remember(key, y.sqrt());
                Ok(Flow::of(y.sqrt()))
            }
            Found::Edge { x, why: (i, b) } => {
                let m = x.sqrt();
                self.remember(key, m);
                let limit = b.limit && m > FLOW_RANGE.0;
                Ok(Flow {
                    m,
                    choke: limit.then_some(i),
                    fault: (!limit).then(|| part_error(row, i, b)),
                })
            }
            Found::BelowBottom => Ok(Flow::of(0.0)),
            Found::AboveTop => Err(TrainError::Shape {
                why: sentence!("nothing limits the flow below {}", flow(FLOW_RANGE.1)),
            }),
        }
    }

    // ---- ends ----

    /// What an end would pass from a node, squared, less the square of what arrives, kg²/s²: that goes about
    /// straight with pressure. Below the chamber's pressure it goes on falling in the same way. For an open
    /// end: its pressure over the chamber's, less one.
    pub(super) fn surplus(&self, end: &'a End, node: Node, m: f64) -> Result<f64, TrainError> {
        if self.allowance.is_spent() {
            return Err(TrainError::Spent {
                steps: self.allowance.most(),
                flow_kg_s: m,
                p_pa: node.state.pressure_pa,
                t_k: node.state.temperature_k,
            });
        }
        let passes_squared = match end {
            End::Outlet(outlet) if outlet.law == OutletLaw::Open => {
                let chamber = self.chamber_pa(outlet, m)?;
                return Ok((node.state.pressure_pa - chamber) / chamber);
            }
            End::Outlet(outlet) => self.passes_squared(outlet, node, m)?,
            End::Split(runs) => {
                let mut sum = 0.0;
                for run in runs {
                    sum += self.branch_flow(run, node)?.m;
                }
                sum * sum
            }
        };
        Ok(passes_squared - m * m)
    }

    /// Square of the flow that the holes of an outlet pass, kg²/s²; below the chamber's pressure it goes on
    /// falling about straight with pressure.
    pub(super) fn passes_squared(
        &self,
        outlet: &Outlet,
        node: Node,
        m: f64,
    ) -> Result<f64, TrainError> {
        let short = self.chamber_pa(outlet, m)? - node.state.pressure_pa;
        if short >= 0.0 {
            let area = effective_area_m2(outlet);
            return Ok(-2.0 * node.state.density_kg_m3 * short * area * area);
        }
        Ok(self.holes(outlet, node, m)?.0.powi(2))
    }

    pub(super) fn branch_flow(&self, run: &'a Run, node: Node) -> Result<Flow, TrainError> {
        if let Some(held) = self.held_by(run) {
            return Ok(Flow::of(held.flow));
        }
        if has_closed(&run.parts) {
            return Ok(Flow::of(0.0));
        }
        let row = row_of(run);
        self.flow(&Start::Node(node), &row, &run.end, key_of(run))
    }

    pub(super) fn chamber_pa(&self, outlet: &Outlet, m: f64) -> Result<f64, TrainError> {
        let index = self
            .train
            .outlets()
            .iter()
            .position(|o| std::ptr::eq(*o, outlet))
            .unwrap_or(0);
        let chamber = self
            .conditions
            .chamber(index)
            .ok_or_else(|| TrainError::Shape {
                why: sentence!("there is no chamber pressure for outlet `{}`", &outlet.name),
            })?;
        let p_pa = chamber.pressure(kilograms_per_second(m)).pascals();
        if p_pa > 0.0 && p_pa.is_finite() {
            return Ok(p_pa);
        }
        Err(TrainError::Shape {
            why: sentence!(
                "the chamber pressure of outlet `{}` is not a pressure",
                &outlet.name
            ),
        })
    }

    /// Flow that the holes of an outlet pass from a node, and whether they are choked.
    pub(super) fn holes(
        &self,
        outlet: &Outlet,
        node: Node,
        m: f64,
    ) -> Result<(f64, bool), TrainError> {
        if outlet.law == OutletLaw::Open {
            return Ok((m, false));
        }
        let failed = |problem: PartProblem| TrainError::Part {
            part: outlet.name.clone(),
            problem,
        };
        let back_pa = self.chamber_pa(outlet, m)?;
        let (p_pa, stream) = (node.state.pressure_pa, &self.laws.stream);
        if p_pa <= back_pa {
            return Ok((0.0, false));
        }
        let at_rest = stream
            .at(p_pa, node.h_total, 0.0, &node.state)
            .map_err(|e| failed(e.into()))?;
        let area = effective_area_m2(outlet);
        if let Some(stand_in) = &self.stand_in {
            let (flux, choked) = stand_in.flux(outlet, &at_rest, back_pa);
            return Ok((area * flux, choked));
        }
        let up = Stagnation::of(stream.backend(), at_rest);
        let back = pascals_absolute(back_pa);
        match flux_of(&up, back, self.conditions.expansion) {
            Ok((flux, choked)) => Ok((area * flux, choked)),
            Err(OrificeError::BackAboveSupply { .. }) => Ok((0.0, false)),
            Err(e) => Err(failed(e.into())),
        }
    }

    // ---- the whole train ----

    /// Flow through the whole train with everything as it is set.
    pub(crate) fn solve(&self, tanks: &[Node]) -> Result<Records<'a>, TrainError> {
        let mut records = Records::default();
        let row = self.trunk();
        let start = Self::start(tanks);
        if row.iter().any(|s| closed(s.part)) {
            self.record_idle(&self.train.run, tanks[0], &mut records)?;
            return Ok(records);
        }
        let flow = match self.held_by(&self.train.run) {
            Some(held) => Flow::of(held.flow),
            None => self.flow(&start, &row, &self.train.run.end, key_of(&self.train.run))?,
        };
        let (m, choke) = flow.settled()?;
        if m > 0.0 {
            self.settle_train(&start, &row, m, choke, &mut records)?;
        } else {
            self.record_idle(&self.train.run, tanks[0], &mut records)?;
        }
        Ok(records)
    }
}
