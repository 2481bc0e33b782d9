//! Figures of a train: pressure and temperature from part to part, the throttle curve.

use crate::audit::Solution;
use crate::quantity::Kind;
use crate::report::plot::{Axis, Figure, Limit, Lines, Plot, Point, Series, Walk};
use crate::train::{PartFlow, ThrottleStudy, TrainPlan};

/// Where water freezes, K.
const FREEZING_K: f64 = 273.15;

/// Pressure and temperature behind every part on the way to the injector, at every duty.
pub(in crate::report) fn walks(rig: &Solution<'_>, plan: &TrainPlan) -> Vec<Plot> {
    let ambient_pa = rig.rig.site.air_pressure.pascals();
    let main = rig.main_parts();
    let mut places = vec!["supply".to_owned()];
    places.extend(main.iter().map(|p| p.name.clone()));
    let walk = |of: &dyn Fn(&PartFlow, bool) -> f64| -> Vec<(String, Vec<Option<f64>>)> {
        let solved = plan.duties.iter().filter_map(|d| {
            let solution = d.solution.as_ref().ok()?;
            let found = |name: &str| solution.parts.iter().find(|p| p.part == name);
            let first = main.first().and_then(|p| found(&p.name));
            let mut values = vec![first.map(|p| of(p, false))];
            values.extend(main.iter().map(|p| Some(of(found(&p.name)?, true))));
            Some((d.name.clone(), values))
        });
        solved.collect()
    };
    let pressure = walk(&|p, behind| {
        let station = if behind { &p.outlet } else { &p.inlet };
        station.pressure.pascals() - ambient_pa
    });
    let temperature = walk(&|p, behind| {
        let station = if behind { &p.outlet } else { &p.inlet };
        station.temperature.value
    });
    let near_freezing = temperature
        .iter()
        .flat_map(|w| w.1.iter().flatten())
        .any(|t| *t < FREEZING_K + 10.0);
    let freezing = Limit {
        at: FREEZING_K,
        label: "water freezes".to_owned(),
    };
    let said = "From the supply at the top to the last part before the holes, one line a duty; the \
                tables of the train have the figures.";
    vec![
        Plot::new(
            "Pressure behind each part",
            format!("Gauge pressure of the fuel. {said}"),
            Figure::Walk(Walk {
                places: places.clone(),
                x: Axis::of("pressure", Kind::GaugePressure).with_zero(),
                walks: pressure,
                limits: Vec::new(),
            }),
        ),
        Plot::new(
            "Temperature behind each part",
            format!("Temperature of the fuel. {said}"),
            Figure::Walk(Walk {
                places,
                x: Axis::of("temperature", Kind::Temperature),
                walks: temperature,
                limits: if near_freezing {
                    vec![freezing]
                } else {
                    Vec::new()
                },
            }),
        ),
    ]
}

/// Flow and equivalence ratio over the opening, with the duties on them.
pub(in crate::report) fn throttle(
    name: &str,
    plan: &TrainPlan,
    study: &ThrottleStudy,
) -> Vec<Plot> {
    let curve = |of: &dyn Fn(&crate::train::CurvePoint) -> f64| {
        let points = study.curve.iter().map(|p| (p.opening, of(p)));
        vec![Series {
            name: name.to_owned(),
            points: points.collect(),
        }]
    };
    let settings = study.duties.iter().filter_map(|d| {
        let opening = *d.opening.as_ref().ok()?;
        let duty = plan.duties.iter().find(|t| t.name == d.duty)?;
        Some(Point {
            at: (opening, duty.wanted.value),
            label: d.duty.clone(),
        })
    });
    let opening = || Axis::of("opening", Kind::Ratio).with_zero();
    vec![
        Plot::new(
            format!("Fuel flow over the opening of {name}"),
            "Fuel flow against the opening of the throttle, with the duties on the curve; the table \
             of the throttle curve has the figures.",
            Figure::Lines(Lines {
                x: opening(),
                y: Axis::of("fuel", Kind::MassRate).with_zero(),
                series: curve(&|p| p.flow.value),
                points: settings.collect(),
                limits: Vec::new(),
            }),
        ),
        Plot::new(
            format!("Equivalence ratio over the opening of {name}"),
            "Equivalence ratio against the opening of the throttle, with the air that the duties \
             have; the table of the throttle curve has the figures.",
            Figure::Lines(Lines {
                x: opening(),
                y: Axis::plain("equivalence ratio").with_zero(),
                series: curve(&|p| p.equivalence_ratio.value),
                points: Vec::new(),
                limits: Vec::new(),
            }),
        ),
    ]
}
