//! Figures of an injector: the flow of every hole, the band of every duty.

use crate::audit::Solution;
use crate::injector::plan::InjectorPlan;
use crate::injector::ring::Distribution;
use crate::injector::spec::ManifoldLayout;
use crate::quantity::show::signed;
use crate::report::plot::{Axis, Bar, Bars, Figure, Holes, Plot};
use std::f64::consts::{PI, TAU};

/// The holes of a ring or bar at the duty where they differ most.
pub(in crate::report) fn holes(solution: &Solution<'_>, plan: &InjectorPlan) -> Option<Plot> {
    let layout = &solution.rig.injector.manifold.as_ref()?.layout;
    let shared = plan.duties.iter().filter_map(|d| {
        let sharing = d.injection.as_ref().ok()?.sharing.as_ref()?;
        Some((d.name.as_str(), sharing.as_ref().ok()?))
    });
    let by_spread = |a: &(&str, &Distribution), b: &(&str, &Distribution)| {
        a.1.spread.value.total_cmp(&b.1.spread.value)
    };
    let (duty, found) = shared.max_by(by_spread)?;
    let (length_m, feeds, ring) = match layout {
        ManifoldLayout::Ring {
            diameter, feeds, ..
        } => {
            let shares = feeds.iter().map(|a| a.value / TAU).collect();
            (PI * diameter.value, shares, true)
        }
        ManifoldLayout::Bar { length, feeds, .. } => {
            let shares: Vec<f64> = feeds.iter().map(|f| f.value / length.value).collect();
            (length.value, shares, false)
        }
    };
    let holes: Vec<(f64, f64)> = found
        .holes
        .iter()
        .map(|h| (h.at.value / length_m, h.relative.value))
        .collect();
    let ends = |f: fn(f64, f64) -> f64, from: f64| holes.iter().map(|h| h.1).fold(from, f);
    let percent = |x: f64| format!("{} %", signed((x - 1.0) * 100.0));
    let where_from = if ring {
        "Angles run clockwise from the top, as the rig file gives them."
    } else {
        "Places run from the left end, as the rig file gives them."
    };
    let description = format!(
        "{} holes at the duty {duty}. The flow of a hole differs from the mean by {} to {}. \
         Bars outside the dashed line pass more than the mean, bars inside less. {where_from}",
        holes.len(),
        percent(ends(f64::min, f64::INFINITY)),
        percent(ends(f64::max, 0.0)),
    );
    Some(Plot::new(
        format!("Flow of each hole against the mean, in %, at {duty}"),
        description,
        Figure::Holes(Holes { holes, feeds, ring }),
    ))
}

/// Equivalence ratio of every duty with its band.
pub(in crate::report) fn bands(solution: &Solution<'_>, plan: &InjectorPlan) -> Plot {
    let bars = plan.duties.iter().filter_map(|d| {
        let injection = d.injection.as_ref().ok()?;
        let solved = solution.duties.iter().find(|s| s.name == d.name)?;
        let demand = solved.demand.as_ref().ok()?;
        Some(Bar {
            name: d.name.clone(),
            value: demand.equivalence_ratio.value,
            band: Some((
                injection.equivalence_ratio_low.value,
                injection.equivalence_ratio_high.value,
            )),
            group: None,
        })
    });
    Plot::new(
        "Equivalence ratio with every band at its worst",
        "A point for each duty, with a line from the least to the most equivalence ratio that the \
         bands on holes, supply and air allow together.",
        Figure::Bars(Bars {
            x: Axis::plain("equivalence ratio"),
            bars: bars.collect(),
            limits: Vec::new(),
        }),
    )
}
