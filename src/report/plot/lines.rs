//! Lines over an axis, with named points and limits.

use super::draw::{Anchor, Canvas, STYLES, cut, width};
use super::labels::{Area, Ground, Label};
use super::scale::Scale;
use super::{Lines, WIDTH};
use crate::quantity::show::Units;

/// Height of the area that is drawn in.
const TALL: f64 = 170.0;
/// From this many points on, a line has no markers.
const DENSE: usize = 14;
/// Points of a line above which those between the ends and the extremes of each column of the drawing, one unit
/// wide, are left out: what is left covers the same paper.
const MOST_POINTS: usize = 1500;

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
    let mut ground = Ground::default();
    let mut named: Vec<Area> = Vec::new();
    for limit in &f.limits {
        let at = y.at(limit.at);
        c.line("limit", (left, at), (WIDTH - 12.0, at));
        ground.line((left, at), (WIDTH - 12.0, at));
        let label = cut(&limit.label, (WIDTH - left) / 2.0 - 20.0);
        let (above, below) = (at - 4.0, at + 11.0);
        // at the right end above its line, else below it, else from the left end
        let right = WIDTH - 14.0 - width(&label);
        let places = [
            (right, above),
            (right, below),
            (left + 4.0, above),
            (left + 4.0, below),
        ];
        let area = |p: &(f64, f64)| Area::of_text(p.0, p.1, &label);
        let free = |p: &&(f64, f64)| {
            p.1 > top + 9.0 && p.1 < bottom && !named.iter().any(|n| n.meets(&area(p)))
        };
        let place = places.iter().find(free).unwrap_or(&places[0]);
        c.text("t halo", *place, Anchor::Start, &label);
        named.push(area(place));
        ground.keep_clear(area(place));
    }
    for (i, s) in f.series.iter().enumerate() {
        let pieces = s.points.split(|p| !p.1.is_finite());
        for piece in pieces.filter(|p| !p.is_empty()) {
            let points: Vec<(f64, f64)> = piece.iter().map(|p| (x.at(p.0), y.at(p.1))).collect();
            let points = thinned(points);
            c.polyline(&format!("line s{}", i % STYLES), &points);
            for pair in points.windows(2) {
                ground.line(pair[0], pair[1]);
            }
            if s.points.len() < DENSE {
                for &at in &points {
                    c.marker(i, at);
                }
            }
        }
    }
    let mut labels = Vec::new();
    for p in &f.points {
        let at = (x.at(p.at.0), y.at(p.at.1));
        c.circle("mark open", at, 4.2);
        ground.keep_clear(Area::round(at, 4.2));
        labels.push(Label {
            at,
            text: p.label.clone(),
        });
    }
    let frame = Area {
        from: (left + 1.0, top),
        to: (WIDTH - 12.0, bottom - 1.0),
    };
    ground.draw(&mut c, &labels, frame);
    c.height = bottom + 36.0;
    c
}

/// A line of no more points than can be seen.
fn thinned(points: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    if points.len() <= MOST_POINTS {
        return points;
    }
    let mut kept = Vec::new();
    for column in points.chunk_by(|a, b| (a.0.floor() - b.0.floor()).abs() < 0.5) {
        let by_height = |a: &&(f64, f64), b: &&(f64, f64)| a.1.total_cmp(&b.1);
        let extremes = [
            column.iter().min_by(by_height),
            column.iter().max_by(by_height),
        ];
        let ends = [column.first(), column.last()];
        let shown = |p: &&(f64, f64)| {
            let stays = extremes.iter().chain(&ends).flatten();
            stays.into_iter().any(|s| std::ptr::eq(*s, *p))
        };
        kept.extend(column.iter().filter(shown));
    }
    kept
}
