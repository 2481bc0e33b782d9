//! Figure of holes to choose from: pressure over number, a line for each drill.

use crate::quantity::{AbsolutePressure, Kind};
use crate::report::choices::Choices;
use crate::report::plot::{Axis, Figure, Lines, Plot, Point, Series};

/// Choices that are named in the figure.
const NAMED: usize = 5;

/// Points from the first to the last that have a pressure.
fn known(points: &[(f64, f64)]) -> &[(f64, f64)] {
    let has = |p: &(f64, f64)| p.1.is_finite();
    match (points.iter().position(has), points.iter().rposition(has)) {
        (Some(first), Some(last)) => &points[first..=last],
        _ => &[],
    }
}

/// Pressure before the holes over their number; nothing where one number was looked at.
pub(in crate::report) fn choices(c: &Choices, air: AbsolutePressure) -> Option<Plot> {
    let gauge = |p_pa: f64| p_pa - air.pascals();
    let series: Vec<Series> = c
        .lines
        .iter()
        .map(|(drill, points)| Series {
            name: drill.clone(),
            points: known(points).iter().map(|(n, p)| (*n, gauge(*p))).collect(),
        })
        .collect();
    let drawn = |s: &Series| s.points.iter().filter(|p| p.1.is_finite()).count() > 1;
    if !series.iter().any(drawn) {
        return None;
    }
    let points = c
        .choices
        .iter()
        .enumerate()
        .take(NAMED)
        .map(|(i, x)| Point {
            at: (f64::from(x.holes), gauge(x.pressure_pa)),
            label: (i + 1).to_string(),
        });
    // a line that stands alone has no legend
    let title = match &series[..] {
        [one] => format!("Pressure before holes of {} over their number", one.name),
        _ => "Pressure before the holes over their number".to_owned(),
    };
    Some(Plot::new(
        title,
        "A line for each drill of the choices, where the demands that must be met are met; numbers mark the first \
         choices, and the table has their figures. Pressures are those at the duty with the largest fuel flow.",
        Figure::Lines(Lines {
            x: Axis::plain("number of holes").with_zero(),
            y: Axis::of("pressure before the holes", Kind::GaugePressure).with_zero(),
            series,
            points: points.collect(),
            limits: Vec::new(),
        }),
    ))
}
