//! Where the holes of a ring or bar come on the unrolled wall of its tube, cut into strips that fit a sheet.

use crate::quantity::sentence::{Figure, length};
use crate::quantity::told::errors;
use crate::quantity::{Angle, Length, metres, radians};
use std::f64::consts::{PI, TAU};

/// Most holes of a template.
pub const MOST_HOLES: usize = 400;
/// Room that a strip leaves for the next one to be glued on, m.
pub const TAB_M: f64 = 6e-3;
/// Least share of metal left between two holes, of their diameter. Our choice: less tears between holes.
const LEAST_WEB: f64 = 0.25;
/// Largest hole, of the tube's diameter. Our choice: a larger one leaves no half of the tube.
const LARGEST_HOLE: f64 = 0.5;

/// A tube to be drilled.
#[derive(Debug, Clone, PartialEq)]
pub struct TubeHoles {
    /// Outside diameter of the tube.
    pub tube: Length,
    /// Ring or bar, with its holes.
    pub layout: HoleLayout,
    /// Diameter of the holes.
    pub hole: Length,
}

/// Ring or bar with the places of its holes.
#[derive(Debug, Clone, PartialEq)]
pub enum HoleLayout {
    /// A ring.
    Ring {
        /// Diameter of its centre line.
        diameter: Length,
        /// Where the holes are.
        holes: Vec<Angle>,
        /// Where it is fed.
        feeds: Vec<Angle>,
    },
    /// A straight bar.
    Bar {
        /// Length between its ends.
        length: Length,
        /// Where the holes are, from one end.
        holes: Vec<Length>,
        /// Where it is fed.
        feeds: Vec<Length>,
    },
}

errors! {
    /// Why there is no template.
    pub enum TemplateError {
        BadLength { name: &'static str, value_m: f64 } =>
            "{} of {} cannot be", name, length(value_m);
        BadCount { count: usize } => "{} holes; a template marks 1 to {}", count, MOST_HOLES;
        HoleTooLarge { hole_mm: f64, tube_mm: f64 } =>
            "holes of {} are more than half of a tube of {}",
            millimetres(hole_mm), millimetres(tube_mm);
        HolesMeet { first: usize, second: usize, apart_mm: f64, hole_mm: f64 } =>
            "holes {} and {} are {} apart: too close for {}",
            first, second, length(apart_mm * 1e-3).fixed("mm", 1e-3, 2), millimetres(hole_mm);
        NoRing { tube_mm: f64, ring_mm: f64 } =>
            "a tube of {} cannot be bent to a ring of {}",
            millimetres(tube_mm), millimetres(ring_mm);
        SheetTooSmall { need_width_mm: f64, need_height_mm: f64, width_mm: f64, height_mm: f64 } =>
            "the template needs {} x {}, the sheet holds {} x {}",
            whole_millimetres(need_width_mm), whole_millimetres(need_height_mm),
            whole_millimetres(width_mm), whole_millimetres(height_mm);
    }
}

fn millimetres(mm: f64) -> Figure {
    length(mm * 1e-3).plain("mm", 1e-3)
}

fn whole_millimetres(mm: f64) -> Figure {
    length(mm * 1e-3).fixed("mm", 1e-3, 0)
}

/// A hole on the unrolled wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    /// Number, from 1.
    pub number: usize,
    /// Along the centre line.
    pub at: Length,
    /// Around the ring; `None` for a bar.
    pub angle: Option<Angle>,
}

/// A piece of the unrolled wall.
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
    /// Where it begins along the centre line.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// Holes on it.
    pub marks: Vec<Mark>,
    /// Feeds on it, along the centre line.
    pub feeds: Vec<Length>,
}

/// The unrolled wall.
#[derive(Debug, Clone, PartialEq)]
pub struct Unrolled {
    /// Round the tube: `π d`.
    pub round: Length,
    /// Along the centre line: `π D` of a ring.
    pub length: Length,
    /// Strips, in order.
    pub strips: Vec<Strip>,
}

/// Unrolls a tube into strips of at most a length; a strip ends between two holes.
///
/// A place on the wall is `s` along the centre line (`s = θ D / 2` of a ring) and `φ d / 2` round the tube.
///
/// * `longest` — what a sheet takes
///
/// **Valid:** a straight tube, as it is before a ring is bent: bending stretches the outer side of the ring
/// and shortens the inner one by `d / D`. **Errors:** [`TemplateError`]. **Source:** geometry.
/// ```
/// # use fuelwright::injector::template::{HoleLayout, TubeHoles, unroll};
/// # use fuelwright::quantity::metres;
/// let bar = TubeHoles {
///     tube: metres(8e-3),
///     layout: HoleLayout::Bar { length: metres(0.3), holes: vec![metres(0.1), metres(0.2)], feeds: vec![] },
///     hole: metres(1e-3),
/// };
/// let wall = unroll(&bar, metres(0.25))?;
/// assert_eq!(wall.strips.len(), 2);
/// assert!((wall.round.value - 25.13e-3).abs() < 1e-5);
/// assert!((wall.strips[0].to.value - 0.15).abs() < 1e-12);
/// # Ok::<(), fuelwright::injector::template::TemplateError>(())
/// ```
///
/// # Errors
/// As above.
pub fn unroll(tube: &TubeHoles, longest: Length) -> Result<Unrolled, TemplateError> {
    let (d_m, hole_m) = (tube.tube.value, tube.hole.value);
    check(tube)?;
    let (length_m, holes_m, feeds_m): (f64, Vec<f64>, Vec<f64>) = match &tube.layout {
        HoleLayout::Ring {
            diameter,
            holes,
            feeds,
        } => {
            // angles of one turn; the place is on the centre line
            let at = |a: &Angle| a.value.rem_euclid(TAU) * diameter.value / 2.0;
            let holes = holes.iter().map(at).collect();
            (PI * diameter.value, holes, feeds.iter().map(at).collect())
        }
        HoleLayout::Bar {
            length,
            holes,
            feeds,
        } => {
            let at = |l: &Length| l.value;
            let holes = holes.iter().map(at).collect();
            (length.value, holes, feeds.iter().map(at).collect())
        }
    };
    let mut marks: Vec<Mark> = Vec::new();
    let mut sorted = holes_m;
    sorted.sort_by(f64::total_cmp);
    let ring = matches!(tube.layout, HoleLayout::Ring { .. });
    for (i, &at) in sorted.iter().enumerate() {
        if !(0.0..=length_m).contains(&at) {
            return Err(TemplateError::BadLength {
                name: "the place of a hole",
                value_m: at,
            });
        }
        marks.push(Mark {
            number: i + 1,
            at: metres(at),
            angle: ring.then(|| radians(at / length_m * TAU)),
        });
    }
    let mut gaps: Vec<(usize, usize, f64)> = marks
        .windows(2)
        .map(|w| (w[0].number, w[1].number, w[1].at.value - w[0].at.value))
        .collect();
    if let (true, [first, .., last]) = (ring, marks.as_slice()) {
        let over = length_m - last.at.value + first.at.value;
        gaps.push((last.number, first.number, over));
    }
    for (first, second, apart) in gaps {
        if apart < hole_m * (1.0 + LEAST_WEB) {
            return Err(TemplateError::HolesMeet {
                first,
                second,
                apart_mm: apart * 1e3,
                hole_mm: hole_m * 1e3,
            });
        }
    }
    let strips = cut(length_m, &marks, &feeds_m, longest.value);
    Ok(Unrolled {
        round: metres(PI * d_m),
        length: metres(length_m),
        strips,
    })
}

fn check(tube: &TubeHoles) -> Result<(), TemplateError> {
    let (d_m, hole_m) = (tube.tube.value, tube.hole.value);
    let (along_m, count) = match &tube.layout {
        HoleLayout::Ring {
            diameter, holes, ..
        } => (diameter.value, holes.len()),
        HoleLayout::Bar { length, holes, .. } => (length.value, holes.len()),
    };
    for (name, value_m) in [
        ("a tube", d_m),
        ("a hole", hole_m),
        ("a ring or bar", along_m),
    ] {
        if !(value_m > 0.0 && value_m.is_finite()) {
            return Err(TemplateError::BadLength { name, value_m });
        }
    }
    if !(1..=MOST_HOLES).contains(&count) {
        return Err(TemplateError::BadCount { count });
    }
    if hole_m > LARGEST_HOLE * d_m {
        return Err(TemplateError::HoleTooLarge {
            hole_mm: hole_m * 1e3,
            tube_mm: d_m * 1e3,
        });
    }
    if matches!(tube.layout, HoleLayout::Ring { .. }) && along_m <= d_m {
        return Err(TemplateError::NoRing {
            tube_mm: d_m * 1e3,
            ring_mm: along_m * 1e3,
        });
    }
    Ok(())
}

/// Cuts the wall into strips of at most `longest_m`, between two holes where there is room.
fn cut(length_m: f64, marks: &[Mark], feeds_m: &[f64], longest_m: f64) -> Vec<Strip> {
    let mut strips = Vec::new();
    let mut from = 0.0;
    while from < length_m {
        let mut to = length_m.min(from + longest_m);
        if to < length_m {
            let middles = marks
                .windows(2)
                .map(|w| 0.5 * (w[0].at.value + w[1].at.value));
            // between the last two holes that fit, unless the strip would be less than half full
            to = middles
                .filter(|m| *m > from + 0.5 * longest_m && *m <= to)
                .fold(None, |best: Option<f64>, m| {
                    Some(best.map_or(m, |b| b.max(m)))
                })
                .unwrap_or(to);
        }
        let last = to >= length_m;
        let on = |s: f64| s >= from && (s < to || (last && s <= to));
        strips.push(Strip {
            from: metres(from),
            to: metres(to),
            marks: marks.iter().filter(|m| on(m.at.value)).copied().collect(),
            feeds: feeds_m
                .iter()
                .filter(|f| on(**f))
                .map(|f| metres(*f))
                .collect(),
        });
        from = to;
    }
    strips
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(n: usize, diameter_m: f64, hole_m: f64) -> TubeHoles {
        let holes = (0..n).map(|i| radians((i as f64 + 0.5) / n as f64 * TAU));
        TubeHoles {
            tube: metres(8e-3),
            layout: HoleLayout::Ring {
                diameter: metres(diameter_m),
                holes: holes.collect(),
                feeds: vec![radians(0.0)],
            },
            hole: metres(hole_m),
        }
    }

    #[test]
    fn holes_of_a_ring_stand_a_pitch_apart_along_its_centre_line() {
        let wall = unroll(&ring(16, 0.09, 0.5e-3), metres(0.1)).expect("fits");
        let all: Vec<Mark> = wall.strips.iter().flat_map(|s| s.marks.clone()).collect();
        assert_eq!(all.len(), 16);
        for w in all.windows(2) {
            let pitch = w[1].at.value - w[0].at.value;
            assert!((pitch - PI * 0.09 / 16.0).abs() < 1e-12);
        }
        let total: f64 = wall.strips.iter().map(|s| s.to.value - s.from.value).sum();
        assert!((total - PI * 0.09).abs() < 1e-12);
        for s in &wall.strips {
            assert!(s.to.value - s.from.value <= 0.1 + 1e-12);
            for m in &s.marks {
                assert!(m.at > s.from && m.at < s.to, "no hole on a cut");
            }
        }
        assert_eq!(wall.strips.iter().map(|s| s.feeds.len()).sum::<usize>(), 1);
    }

    #[test]
    fn what_cannot_be_drilled_is_refused() {
        let refused = |t: TubeHoles| unroll(&t, metres(0.25)).expect_err("refused");
        assert!(matches!(
            refused(ring(300, 0.09, 1e-3)),
            TemplateError::HolesMeet { .. }
        ));
        assert!(matches!(
            refused(ring(4, 0.09, 5e-3)),
            TemplateError::HoleTooLarge { .. }
        ));
        assert!(matches!(
            refused(ring(4, 0.007, 1e-3)),
            TemplateError::NoRing { .. }
        ));
        assert!(matches!(
            refused(ring(0, 0.09, 1e-3)),
            TemplateError::BadCount { count: 0 }
        ));
        let mut bent = ring(4, f64::NAN, 1e-3);
        assert!(matches!(
            refused(bent.clone()),
            TemplateError::BadLength { .. }
        ));
        bent.tube = metres(-1.0);
        assert!(matches!(refused(bent), TemplateError::BadLength { .. }));
    }
}
