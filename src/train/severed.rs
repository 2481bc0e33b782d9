//! Flow out of a train that is broken before one of its parts, for every place along a row.
//!
//! The breaks of a row share its beginning. Each is solved exactly over the last parts before it; what stands a few parts
//! upstream at a flow is taken between walks that all breaks share, where two interpolations agree. Cost thus grows with the
//! parts and not with their square.

use super::blocked::Block;
use super::conditions::Conditions;
use super::law::Node;
use super::layout::{End, Outlet, OutletLaw, Run, Train};
use super::network::{FIRST_GUESS, FLOW_RANGE, Network, Start};
use super::rows::{Step, part_error, row_of, settle, source_row};
use super::solution::TrainError;
use super::solve::tanks;
use super::{ExcessFlowValve, Part, PartKind};
use crate::eos::Phase;
use crate::flow::orifice::Expansion;
use crate::numerics::edge::{Found, Range, Value, falling_root};
use crate::quantity::Length;
use crate::quantity::sentence::{flow, sentence};
use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::rc::Rc;

/// Parts from one place where walks are interpolated to the next.
const STRIDE: usize = 8;
/// Fewest parts marched exactly before a break.
const EXACT: usize = 4;
/// Ratios of neighbouring flows of shared walks: the wide one first, the finer one where a part is near its limit.
const SPACINGS: [f64; 2] = [1.005, 1.001];
/// Relative difference of two interpolated pressures that is none: a release is known to some ten per cent.
const AGREED: f64 = 1e-6;
/// Relative tolerance of a flow.
const TOLERANCE: f64 = 1e-9;
/// Relative distance of a flow that passes from one that is blocked, below which the part is at its limit.
const AT_THE_EDGE: f64 = 1e-8;

/// What comes out of a break, and the excess-flow valve before it.
pub(crate) struct Severed<'a> {
    /// Flow, kg/s, and the stream before the break, or why there is none.
    pub(crate) outflow: Result<(f64, Node), TrainError>,
    /// The valve that closes, or else the first there is; `None`: there is none, or it is not known.
    pub(crate) valve: Option<Closing<'a>>,
}

/// An excess-flow valve at a break.
pub(crate) struct Closing<'a> {
    pub(crate) part: &'a str,
    /// Flow that closes it, kg/s.
    pub(crate) closing: f64,
    pub(crate) closes: bool,
}

/// A train in which any part may break.
pub(crate) struct Breakable<'a> {
    network: Network<'a>,
    tanks: Vec<Node>,
    rows: Vec<Row<'a>>,
    /// Flow out of the last break.
    guess: Cell<Option<f64>>,
}

/// A row of parts from where it begins.
struct Row<'a> {
    /// The source it belongs to; `None`: it begins where the sources join, or at the only one.
    source: Option<usize>,
    steps: Vec<Step<'a>>,
    /// Walks that are shared, by the bits of their flow.
    walks: RefCell<BTreeMap<u64, Rc<Walk>>>,
    /// Flows tried: the part reached, and whether that one is at its limit and passes no more.
    tried: RefCell<Vec<(f64, usize, bool)>>,
}

/// A row walked at one flow, until a part blocks it.
struct Walk {
    m: f64,
    /// The stream before each part that it reaches, and behind the last.
    nodes: Vec<Node>,
}

impl<'a> Breakable<'a> {
    /// A train whose excess-flow valves stand in it as they are; while a flow is sought they stay open.
    ///
    /// # Errors
    /// [`TrainError`] if the tanks have no state.
    pub(crate) fn new(
        train: &'a Train,
        conditions: &'a Conditions<'a>,
    ) -> Result<Self, TrainError> {
        let tanks = tanks(train, conditions)?;
        let mut network = Network::new(train, conditions, Vec::new());
        network.laws.held_open = true;
        let mut rows: Vec<Row> = Vec::new();
        for (i, source) in train.sources.iter().enumerate() {
            let alone = |step: Step<'a>| Step { share: 1.0, ..step };
            let steps = source_row(source).into_iter().map(alone).collect();
            rows.push(Row::new(Some(i), steps));
        }
        add_runs(&train.run, network.trunk(), &mut rows);
        Ok(Self {
            network,
            tanks,
            rows,
            guess: Cell::default(),
        })
    }

    /// What comes out where a part has come off at its inlet, through an opening of its bore.
    ///
    /// * `coefficient` — of the open end
    /// * `expansion` — how liquid expands there, and the least it may do, by which a valve is trusted to close
    ///
    /// **Valid:** side branches closed; of several tanks alike one feeds a break in its own parts.
    pub(crate) fn at(
        &self,
        part: &Part,
        bore: Length,
        coefficient: f64,
        (expansion, least): (Expansion, Expansion),
    ) -> Option<Severed<'a>> {
        let place = |row: &Row| row.steps.iter().position(|s| s.part.name == part.name);
        let (row, k) = self.rows.iter().find_map(|r| Some((r, place(r)?)))?;
        let end = End::Outlet(Outlet {
            name: part.name.clone(),
            law: OutletLaw::Holes {
                number: 1,
                diameter: bore,
                discharge_coefficient: coefficient,
            },
        });
        let solved = |expansion| {
            let conditions = Conditions {
                expansion,
                ..self.network.conditions.clone()
            };
            self.outflow(row, k, &end, &conditions)
        };
        let outflow = solved(expansion);
        let valve = self.valve(row, k, || match &outflow {
            // a gas expands in one way
            Ok((m, node)) if node.state.phase == Phase::Gas => Ok((*m, *node)),
            _ => solved(least),
        });
        Some(Severed { outflow, valve })
    }

    fn outflow(
        &self,
        row: &Row<'a>,
        k: usize,
        end: &End,
        conditions: &Conditions,
    ) -> Result<(f64, Node), TrainError> {
        let ends = Network::new(self.network.train, conditions, Vec::new());
        let at_limit = |m: f64, node: Node| {
            let (node, _) = ends.free_pressure(&[], 0, node, end, m)?;
            Ok((m, node))
        };
        if let Some(m) = row.at_the_edge(k)
            && let Ok(node) = self.before(row, k, m)?
            && ends.surplus(end, node, m)? >= 0.0
        {
            return at_limit(m, node);
        }
        let (guess, stride) = self.guess.get().map_or((FIRST_GUESS, 4.0), |m| (m, 1.05));
        let left = |y: f64| -> Result<Value<Block>, TrainError> {
            let m = y.sqrt();
            Ok(match self.before(row, k, m)? {
                Ok(node) => Value::At(ends.surplus(end, node, m)?),
                Err(block) => Value::Beyond {
                    edge: block.1.edge,
                    why: block,
                },
            }
            .edge_squared())
        };
        let range = Range {
            low: FLOW_RANGE.0,
            guess,
            stride,
            top: FLOW_RANGE.1,
            flat: 0.0,
        }
        .squared();
        let stopped = |m: f64| {
            self.guess.set(Some(m));
            self.before(row, k, m)?
                .map_err(|(i, b)| part_error(&row.steps, i, b))
        };
        match falling_root(left, range, TOLERANCE).map_err(|e| settle("a break", e))? {
            Found::Root(y) => Ok((y.sqrt(), stopped(y.sqrt())?)),
            Found::Edge { x, why: (_, b) } if b.limit => at_limit(x.sqrt(), stopped(x.sqrt())?),
            Found::Edge { why: (i, b), .. } => Err(part_error(&row.steps, i, b)),
            Found::BelowBottom => Ok((0.0, self.tanks[row.source.unwrap_or(0)])),
            Found::AboveTop => Err(TrainError::Shape {
                why: sentence!("nothing limits the flow below {}", flow(FLOW_RANGE.1)),
            }),
        }
    }

    /// The excess-flow valve that the least flow out of a break closes, or the first before it.
    fn valve(
        &self,
        row: &Row<'a>,
        k: usize,
        least: impl Fn() -> Result<(f64, Node), TrainError>,
    ) -> Option<Closing<'a>> {
        let mut valves = Vec::new();
        let of = |row: &Row<'a>, k: usize| -> Vec<(usize, &'a ExcessFlowValve)> {
            let valve = |i: usize| match &row.steps[i].part.kind {
                PartKind::ExcessFlowValve(e) => Some((i, e)),
                _ => None,
            };
            (0..k).filter_map(valve).collect()
        };
        let joining = (row.source.is_none() && self.tanks.len() > 1).then_some(&self.rows);
        let before = joining.into_iter().flatten().filter(|r| r.source.is_some());
        if of(row, k).is_empty() && before.clone().all(|r| of(r, r.steps.len()).is_empty()) {
            return None;
        }
        let m = least().ok()?.0;
        if joining.is_some() {
            let flows = self.network.join(&self.tanks, m).ok()?.ok()?.1;
            for (source, flow) in before.zip(flows) {
                let index = source.source?;
                let count = f64::from(self.network.train.sources[index].count.max(1));
                let own = of(source, source.steps.len());
                valves.extend(
                    own.into_iter()
                        .map(|(i, e)| (source, i, e, flow / count / m)),
                );
            }
        }
        valves.extend(
            of(row, k)
                .into_iter()
                .map(|(i, e)| (row, i, e, row.steps[i].share)),
        );
        let mut told: Option<Closing<'a>> = None;
        let mut soonest = f64::INFINITY;
        for (row, i, e, share) in valves {
            // flow out of the break at which it closes, by its density at another flow
            let closing = |m: f64| -> Option<f64> {
                let m = m * share / row.steps[i].share;
                let node = self.before(row, i, m).ok()?.ok()?;
                Some(e.closing_at(node.state.density_kg_m3) / share)
            };
            let mut at = closing(m)?;
            let closes = m >= at;
            if closes {
                at = closing(closing(at)?)?;
            }
            if told.is_none() || (closes && at < soonest) {
                soonest = if closes { at } else { soonest };
                told = Some(Closing {
                    part: &row.steps[i].part.name,
                    closing: at * share,
                    closes,
                });
            }
        }
        told
    }

    /// The stream before part `k` at a flow, or what blocks it.
    fn before(&self, row: &Row<'a>, k: usize, m: f64) -> Result<Result<Node, Block>, TrainError> {
        let place = |k: usize| k.saturating_sub(EXACT) / STRIDE * STRIDE;
        let mut from = place(k);
        let mut node = None;
        // where the walks do not come that far, or bend too sharply there, from farther up
        while from > 0 && node.is_none() {
            let mut reached = from;
            for spacing in SPACINGS {
                match self.between_walks(row, from, m, spacing)? {
                    Ok(found) => node = Some(found),
                    Err(at) => reached = at,
                }
                if node.is_some() || reached < from {
                    break;
                }
            }
            if node.is_none() {
                from = place(reached.min(from));
            }
        }
        let walked = match node {
            Some(node) => self.network.walk(&row.steps[..k], from, node, m),
            None => match self.network.begin(&self.start(row), m)? {
                Ok(node) => self.network.walk(&row.steps[..k], 0, node, m),
                Err(block) => Err(block),
            },
        };
        row.tried.borrow_mut().push(match &walked {
            Ok(_) => (m, k, false),
            Err((i, b)) => (m, *i, b.limit),
        });
        Ok(walked)
    }

    fn start(&self, row: &Row<'a>) -> Start<'_> {
        match row.source {
            Some(i) => Start::Node(self.tanks[i]),
            None => Network::start(&self.tanks),
        }
    }

    /// The stream before part `k` at a flow, by walks at four flows below it: those come farther.
    ///
    /// Square of pressure and total enthalpy over the square of the flow, by cubics. Else the part up to which one may look
    /// again: where a walk does not come that far, how far it comes; where quadratics say otherwise, this one.
    fn between_walks(
        &self,
        row: &Row<'a>,
        k: usize,
        m: f64,
        spacing: f64,
    ) -> Result<Result<Node, usize>, TrainError> {
        let below = (m.ln() / spacing.ln()).floor();
        let mut walks = Vec::with_capacity(4);
        for i in 0..4 {
            let walk = self.walk(row, ((below - f64::from(i)) * spacing.ln()).exp())?;
            if walk.nodes.len() <= k {
                return Ok(Err(walk.nodes.len().saturating_sub(1)));
            }
            walks.push(walk);
        }
        let at = |number: usize, value: &dyn Fn(&Node) -> f64| -> f64 {
            let points = || walks[..number].iter().map(|w| w.m * w.m);
            let term = |(i, w): (usize, &Rc<Walk>)| {
                let others = points().enumerate().filter(|(j, _)| *j != i);
                let weight: f64 = others.map(|(_, y)| (m * m - y) / (w.m * w.m - y)).product();
                weight * value(&w.nodes[k])
            };
            walks[..number].iter().enumerate().map(term).sum()
        };
        let squared = |n: &Node| n.state.pressure_pa.powi(2);
        let (p2, rough) = (at(4, &squared), at(3, &squared));
        if !(p2 > 0.0 && (p2 - rough).abs() <= 2.0 * AGREED * p2) {
            return Ok(Err(k));
        }
        let h = at(4, &|n| n.h_total);
        let node = self.network.at_rest(p2.sqrt(), h, &walks[0].nodes[k].state);
        Ok(node.map_err(|_| k))
    }

    /// The row at a flow, walked once.
    fn walk(&self, row: &Row<'a>, m: f64) -> Result<Rc<Walk>, TrainError> {
        if let Some(known) = row.walks.borrow().get(&m.to_bits()) {
            return Ok(Rc::clone(known));
        }
        let mut walk = Walk {
            m,
            nodes: Vec::with_capacity(row.steps.len() + 1),
        };
        walk.nodes.extend(self.network.begin(&self.start(row), m)?);
        while let Some(node) = walk.nodes.last()
            && let Some(step) = row.steps.get(walk.nodes.len() - 1)
        {
            match self.network.walk(std::slice::from_ref(step), 0, *node, m) {
                Ok(next) => walk.nodes.push(next),
                Err(_) => break,
            }
        }
        let walk = Rc::new(walk);
        row.walks.borrow_mut().insert(m.to_bits(), Rc::clone(&walk));
        Ok(walk)
    }
}

impl<'a> Row<'a> {
    fn new(source: Option<usize>, steps: Vec<Step<'a>>) -> Self {
        Self {
            source,
            steps,
            walks: RefCell::default(),
            tried: RefCell::default(),
        }
    }

    /// The most that a part before `k` passes, where flows tried on both sides tell it.
    fn at_the_edge(&self, k: usize) -> Option<f64> {
        let tried = self.tried.borrow();
        let blocked = tried.iter().filter(|(_, at, limit)| *limit && *at < k);
        let (above, at, _) = *blocked.min_by(|a, b| a.0.total_cmp(&b.0))?;
        let passing = tried
            .iter()
            .filter(|(m, reached, _)| *reached > at && *m < above);
        let below = passing.map(|t| t.0).max_by(f64::total_cmp)?;
        (above <= below * (1.0 + AT_THE_EDGE)).then_some(below)
    }
}

/// A row for each way through the runs, the ways of branches behind that of their stem.
fn add_runs<'a>(run: &'a Run, way: Vec<Step<'a>>, rows: &mut Vec<Row<'a>>) {
    if let End::Split(runs) = &run.end {
        rows.push(Row::new(None, way.clone()));
        for branch in runs {
            let mut own = way.clone();
            own.extend(row_of(branch));
            add_runs(branch, own, rows);
        }
    } else {
        rows.push(Row::new(None, way));
    }
}
