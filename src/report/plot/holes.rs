//! Holes of a ring or bar, each with a bar for its flow over the mean.

use super::draw::{Anchor, Canvas, TEXT, width};
use super::{Holes, WIDTH};
use crate::quantity::show::signed;
use std::f64::consts::{FRAC_PI_2, TAU};

/// Longest bar.
const LONGEST: f64 = 26.0;
/// Up to here every hole has its figure; beyond, only the least and greatest.
const ALL_LABELLED: usize = 24;
/// Deviation that is drawn at full length at the least, so that noise is not blown up.
const LEAST_SCALE: f64 = 0.002;

/// Deviation of a flow in percent, to a hundredth: `+1.2`.
fn percent(relative: f64) -> String {
    signed(((relative - 1.0) * 1e4).round() / 100.0)
}

pub(super) fn draw(f: &Holes) -> Canvas {
    let most = f.holes.iter().map(|h| (h.1 - 1.0).abs());
    let most = most.fold(LEAST_SCALE, f64::max);
    let length = |relative: f64| (relative - 1.0) / most * LONGEST;
    if f.ring {
        ring(f, length)
    } else {
        bar(f, length)
    }
}

/// Whether a hole's figure is written: all of few, else those at the ends of the range.
fn labelled(f: &Holes, i: usize) -> bool {
    if f.holes.len() <= ALL_LABELLED {
        return true;
    }
    let by_flow = |a: &&(f64, f64), b: &&(f64, f64)| a.1.total_cmp(&b.1);
    let ends = [
        f.holes.iter().min_by(by_flow),
        f.holes.iter().max_by(by_flow),
    ];
    ends.contains(&Some(&f.holes[i]))
}

/// Each `n`th hole is numbered.
fn numbered(f: &Holes, i: usize) -> bool {
    let step = f.holes.len().div_ceil(ALL_LABELLED);
    i.is_multiple_of(step)
}

fn ring(f: &Holes, length: impl Fn(f64) -> f64) -> Canvas {
    let mut c = Canvas::new(WIDTH);
    let middle = WIDTH / 2.0;
    // share of the centre line, clockwise from the top
    let at = |share: f64, r: f64| {
        let angle = share * TAU - FRAC_PI_2;
        (middle + r * angle.cos(), middle + r * angle.sin())
    };
    let (tube, mean) = (88.0, 128.0);
    c.circle("tube", (middle, middle), tube);
    c.circle("zero", (middle, middle), mean);
    for &(share, relative) in &f.holes {
        let style = usize::from(relative < 1.0);
        c.line(
            &format!("stick s{style}"),
            at(share, mean),
            at(share, mean + length(relative)),
        );
        c.circle("hole", at(share, tube), 2.6);
    }
    for (i, &(share, relative)) in f.holes.iter().enumerate() {
        if numbered(f, i) {
            let (x, y) = at(share, tube - 17.0);
            c.text("t m", (x, y + 3.8), Anchor::Middle, &(i + 1).to_string());
        }
        if labelled(f, i) {
            let (x, y) = at(share, 166.0);
            c.text("t small", (x, y + 3.4), Anchor::Middle, &percent(relative));
        }
    }
    for &share in &f.feeds {
        let tip = at(share, tube - 30.0);
        let half = 7.0 / (tube - 42.0) / TAU;
        let foot = [at(share - half, tube - 42.0), at(share + half, tube - 42.0)];
        c.polygon("feed", &[tip, foot[0], foot[1]]);
        let (x, y) = at(share, tube - 54.0);
        c.text("t", (x, y + 3.8), Anchor::Middle, "feed");
    }
    c
}

fn bar(f: &Holes, length: impl Fn(f64) -> f64) -> Canvas {
    let mut c = Canvas::new(150.0);
    let (left, right) = (18.0, WIDTH - 18.0);
    let at = |share: f64| left + share * (right - left);
    let (tube, mean) = (104.0, 56.0);
    // every hole has its figure, or every so many that two do not run into one another
    let wide = f.holes.iter().map(|h| width(&percent(h.1)) * 9.0 / TEXT);
    let wide = wide.fold(0.0, f64::max) + 4.0;
    let nearest = f.holes.windows(2).map(|w| at(w[1].0) - at(w[0].0));
    let nearest = nearest.fold(f64::INFINITY, f64::min).max(1e-3);
    let fits = |step: &usize| *step as f64 * nearest >= wide;
    let step = (1..=f.holes.len())
        .find(fits)
        .unwrap_or(f.holes.len().max(1));
    c.rect("tube-fill", (left, tube - 6.0), (right - left, 12.0));
    c.line("zero", (left, mean), (right, mean));
    for (i, &(share, relative)) in f.holes.iter().enumerate() {
        let x = at(share);
        let style = usize::from(relative < 1.0);
        c.line(
            &format!("stick s{style}"),
            (x, mean),
            (x, mean - length(relative)),
        );
        c.circle("hole", (x, tube), 2.6);
        if numbered(f, i) {
            c.text(
                "t m",
                (x, tube - 12.0),
                Anchor::Middle,
                &(i + 1).to_string(),
            );
        }
        let room = i.is_multiple_of(step);
        if labelled(f, i) && room {
            c.text("t small", (x, 18.0), Anchor::Middle, &percent(relative));
        }
    }
    for &share in &f.feeds {
        let x = at(share);
        c.polygon(
            "feed",
            &[
                (x, tube + 8.0),
                (x - 6.0, tube + 19.0),
                (x + 6.0, tube + 19.0),
            ],
        );
        c.text("t", (x, tube + 33.0), Anchor::Middle, "feed");
    }
    c
}
