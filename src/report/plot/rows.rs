//! Rows with a name each: walks from place to place, and bars.

use super::draw::{Anchor, Canvas, STYLES, cut, width};
use super::labels::storeys;
use super::scale::Scale;
use super::{Bars, Limit, WIDTH, Walk};
use crate::quantity::show::{Units, number};

/// Height of a row.
const ROW: f64 = 19.0;
/// Most room for names.
const NAMES: f64 = 128.0;
/// Height of a line of names of limits.
const STOREY: f64 = 13.0;
/// Room right of the axis.
const RIGHT: f64 = 14.0;

/// The frame that rows stand in.
struct Frame {
    left: f64,
    right: f64,
    top: f64,
    x: Scale,
}

impl Frame {
    fn row(&self, i: usize) -> f64 {
        self.top + (i as f64 + 0.5) * ROW
    }
}

/// Names on the left, axis below, limits across.
fn frame(
    c: &mut Canvas,
    names: &[String],
    x: Scale,
    top: f64,
    right: f64,
    limits: &[Limit],
) -> Frame {
    let left = names
        .iter()
        .map(|n| width(n))
        .fold(20.0, f64::max)
        .min(NAMES)
        + 8.0;
    let x = x.between(left + 4.0, WIDTH - right);
    let middle = |limit: &Limit| {
        let half = width(&limit.label) / 2.0;
        x.at(limit.at).clamp(half, (WIDTH - half).max(half))
    };
    let spans: Vec<(f64, f64)> = limits
        .iter()
        .map(|l| (middle(l), width(&l.label)))
        .collect();
    let storeys = storeys(&spans);
    let above = storeys.iter().copied().max().unwrap_or(0) as f64 * STOREY;
    let frame = Frame {
        left,
        right: WIDTH - right,
        top: top + 14.0 + above,
        x,
    };
    let bottom = frame.top + names.len() as f64 * ROW;
    for &t in &frame.x.ticks {
        let at = frame.x.at_shown(t);
        c.line("grid", (at, frame.top), (at, bottom));
        c.text("t m", (at, bottom + 14.0), Anchor::Middle, &frame.x.tick(t));
    }
    for (i, name) in names.iter().enumerate() {
        let y = frame.row(i);
        c.line("grid", (left, y), (frame.right, y));
        c.text("t", (left - 5.0, y + 3.8), Anchor::End, &cut(name, NAMES));
    }
    c.line("axis", (left, bottom), (frame.right, bottom));
    c.text(
        "t m",
        (frame.right, bottom + 29.0),
        Anchor::End,
        &frame.x.title(),
    );
    for (limit, ((middle, _), storey)) in limits.iter().zip(spans.into_iter().zip(storeys)) {
        let at = frame.x.at(limit.at);
        c.line("limit", (at, frame.top), (at, bottom));
        let base = frame.top - 4.0 - storey as f64 * STOREY;
        c.text("t", (middle, base), Anchor::Middle, &limit.label);
    }
    c.height = bottom + 36.0;
    frame
}

pub(super) fn walk(f: &Walk, units: Units) -> Canvas {
    let mut c = Canvas::new(0.0);
    let names: Vec<&str> = f.walks.iter().map(|w| w.0.as_str()).collect();
    let top = c.legend(&names, 0.0);
    let values = f.walks.iter().flat_map(|w| w.1.iter().flatten().copied());
    let values = values.chain(f.limits.iter().map(|l| l.at));
    let x = Scale::new(&f.x, values, units, 5);
    let frame = frame(&mut c, &f.places, x, top, RIGHT, &f.limits);
    for (i, (_, values)) in f.walks.iter().enumerate() {
        let points: Vec<(f64, f64)> = values
            .iter()
            .enumerate()
            .filter_map(|(row, v)| Some((frame.x.at((*v)?), frame.row(row))))
            .collect();
        c.polyline(&format!("line s{}", i % STYLES), &points);
        for at in points {
            c.marker(i, at);
        }
    }
    c
}

pub(super) fn bars(f: &Bars, units: Units) -> Canvas {
    let mut c = Canvas::new(0.0);
    let mut groups: Vec<&str> = Vec::new();
    for group in f.bars.iter().filter_map(|b| b.group.as_deref()) {
        if !groups.contains(&group) {
            groups.push(group);
        }
    }
    let style = |group: Option<&str>| {
        let found = groups.iter().position(|g| Some(*g) == group);
        found.unwrap_or(0) % STYLES
    };
    let top = c.legend(&groups, 0.0);
    let ends = f.bars.iter().flat_map(|b| {
        let (low, high) = b.band.unwrap_or((b.value, b.value));
        [b.value, low, high]
    });
    let x = Scale::new(&f.x, ends.chain(f.limits.iter().map(|l| l.at)), units, 4);
    let texts: Vec<String> = f.bars.iter().map(|b| number(x.convert(b.value))).collect();
    let names: Vec<String> = f.bars.iter().map(|b| b.name.clone()).collect();
    let right = texts.iter().map(|t| width(t)).fold(0.0, f64::max) + RIGHT;
    let frame = frame(&mut c, &names, x, top, right, &f.limits);
    let zero = frame.x.at_shown(0.0).clamp(frame.left, frame.right);
    for (i, (bar, text)) in f.bars.iter().zip(&texts).enumerate() {
        let (at, y) = (frame.x.at(bar.value), frame.row(i));
        let style = style(bar.group.as_deref());
        if f.x.from_zero {
            let (from, to) = (at.min(zero), at.max(zero));
            c.rect(&format!("bar f{style}"), (from, y - 5.5), (to - from, 11.0));
        }
        let mut far = at;
        if let Some((low, high)) = bar.band {
            let (low, high) = (frame.x.at(low), frame.x.at(high));
            c.line("whisker", (low, y), (high, y));
            for end in [low, high] {
                c.line("whisker", (end, y - 4.0), (end, y + 4.0));
            }
            far = far.max(high);
        }
        if !f.x.from_zero {
            c.marker(style, (at, y));
        }
        c.text("t halo", (far + 5.0, y + 3.8), Anchor::Start, text);
    }
    c
}
