//! A stretch of manifold tube between two feeds or from a feed to a closed end, solved.

use super::march::{Header, March};
use super::{HoleLaw, Manifold, RingError, Shape};
use crate::numerics::root::brent;
use std::convert::Infallible;

/// What a stretch of tube ends in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum SegmentEnd {
    /// The feed of that index.
    Feed(usize),
    /// A closed end.
    Closed,
}

impl Manifold {
    /// Cuts the tube at its feeds.
    pub(super) fn segments(&self) -> Vec<Segment> {
        let length_m = self.shape.length_m();
        let mut order: Vec<usize> = (0..self.feeds.len()).collect();
        order.sort_by(|a, b| self.feeds[*a].value.total_cmp(&self.feeds[*b].value));
        let feed_m = |i: usize| self.feeds[order[i]].value;
        let mut cuts = Vec::with_capacity(order.len() + 1);
        let last = order.len() - 1;
        for i in 0..last {
            cuts.push((
                order[i],
                SegmentEnd::Feed(order[i + 1]),
                feed_m(i),
                feed_m(i + 1) - feed_m(i),
                1.0,
            ));
        }
        match self.shape {
            Shape::Ring { .. } => {
                let span_m = feed_m(0) + length_m - feed_m(last);
                cuts.push((
                    order[last],
                    SegmentEnd::Feed(order[0]),
                    feed_m(last),
                    span_m,
                    1.0,
                ));
            }
            Shape::Bar { .. } => {
                cuts.push((order[0], SegmentEnd::Closed, feed_m(0), feed_m(0), -1.0));
                cuts.push((
                    order[last],
                    SegmentEnd::Closed,
                    feed_m(last),
                    length_m - feed_m(last),
                    1.0,
                ));
            }
        }
        let mut segments: Vec<Segment> = cuts
            .into_iter()
            .map(|(from_feed, end, start_m, span_m, direction)| Segment {
                from_feed,
                end,
                start_m,
                span_m,
                direction,
                places_m: Vec::new(),
            })
            .collect();
        let ring = matches!(self.shape, Shape::Ring { .. });
        for hole in &self.holes {
            // a hole at a feed belongs to the segment that starts there
            let home = segments.iter_mut().find_map(|s| {
                let mut x_m = (hole.value - s.start_m) * s.direction;
                if ring {
                    x_m = x_m.rem_euclid(length_m);
                }
                (0.0..=s.span_m).contains(&x_m).then_some((s, x_m))
            });
            let (segment, x_m) = home.expect("the segments cover the tube and the hole lies in it");
            segment.places_m.push(x_m);
        }
        for s in &mut segments {
            s.places_m.sort_by(f64::total_cmp);
        }
        segments.retain(|s| !s.places_m.is_empty());
        segments
    }
}

/// A stretch of tube from a feed to the next feed or a closed end.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Segment {
    pub(super) from_feed: usize,
    pub(super) end: SegmentEnd,
    pub(super) start_m: f64,
    pub(super) span_m: f64,
    pub(super) direction: f64,
    pub(super) places_m: Vec<f64>,
}

/// Steps of the search for the share of an arc's flow that enters at its first end.
const SHARE_STEPS: i32 = 24;

/// Flows of one segment, its holes in order from the first feed.
pub(super) struct Solved {
    /// Drop over each hole, Pa, and its flow, kg/s.
    pub(super) holes: Vec<(f64, f64)>,
    pub(super) flow_in_kg_s: f64,
    pub(super) flow_out_kg_s: f64,
    pub(super) fastest_m_s: f64,
}

fn too_small(header: &Header, walk: &March) -> RingError {
    RingError::BoreTooSmall {
        bore_m: header.bore_m,
        velocity_m_s: walk.fastest_m_s,
    }
}

/// A dead end: walked from its closed end, where nothing flows, for the drop there that meets the feed.
/// What the feed must bring grows with that drop, and is never less than it.
pub(super) fn solve_dead_end(
    header: &Header,
    law: &HoleLaw,
    segment: &Segment,
) -> Result<Solved, RingError> {
    let backwards: Vec<f64> = segment
        .places_m
        .iter()
        .rev()
        .map(|x| segment.span_m - x)
        .collect();
    let march = |end_pa: f64| header.march(law, &backwards, segment.span_m, end_pa, 0.0);
    let miss = |end_pa: f64| {
        let m = march(end_pa);
        m.end_drop_pa.map_or(f64::MAX, |static_pa| {
            static_pa - header.inside_feed_pa(-m.flow_out_kg_s / header.area_m2())
        })
    };
    let drop_pa = header.feed_drop_pa;
    let end_pa = brent(
        |p| Ok::<_, Infallible>(miss(p)),
        0.0,
        drop_pa,
        1e-15 * drop_pa,
    )
    .map_err(|_| too_small(header, &march(drop_pa)))?;
    let mut walk = march(end_pa);
    walk.holes.reverse();
    Ok(Solved {
        holes: walk.holes,
        flow_in_kg_s: -walk.flow_out_kg_s,
        flow_out_kg_s: 0.0,
        fastest_m_s: walk.fastest_m_s,
    })
}

/// An arc between two feeds: walked from the first for the flow that meets the pressure at the second.
pub(super) fn solve_arc(
    header: &Header,
    law: &HoleLaw,
    segment: &Segment,
) -> Result<Solved, RingError> {
    let all_kg_s =
        segment.places_m.len() as f64 * header.area_factor * law.flow_at_drop(header.feed_drop_pa);
    let march = |share: f64| {
        let flow_kg_s = share * all_kg_s;
        let start_pa = header.inside_feed_pa(flow_kg_s / header.area_m2());
        header.march(law, &segment.places_m, segment.span_m, start_pa, flow_kg_s)
    };
    let miss = |share: f64| {
        let m = march(share);
        // where the pressure ran out far too much was put in
        m.end_drop_pa.map_or(-1e3, |end_pa| {
            let inside_pa = header.inside_feed_pa(-m.flow_out_kg_s / header.area_m2());
            (end_pa - inside_pa) / header.feed_drop_pa
        })
    };
    let (a, b) =
        nearest_sign_change(&miss, 0.5, -0.5, 1.5).ok_or_else(|| too_small(header, &march(0.5)))?;
    let share = brent(|s| Ok::<_, Infallible>(miss(s)), a, b, 1e-16)
        .map_err(|_| too_small(header, &march(0.5)))?;
    let walk = march(share);
    if walk.end_drop_pa.is_none() || miss(share).abs() > 1e-6 {
        return Err(too_small(header, &walk));
    }
    Ok(Solved {
        holes: walk.holes,
        flow_in_kg_s: share * all_kg_s,
        flow_out_kg_s: walk.flow_out_kg_s,
        fastest_m_s: walk.fastest_m_s,
    })
}

/// The change of sign nearest to `start`, which is near the answer of an even manifold.
fn nearest_sign_change(
    f: &impl Fn(f64) -> f64,
    start: f64,
    lower: f64,
    upper: f64,
) -> Option<(f64, f64)> {
    let step = (upper - lower) / f64::from(SHARE_STEPS);
    let f_start = f(start);
    if f_start.abs() < 1e-15 {
        return Some((start, start));
    }
    let (mut down, mut f_down, mut up, mut f_up) = (start, f_start, start, f_start);
    for i in 1..=SHARE_STEPS {
        let next = (start - f64::from(i) * step).max(lower);
        if next < down {
            let f_next = f(next);
            if f_next * f_down <= 0.0 {
                return Some((next, down));
            }
            (down, f_down) = (next, f_next);
        }
        let next = (start + f64::from(i) * step).min(upper);
        if next > up {
            let f_next = f(next);
            if f_next * f_up <= 0.0 {
                return Some((up, next));
            }
            (up, f_up) = (next, f_next);
        }
    }
    None
}
