//! Distances from several places on one axis: how far things reach, and who stands how far off.

use super::draw::{Anchor, Canvas, TEXT, broken, width};
use super::labels::storeys;
use super::scale::Scale;
use super::{Axis, Reach, Ruler, WIDTH};
use crate::quantity::Kind;
use crate::quantity::show::Units;

/// Ends of the axis.
const ENDS: (f64, f64) = (10.0, WIDTH - 14.0);
/// Size of words.
const SIZE: f64 = 10.0;
/// Height of a line of words, and of a bar with its room.
const LINE: f64 = 12.5;
const BAR: f64 = 12.0;
/// Height of a line of names of people.
const STOREY: f64 = 13.0;
/// Digits of a distance.
const DIGITS: usize = 2;

pub(super) fn draw(f: &Ruler, units: Units) -> Canvas {
    let reaches = f.from.iter().flat_map(|(_, reaches)| reaches);
    let ends = reaches.map(|r| r.most).chain(f.people.iter().map(|p| p.1));
    let axis = Axis::of("distance", Kind::Length).with_zero();
    let x = Scale::new(&axis, ends, units, 6).between(ENDS.0, ENDS.1);
    let shown = |m: f64| x.told(m, DIGITS);
    let mut c = Canvas::new(0.0);
    let top = people(&mut c, f, &x, &shown);
    let foot = top + tall(f);
    for &tick in &x.ticks {
        let at = x.at_shown(tick);
        c.line("grid", (at, top), (at, foot));
        c.line("axis", (at, foot), (at, foot + 4.0));
        c.text("t m", (at, foot + 14.0), Anchor::Middle, &x.tick(tick));
    }
    for (_, m) in &f.people {
        c.line("limit", (x.at(*m), top - 2.0), (x.at(*m), foot));
    }
    let mut y = top;
    for (from, reaches) in &f.from {
        for line in heading(from) {
            y += LINE;
            c.text("t strong halo", (2.0, y - 3.0), Anchor::Start, &line);
        }
        for reach in reaches {
            y += LINE;
            let at = [(ENDS.0, Anchor::Start), (ENDS.1, Anchor::End)];
            let texts = [reach.name.clone(), told(reach, &shown)];
            for ((left, anchor), text) in at.into_iter().zip(&texts) {
                c.text("t fact halo", (left, y - 3.0), anchor, text);
            }
            bar(&mut c, reach, &x, y);
            y += BAR;
        }
        y += GAP;
    }
    c.line("axis", (ENDS.0, foot), (ENDS.1, foot));
    c.text("t m", (ENDS.1, foot + 28.0), Anchor::End, &x.title());
    c.height = foot + 36.0;
    c
}

/// Room between the places that are measured from.
const GAP: f64 = 5.0;

/// Height of the lanes.
fn tall(f: &Ruler) -> f64 {
    let of = |(from, reaches): &(String, Vec<Reach>)| {
        heading(from).len() as f64 * LINE + reaches.len() as f64 * (LINE + BAR) + GAP
    };
    f.from.iter().map(of).sum()
}

fn heading(from: &str) -> Vec<String> {
    broken(from, WIDTH - 8.0, |text| width(text) * 1.14 * SIZE / TEXT)
}

/// How far, in words.
fn told(reach: &Reach, shown: &impl Fn(f64) -> String) -> String {
    let [least, likely, most] = [reach.least, reach.likely, reach.most].map(shown);
    match (likely == most, least == likely) {
        (true, true) => likely,
        (true, false) => format!("{least} to {most}"),
        _ => format!("{likely}, at most {most}"),
    }
}

/// From the place to where it likely reaches, and on to the most; what stands somewhere between two ends has them.
fn bar(c: &mut Canvas, reach: &Reach, x: &Scale, y: f64) {
    let [least, likely, most] = [reach.least, reach.likely, reach.most].map(|m| x.at(m));
    let middle = y + BAR / 2.0 - 1.5;
    match reach.stands {
        true if most > least => {
            c.line("whisker", (least, middle), (most, middle));
            for end in [least, most] {
                c.line("whisker", (end, middle - 4.0), (end, middle + 4.0));
            }
        }
        true => c.rect("place", (likely - 3.5, middle - 3.5), (7.0, 7.0)),
        false => {
            c.rect("bar f0", (ENDS.0, middle - 3.5), (likely - ENDS.0, 7.0));
            c.rect("open", (likely, middle - 3.5), (most - likely, 7.0));
        }
    }
}

/// Names of people over the places where they stand; returns where the lanes begin.
fn people(c: &mut Canvas, f: &Ruler, x: &Scale, shown: &impl Fn(f64) -> String) -> f64 {
    let name = |(name, m): &(String, f64)| format!("{name}, {}", shown(*m));
    let names: Vec<String> = f.people.iter().map(name).collect();
    let span = |((_, m), name): (&(String, f64), &String)| {
        let half = width(name) / 2.0;
        (x.at(*m).clamp(half, WIDTH - half), 2.0 * half)
    };
    let spans: Vec<(f64, f64)> = f.people.iter().zip(&names).map(span).collect();
    let storeys = storeys(&spans);
    let levels = storeys.iter().map(|s| s + 1).max().unwrap_or(0);
    let top = levels as f64 * STOREY + 6.0;
    for ((name, (middle, _)), storey) in names.iter().zip(&spans).zip(&storeys) {
        let base = top - 6.0 - *storey as f64 * STOREY;
        c.text("t", (*middle, base), Anchor::Middle, name);
    }
    top
}
