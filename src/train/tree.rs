//! Flow through the tree of a train as it stands: walking, settling and recording every part.

use super::law::{Detail, Node, coefficient_between};
use super::layout::{End, Outlet, OutletLaw, Run};
use super::network::{
    FIRST_GUESS, FLOW_RANGE, Held, LOWEST_PRESSURE_PA, Network, Start, TOLERANCE,
};
use super::records::{OutletRecord, Record, Records};
use super::rows::{Step, outlets_below, part_error, row_of, settle, source_row};
use super::solution::TrainError;
use crate::eos::State;
use crate::numerics::edge::{Found, MAX_ITERATIONS, Range, Value, falling_root};

impl<'a> Network<'a> {
    /// Walk with flows that are given at the outlets, in order: the ends take what arrives.
    pub(crate) fn walk_given(
        &self,
        tanks: &[Node],
        flows: &[f64],
    ) -> Result<Records<'a>, TrainError> {
        let m: f64 = flows.iter().sum();
        let mut records = Records {
            flow: m,
            ..Records::default()
        };
        let row = self.trunk();
        let node = self.first_node(&Self::start(tanks), m, &mut records)?;
        let mut left = flows.iter().copied();
        self.walk_tree(&self.train.run, &row, node, m, &mut left, &mut records)?;
        Ok(records)
    }

    pub(super) fn walk_tree(
        &self,
        run: &'a Run,
        row: &[Step<'a>],
        start: Node,
        m: f64,
        flows: &mut dyn Iterator<Item = f64>,
        records: &mut Records<'a>,
    ) -> Result<(), TrainError> {
        if !(m > 0.0) {
            flows.take(outlets_below(run)).for_each(drop);
            return self.record_idle(run, start, records);
        }
        let end = self.record_row(row, 0, start, m, None, records)?;
        match &run.end {
            End::Outlet(outlet) => {
                flows.next();
                self.record_outlet(outlet, end, m, records)?;
            }
            End::Split(runs) => {
                for branch in runs {
                    let own: Vec<f64> = flows.take(outlets_below(branch)).collect();
                    let m = own.iter().sum();
                    let mut own = own.into_iter();
                    self.walk_tree(branch, &row_of(branch), end, m, &mut own, records)?;
                }
            }
        }
        Ok(())
    }

    fn record_outlet(
        &self,
        outlet: &'a Outlet,
        inlet: Node,
        flow: f64,
        records: &mut Records<'a>,
    ) -> Result<(), TrainError> {
        let (_, choked) = self.holes(outlet, inlet, flow)?;
        records.outlets.push(OutletRecord {
            outlet,
            flow,
            inlet,
            chamber_pa: self.chamber_pa(outlet, flow)?,
            choked,
        });
        Ok(())
    }

    pub(super) fn start(tanks: &[Node]) -> Start<'_> {
        match tanks {
            [one] => Start::Node(*one),
            many => Start::Sources(many),
        }
    }

    /// The parts from the tank (a single source) or from the node (several) to the end of the first run.
    pub(super) fn trunk(&self) -> Vec<Step<'a>> {
        let mut row = match self.train.sources.as_slice() {
            [one] => source_row(one),
            _ => Vec::new(),
        };
        row.extend(row_of(&self.train.run));
        row
    }

    pub(super) fn first_node(
        &self,
        start: &Start,
        m: f64,
        records: &mut Records<'a>,
    ) -> Result<Node, TrainError> {
        match start {
            Start::Node(node) => {
                records.source_flows = vec![m];
                Ok(*node)
            }
            Start::Sources(tanks) => {
                let joined = self.join(tanks, m)?.or_else(|most| {
                    // the last digit of the most they give
                    self.join(tanks, most * (1.0 - 1e-9))?
                        .map_err(|_| TrainError::NotConverged {
                            what: "where sources join".to_owned(),
                            steps: MAX_ITERATIONS,
                        })
                })?;
                let (node, flows) = joined;
                for ((tank, source), flow) in tanks.iter().zip(&self.train.sources).zip(&flows) {
                    if *flow > 0.0 {
                        let row = source_row(source);
                        let less = flow * (1.0 - 1e-12);
                        self.record_row(&row, 0, *tank, less, None, records)?;
                    }
                }
                records.source_flows = flows;
                Ok(node)
            }
        }
    }

    pub(super) fn settle_train(
        &self,
        start: &Start,
        row: &[Step<'a>],
        m: f64,
        choke: Option<usize>,
        records: &mut Records<'a>,
    ) -> Result<(), TrainError> {
        records.flow = m;
        let node = self.first_node(start, m, records)?;
        let run = &self.train.run;
        // sources at their limit feed any lower pressure
        let node = match choke {
            Some(usize::MAX) => self.free_pressure(row, 0, node, &run.end, m)?.0,
            _ => node,
        };
        let choke = choke.filter(|i| *i != usize::MAX);
        self.settle_row(run, row, node, m, choke, records)
    }

    /// Records a row whose flow is known, with its throttle set if it holds one, and what follows.
    pub(super) fn settle_row(
        &self,
        run: &'a Run,
        row: &[Step<'a>],
        start: Node,
        m: f64,
        choke: Option<usize>,
        records: &mut Records<'a>,
    ) -> Result<(), TrainError> {
        let end = match self.held_by(run) {
            Some(held) => self.set_throttle(held, row, start, &run.end, records)?,
            None => self.pressures_behind_chokes(row, start, &run.end, m, choke, records)?,
        };
        match &run.end {
            End::Outlet(outlet) => self.record_outlet(outlet, end, m, records)?,
            End::Split(runs) => {
                for branch in runs {
                    let (flow, choke) = self.branch_flow(branch, end)?.settled()?;
                    if flow > 0.0 {
                        self.settle_row(branch, &row_of(branch), end, flow, choke, records)?;
                    } else {
                        self.record_idle(branch, end, records)?;
                    }
                }
            }
        }
        Ok(())
    }

    /// A branch without flow: its outlets are listed, its parts are not.
    pub(super) fn record_idle(
        &self,
        run: &'a Run,
        node: Node,
        records: &mut Records<'a>,
    ) -> Result<(), TrainError> {
        match &run.end {
            End::Outlet(outlet) => {
                let chamber_pa = self.chamber_pa(outlet, 0.0)?;
                records.outlets.push(OutletRecord {
                    outlet,
                    flow: 0.0,
                    inlet: node,
                    chamber_pa,
                    choked: false,
                });
            }
            End::Split(runs) => {
                for branch in runs {
                    self.record_idle(branch, node, records)?;
                }
            }
        }
        Ok(())
    }

    /// Walks a row; behind each part that chokes the pressure is what the rest of the row needs.
    pub(super) fn pressures_behind_chokes(
        &self,
        row: &[Step<'a>],
        start: Node,
        end: &'a End,
        m: f64,
        mut choke: Option<usize>,
        records: &mut Records<'a>,
    ) -> Result<Node, TrainError> {
        let (mut node, mut from) = (start, 0);
        while let Some(i) = choke {
            let behind = self.record_row(row, from, node, m, Some(i), records)?;
            let (free, next) = self.free_pressure(row, i + 1, behind, end, m)?;
            if let Some(record) = records.parts.last_mut() {
                record.outlet = free;
                record.choked = true;
            }
            (node, from, choke) = (free, i + 1, next);
        }
        self.record_row(row, from, node, m, None, records)
    }

    /// Pressure behind a choked part at which the parts `from..` and the end pass the flow, and the next
    /// part that chokes on the way, if any.
    pub(super) fn free_pressure(
        &self,
        row: &[Step<'a>],
        from: usize,
        behind: Node,
        end: &'a End,
        m: f64,
    ) -> Result<(Node, Option<usize>), TrainError> {
        let top_pa = behind.state.pressure_pa;
        let at = |drop: f64| self.lowered(behind, top_pa - drop);
        let scale = match end {
            End::Outlet(Outlet {
                law: OutletLaw::Open,
                ..
            }) => 1.0,
            _ => m * m,
        };
        let left = |drop: f64| match at(drop) {
            Ok(node) => Ok(match self.left(row, from, node, end, m)? {
                Value::At(v) => Value::At(v / scale),
                beyond @ Value::Beyond { .. } => beyond,
            }),
            Err(e) => Err(e),
        };
        let range = Range {
            low: 1e-13 * top_pa,
            guess: 0.3 * top_pa,
            stride: 2.0,
            top: top_pa - LOWEST_PRESSURE_PA.min(0.5 * top_pa),
            flat: 0.25 * TOLERANCE,
        };
        let found = falling_root(left, range, TOLERANCE)
            .map_err(|e| settle("pressure behind a choked part", e))?;
        match found {
            Found::Root(drop) => Ok((at(drop)?, None)),
            Found::Edge { x, why: (i, b) } if b.limit => Ok((at(x)?, Some(i))),
            Found::Edge { why: (i, b), .. } => Err(part_error(row, i, b)),
            // within the last digits of the choked flow the end already takes it all
            Found::BelowBottom | Found::AboveTop => Ok((behind, None)),
        }
    }

    /// The same stream at a lower pressure: no heat, no velocity to speak of.
    pub(super) fn lowered(&self, node: Node, p_pa: f64) -> Result<Node, TrainError> {
        self.at_rest(p_pa, node.h_total, &node.state)
    }

    /// A stream of this enthalpy without velocity to speak of, at a pressure.
    pub(super) fn at_rest(
        &self,
        p_pa: f64,
        h_total: f64,
        near: &State,
    ) -> Result<Node, TrainError> {
        let state =
            self.laws
                .stream
                .at(p_pa, h_total, 0.0, near)
                .map_err(|e| TrainError::Part {
                    part: self.train.run.name.clone(),
                    problem: e.into(),
                })?;
        Ok(Node {
            state,
            h_total,
            flux: 0.0,
            wide: false,
        })
    }

    pub(super) fn record_row(
        &self,
        row: &[Step<'a>],
        from: usize,
        start: Node,
        m: f64,
        last: Option<usize>,
        records: &mut Records<'a>,
    ) -> Result<Node, TrainError> {
        let mut node = start;
        let to = last.map_or(row.len(), |i| i + 1);
        for (i, step) in row.iter().enumerate().take(to).skip(from) {
            let flow = m * step.share;
            let (next, detail) = self
                .laws
                .pass(step.part, &node, flow)
                .map_err(|b| part_error(row, i, b))?;
            records.parts.push(Record {
                step: *step,
                flow,
                inlet: node,
                outlet: next,
                detail,
                choked: false,
            });
            node = next;
        }
        Ok(node)
    }

    // ---- throttles ----

    pub(super) fn held_by(&self, run: &Run) -> Option<&Held<'a>> {
        let End::Outlet(outlet) = &run.end else {
            return None;
        };
        self.held.iter().find(|h| h.outlet == outlet.name)
    }

    /// Sets the throttle of a row so that its end takes the flow held; records the row.
    pub(super) fn set_throttle(
        &self,
        held: &Held<'a>,
        row: &[Step<'a>],
        start: Node,
        end: &'a End,
        records: &mut Records<'a>,
    ) -> Result<Node, TrainError> {
        let i = row
            .iter()
            .position(|s| s.part.name == held.throttle)
            .ok_or_else(|| TrainError::NoSuch {
                what: "throttle in the outlet's own run",
                name: held.throttle.to_owned(),
            })?;
        let valve = row[i].part.kind.valve().ok_or_else(|| TrainError::NoSuch {
            what: "valve",
            name: held.throttle.to_owned(),
        })?;
        let m = held.flow;
        let before = self.record_row(&row[..i], 0, start, m, None, records)?;
        let (after, next) = self.needed_behind(row, i, before, end, m)?;
        let flow = m * row[i].share;
        let kv = coefficient_between(&self.laws, valve, &before, after.state.pressure_pa, flow)
            .map_err(|b| part_error(row, i, b))?;
        let opening =
            super::characteristic::opening(valve, crate::quantity::FlowCoefficient::from_kv(kv))
                .map_err(|e| TrainError::Part {
                    part: held.throttle.to_owned(),
                    problem: e.into(),
                })?;
        records.openings.push((held.throttle, opening, kv));
        records.parts.push(Record {
            step: row[i],
            flow,
            inlet: before,
            outlet: after,
            detail: Detail {
                kv: Some(kv),
                ..Detail::default()
            },
            choked: false,
        });
        let rest = &row[i + 1..];
        let next = next.map(|j| j - i - 1);
        self.pressures_behind_chokes(rest, after, end, m, next, records)
    }

    /// Pressure needed behind part `i`.
    pub(super) fn needed_behind(
        &self,
        row: &[Step<'a>],
        i: usize,
        before: Node,
        end: &'a End,
        m: f64,
    ) -> Result<(Node, Option<usize>), TrainError> {
        let too_little = || TrainError::NotEnoughPressure {
            at: row[i].part.name.clone(),
            p_pa: before.state.pressure_pa,
            flow_kg_s: m,
        };
        match self.left(row, i + 1, before, end, m)? {
            Value::At(v) if v > 0.0 => self.free_pressure(row, i + 1, before, end, m),
            Value::Beyond {
                why: (j, blocked), ..
            } if !blocked.limit => Err(part_error(row, j, blocked)),
            _ => Err(too_little()),
        }
    }

    // ---- guesses ----

    /// Where to seek a flow, from the one remembered under a key.
    pub(super) fn flow_range(&self, key: usize) -> Range {
        let guesses = self.guesses.borrow();
        let known = guesses.iter().find(|(k, _)| *k == key);
        let (guess, stride) = known.map_or((FIRST_GUESS, 4.0), |(_, m)| (*m, 1.02));
        Range {
            low: FLOW_RANGE.0,
            guess,
            stride,
            top: FLOW_RANGE.1,
            flat: 0.0,
        }
    }

    pub(super) fn remember(&self, key: usize, m: f64) {
        let mut guesses = self.guesses.borrow_mut();
        match guesses.iter_mut().find(|(k, _)| *k == key) {
            Some(entry) => entry.1 = m,
            None => guesses.push((key, m)),
        }
    }
}
