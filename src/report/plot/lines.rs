//! Lines over an axis, with named points and limits.

use super::draw::{Anchor, Canvas, STYLES, cut, width};
use super::scale::Scale;
use super::{Lines, WIDTH};
use crate::quantity::show::Units;

/// Height of the area that is drawn in.
const TALL: f64 = 170.0;
/// From this many points on, a line has no markers.
const DENSE: usize = 14;

pub(super) fn draw(f: &Lines, units: Units) -> Canvas {
    let mut c = Canvas::new(0.0);
    let all = || {
        let lines = f.series.iter().flat_map(|s| s.points.iter().copied());
        lines.chain(f.points.iter().map(|p| p.at))
    };
    let heights = all().map(|p| p.1).chain(f.limits.iter().map(|l| l.at));
    let y = Scale::new(&f.y, heights, units, 5);
    let labels = y.ticks.iter().map(|t| width(&y.tick(*t)));
    let left = labels.fold(16.0, f64::max) + 8.0;
    let x = Scale::new(&f.x, all().map(|p| p.0), units, 6).between(left, WIDTH - 12.0);
    let names: Vec<&str> = f.series.iter().map(|s| s.name.as_str()).collect();
    let top = c.legend(&names, 0.0) + 14.0;
    c.text("t m", (0.0, top - 2.0), Anchor::Start, &y.title());
    let (top, bottom) = (top + 8.0, top + 8.0 + TALL);
    let y = y.between(bottom, top);
    for &t in &y.ticks {
        let at = y.at_shown(t);
        c.line("grid", (left, at), (WIDTH - 12.0, at));
        c.text("t m", (left - 5.0, at + 3.8), Anchor::End, &y.tick(t));
    }
    for &t in &x.ticks {
        let at = x.at_shown(t);
        c.line("grid", (at, top), (at, bottom));
        c.text("t m", (at, bottom + 14.0), Anchor::Middle, &x.tick(t));
    }
    c.line("axis", (left, bottom), (WIDTH - 12.0, bottom));
    c.line("axis", (left, top), (left, bottom));
    c.text(
        "t m",
        (WIDTH - 12.0, bottom + 29.0),
        Anchor::End,
        &x.title(),
    );
    for limit in &f.limits {
        let at = y.at(limit.at);
        c.line("limit", (left, at), (WIDTH - 12.0, at));
        let label = cut(&limit.label, WIDTH - left - 20.0);
        let above = if at - top < 14.0 { at + 11.0 } else { at - 4.0 };
        c.text("t halo", (WIDTH - 14.0, above), Anchor::End, &label);
    }
    for (i, s) in f.series.iter().enumerate() {
        let pieces = s.points.split(|p| !p.1.is_finite());
        for piece in pieces.filter(|p| !p.is_empty()) {
            let points: Vec<(f64, f64)> = piece.iter().map(|p| (x.at(p.0), y.at(p.1))).collect();
            c.polyline(&format!("line s{}", i % STYLES), &points);
            if s.points.len() < DENSE {
                for &at in &points {
                    c.marker(i, at);
                }
            }
        }
    }
    let mut taken: Vec<Label> = Vec::new();
    for p in &f.points {
        let at = (x.at(p.at.0), y.at(p.at.1));
        c.circle("mark open", at, 4.2);
        let label = place(
            at,
            width(&p.label),
            (left, top),
            (WIDTH - 12.0, bottom),
            &taken,
        );
        c.text("t halo", (label.left, label.base), Anchor::Start, &p.label);
        taken.push(label);
    }
    c.height = bottom + 36.0;
    c
}

/// Where a label stands.
struct Label {
    left: f64,
    right: f64,
    base: f64,
}

impl Label {
    fn meets(&self, other: &Self) -> bool {
        self.left < other.right && other.left < self.right && (self.base - other.base).abs() < 12.0
    }
}

/// The first place round a point that is in the frame and free: below to the right first, since most
/// curves rise.
fn place(at: (f64, f64), wide: f64, from: (f64, f64), to: (f64, f64), taken: &[Label]) -> Label {
    let places = [
        (7.0, 12.0),
        (7.0, -6.0),
        (-7.0, -6.0),
        (-7.0, 12.0),
        (7.0, 25.0),
        (-7.0, -20.0),
    ];
    let label = |(dx, dy): (f64, f64)| {
        let left = if dx > 0.0 {
            at.0 + dx
        } else {
            at.0 + dx - wide
        };
        Label {
            left,
            right: left + wide,
            base: at.1 + dy,
        }
    };
    let inside = |l: &Label| {
        l.left > from.0 && l.right < to.0 && l.base > from.1 + 9.0 && l.base < to.1 - 3.0
    };
    let free = |l: &Label| inside(l) && !taken.iter().any(|t| t.meets(l));
    let mut found = places.into_iter().map(label);
    found.find(free).unwrap_or_else(|| {
        let mut last = label(places[0]);
        last.left = last.left.min(to.0 - wide).max(from.0);
        last.base = last.base.clamp(from.1 + 9.0, to.1 - 3.0);
        last
    })
}
