//! The node where sources join: pressure, flows and mixture.

use super::blocked::Block;
use super::law::Node;
use super::layout::Source;
use super::network::{LOWEST_PRESSURE_PA, Network, TOLERANCE};
use super::rows::{has_closed, part_error, settle, source_row};
use super::solution::TrainError;
use crate::numerics::edge::{Found, Range, Value, falling_root};
use crate::quantity::sentence::sentence;

impl<'a> Network<'a> {
    /// The node where sources join, for a total flow, with the flow of each; or the most they give.
    #[allow(clippy::type_complexity)] // a node and flows, or the most they give, or an error
    pub(crate) fn join(
        &self,
        tanks: &[Node],
        m: f64,
    ) -> Result<Result<(Node, Vec<f64>), f64>, TrainError> {
        let highest = tanks
            .iter()
            .map(|n| n.state.pressure_pa)
            .fold(0.0, f64::max);
        let each = |p_pa: f64| -> Result<Vec<f64>, TrainError> {
            tanks
                .iter()
                .zip(&self.train.sources)
                .map(|(tank, source)| self.source_flow(source, *tank, p_pa))
                .collect()
        };
        // falls with the ratio of highest pressure to node pressure: demand less supply turned round
        let short = |ratio: f64| -> Result<Value<()>, TrainError> {
            let sum: f64 = each(highest / ratio)?.iter().sum();
            Ok(Value::At((m - sum) / (m + sum)))
        };
        let range = Range {
            low: 1.0,
            guess: 1.05,
            stride: 1.1,
            top: highest / LOWEST_PRESSURE_PA,
            flat: 0.25 * TOLERANCE,
        };
        match falling_root(short, range, TOLERANCE).map_err(|e| settle("where sources join", e))? {
            Found::Root(ratio) => {
                let p_pa = highest / ratio;
                let flows = each(p_pa)?;
                Ok(Ok((self.mix(tanks, &flows, p_pa)?, flows)))
            }
            _ => Ok(Err(each(LOWEST_PRESSURE_PA)?.iter().sum())),
        }
    }

    /// Flow of one source to a node pressure, all its tanks together.
    pub(super) fn source_flow(
        &self,
        source: &'a Source,
        tank: Node,
        p_pa: f64,
    ) -> Result<f64, TrainError> {
        if tank.state.pressure_pa <= p_pa || has_closed(&source.parts) {
            return Ok(0.0);
        }
        let row = source_row(source);
        if row.is_empty() {
            return Err(TrainError::Shape {
                why: sentence!(
                    "source `{}` has no part before the node where sources join: nothing limits its flow",
                    &source.name
                ),
            });
        }
        let key = std::ptr::from_ref(source) as usize;
        let left = |m: f64| -> Result<Value<Block>, TrainError> {
            Ok(match self.walk(&row, 0, tank, m) {
                Ok(node) => Value::At((node.state.pressure_pa - p_pa) / p_pa),
                Err(block) => Value::Beyond {
                    edge: block.1.edge,
                    why: block,
                },
            })
        };
        let range = self.flow_range(key);
        let found = falling_root(left, range, TOLERANCE).map_err(|e| settle("a source", e))?;
        let m = match found {
            Found::Root(m) => m,
            Found::Edge { x, why: (_, b) } if b.limit => x,
            Found::Edge { why: (i, b), .. } => return Err(part_error(&row, i, b)),
            Found::BelowBottom => 0.0,
            Found::AboveTop => {
                return Err(TrainError::Shape {
                    why: sentence!("nothing limits the flow of source `{}`", &source.name),
                });
            }
        };
        if m > 0.0 {
            self.remember(key, m);
        }
        Ok(m)
    }

    /// Streams of several sources mixed at one pressure: enthalpies add up by flow.
    pub(super) fn mix(&self, tanks: &[Node], flows: &[f64], p_pa: f64) -> Result<Node, TrainError> {
        let (mut m, mut h) = (0.0, 0.0);
        let mut near = tanks[0].state;
        for ((tank, source), flow) in tanks.iter().zip(&self.train.sources).zip(flows) {
            if *flow <= 0.0 {
                continue;
            }
            let row = source_row(source);
            let node = self
                .walk(&row, 0, *tank, *flow * (1.0 - 1e-12))
                .map_err(|(i, b)| part_error(&row, i, b))?;
            m += flow;
            h += flow * node.h_total;
            near = node.state;
        }
        let h_total = if m > 0.0 { h / m } else { tanks[0].h_total };
        self.at_rest(p_pa, h_total, &near)
    }
}
