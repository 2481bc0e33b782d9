//! Distances round a point, seen from above, to scale.

use super::draw::{Anchor, Canvas, STYLES};
use super::labels::{Area, Ground, Label};
use super::{Around, WIDTH};
use crate::quantity::Kind;
use crate::quantity::show::{Units, show_digits};
use std::f64::consts::{FRAC_PI_2, TAU};

/// Radius of the farthest thing.
const FARTHEST: f64 = 150.0;

pub(super) fn draw(f: &Around, units: Units) -> Canvas {
    let mut c = Canvas::new(0.0);
    let shown = |m: f64| show_digits(Kind::Length, m, units, 2);
    let names: Vec<String> = f
        .reaches
        .iter()
        .map(|(name, r)| format!("{name}: {}", shown(*r)))
        .collect();
    let mut top = 0.0;
    for (i, name) in names.iter().enumerate() {
        let y = top + 8.0;
        c.line(&format!("line s{}", i % STYLES), (2.0, y), (28.0, y));
        c.text("t", (33.0, y + 3.8), Anchor::Start, name);
        top += 15.0;
    }
    let farthest = f.reaches.iter().chain(&f.places).map(|p| p.1);
    let farthest = farthest.fold(0.0, f64::max);
    let scale = FARTHEST / farthest.max(1e-6);
    let middle = (WIDTH / 2.0, top + 14.0 + FARTHEST);
    let mut ground = Ground::default();
    for (i, (_, r)) in f.reaches.iter().enumerate() {
        let class = format!("reach line s{}", i % STYLES);
        let r = (r * scale).max(1.0);
        c.circle(&class, middle, r);
        ground.ring(middle, r);
    }
    let mut labels = vec![Label {
        at: middle,
        text: f.centre.clone(),
    }];
    ground.keep_clear(Area::round(middle, 3.4));
    // bearings are in no file: places are spread round evenly, from the upper right
    let n = f.places.len().max(1) as f64;
    for (i, (name, m)) in f.places.iter().enumerate() {
        let angle = (i as f64 + 0.5) / n * TAU - FRAC_PI_2;
        let at = (
            middle.0 + m * scale * angle.cos(),
            middle.1 + m * scale * angle.sin(),
        );
        c.line("thread", middle, at);
        c.rect("place", (at.0 - 3.5, at.1 - 3.5), (7.0, 7.0));
        ground.line(middle, at);
        ground.keep_clear(Area::round(at, 4.5));
        labels.push(Label {
            at,
            text: format!("{name}, {}", shown(*m)),
        });
    }
    c.circle("centre", middle, 3.4);
    let bottom = middle.1 + FARTHEST + 24.0;
    let bar = round_down(farthest / 3.0);
    c.line("axis", (2.0, bottom), (2.0 + bar * scale, bottom));
    for x in [2.0, 2.0 + bar * scale] {
        c.line("axis", (x, bottom - 4.0), (x, bottom + 4.0));
    }
    c.text(
        "t m",
        (8.0 + bar * scale, bottom + 3.8),
        Anchor::Start,
        &shown(bar),
    );
    let frame = Area {
        from: (2.0, top + 6.0),
        to: (WIDTH - 2.0, bottom - 8.0),
    };
    ground.draw(&mut c, &labels, frame);
    c.height = bottom + 12.0;
    c
}

/// 1, 2 or 5 times a power of ten, not above `most`.
fn round_down(most: f64) -> f64 {
    let power = 10f64.powf(most.max(1e-6).log10().floor());
    let steps = [5.0, 2.0, 1.0].map(|s| s * power);
    steps.into_iter().find(|s| *s <= most).unwrap_or(power)
}
