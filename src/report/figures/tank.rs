//! Figures of a tank that is drawn down: temperature and pressure over the time.

use crate::audit::Solution;
use crate::audit::solution::RunOutcome;
use crate::quantity::Kind;
use crate::quantity::show::{Units, show};
use crate::report::plot::{Axis, Figure, Lines, Plot, Point, Series};
use crate::report::{Column, Table, Value};
use crate::tank::record::{Happening, Row, Run};
use crate::tank::schedule::Schedule;

/// Rows of a run's own table.
const ROWS: usize = 12;
/// Steps of a schedule above which what they need is no line that could be told from a band.
const MOST_STEPS: usize = 200;

/// How pressures are shown: gauge or absolute, and what is taken off, Pa.
#[derive(Clone, Copy)]
pub(in crate::report) struct Level {
    pub(in crate::report) kind: Kind,
    pub(in crate::report) zero_pa: f64,
}

/// Temperature and pressure of a run. `needed`: least pressure that feeds, over the time, where it is known.
pub(in crate::report) fn tank_run(
    run: &Run,
    needed: Option<Series>,
    level: Level,
    units: Units,
) -> Vec<Plot> {
    let series = |name: &str, of: &dyn Fn(&Row) -> f64| Series {
        name: name.to_owned(),
        points: run.rows.iter().map(|r| (r.time.value, of(r))).collect(),
    };
    let points = |of: &dyn Fn(&crate::tank::record::Event) -> f64| -> Vec<Point> {
        let shown = |e: &&crate::tank::record::Event| {
            e.what.is_failure() || e.what == Happening::LiquidGone
        };
        let events = run.events.iter().filter(shown).take(3);
        events
            .map(|e| Point {
                at: (e.time.value, of(e)),
                label: short(e.what).to_owned(),
            })
            .collect()
    };
    let temperature = series("tank", &|r| r.contents.temperature.value);
    let pressure = series("tank", &|r| r.contents.pressure.pascals() - level.zero_pa);
    let (Some(first), Some(last)) = (run.rows.first(), run.rows.last()) else {
        return Vec::new();
    };
    let said = |kind, from, to| {
        format!(
            "From {} to {} in {}.",
            show(kind, from, units),
            show(kind, to, units),
            show(Kind::Time, last.time.value, units)
        )
    };
    let time = || Axis::of("time", Kind::Time).with_zero();
    let (t, p) = (
        said(
            Kind::Temperature,
            first.contents.temperature.value,
            last.contents.temperature.value,
        ),
        said(
            level.kind,
            first.contents.pressure.pascals() - level.zero_pa,
            last.contents.pressure.pascals() - level.zero_pa,
        ),
    );
    let second = match &needed {
        Some(_) => " The second line is the least pressure that feeds the duty of the time.",
        None => "",
    };
    vec![
        Plot::new(
            "Temperature of the tank",
            format!("Temperature of the tank's contents over the run. {t}"),
            Figure::Lines(Lines {
                x: time(),
                y: Axis::of("temperature", Kind::Temperature),
                series: vec![temperature],
                points: points(&|e| e.contents.temperature.value),
                limits: Vec::new(),
            }),
        ),
        Plot::new(
            "Pressure of the tank",
            format!("Pressure of the tank over the run. {p}{second}"),
            Figure::Lines(Lines {
                x: time(),
                y: Axis::of("pressure", level.kind).with_zero(),
                series: std::iter::once(pressure).chain(needed).collect(),
                points: points(&|e| e.contents.pressure.pascals() - level.zero_pa),
                limits: Vec::new(),
            }),
        ),
    ]
}

/// Liquid of a run over the time, and of a blend what is in its vapour.
pub(in crate::report) fn contents_run(run: &Run, names: &[String], units: Units) -> Vec<Plot> {
    let series = |name: &str, of: &dyn Fn(&Row) -> f64| Series {
        name: name.to_owned(),
        points: run.rows.iter().map(|r| (r.time.value, of(r))).collect(),
    };
    let (Some(first), Some(last)) = (run.rows.first(), run.rows.last()) else {
        return Vec::new();
    };
    let time = || Axis::of("time", Kind::Time).with_zero();
    let said = |of: &dyn Fn(&Row) -> String| {
        format!(
            "From {} to {} in {}.",
            of(first),
            of(last),
            show(Kind::Time, last.time.value, units)
        )
    };
    let lines = |y: Axis, series: Vec<Series>| {
        Figure::Lines(Lines {
            x: time(),
            y,
            series,
            points: Vec::new(),
            limits: Vec::new(),
        })
    };
    let mass = said(&|r| show(Kind::Mass, r.contents.liquid.value, units));
    let mut plots = vec![Plot::new(
        "Liquid in the tank",
        format!("Mass of liquid over the run. {mass}"),
        lines(
            Axis::of("liquid", Kind::Mass).with_zero(),
            vec![series("liquid", &|r| r.contents.liquid.value)],
        ),
    )];
    if names.len() > 1 {
        let shares: Vec<String> = names
            .iter()
            .enumerate()
            .map(|(k, name)| {
                let of = |r: &Row| show(Kind::Ratio, r.contents.vapour_composition[k], units);
                format!("{name} {}", said(&of))
            })
            .collect();
        plots.push(Plot::new(
            "What is in the vapour",
            format!(
                "Share of each component of the vapour, by amount, over the run. {}",
                shares.join(" ")
            ),
            lines(
                Axis::of("share of the vapour", Kind::Ratio).with_zero(),
                names
                    .iter()
                    .enumerate()
                    .map(|(k, name)| series(name, &|r| r.contents.vapour_composition[k]))
                    .collect(),
            ),
        ));
    }
    plots
}

/// A few words for the figure.
fn short(what: Happening) -> &'static str {
    match what {
        Happening::PressureTooLow { .. } => "not fed from here",
        Happening::LiquidGone => "liquid gone",
        Happening::Condensing => "wet again",
        Happening::NoLiquid => "no liquid",
        Happening::TooCold => "at the floor",
        Happening::LiquidFull => "liquid-full",
        Happening::Empty => "empty",
        Happening::OutOfRange => "out of range",
    }
}

/// The run of a rig's schedule, with what its duties need and a table.
pub(in crate::report) fn rig_run(solution: &Solution<'_>, outcome: &RunOutcome) -> Vec<Plot> {
    let ambient_pa = solution.rig.site.air_pressure.pascals();
    let level = Level {
        kind: Kind::GaugePressure,
        zero_pa: ambient_pa,
    };
    let end_s = outcome.run.end.value;
    let needed = needed(&outcome.schedule, end_s, ambient_pa);
    let mut plots = tank_run(&outcome.run, needed, level, solution.units);
    if let Some(last) = plots.last_mut() {
        last.table = Some(table(&outcome.run, ambient_pa));
    }
    plots
}

/// Least pressure that feeds, step by step; the line breaks where nothing is asked. None of a run of very many steps.
pub(in crate::report) fn needed(
    schedule: &Schedule,
    end_s: f64,
    ambient_pa: f64,
) -> Option<Series> {
    let mut points = Vec::new();
    let mut t_s = 0.0;
    let rounds = (0..schedule.repeats).flat_map(|_| &schedule.steps);
    for (n, step) in rounds.enumerate() {
        if t_s >= end_s {
            break;
        }
        if n == MOST_STEPS {
            return None;
        }
        let until_s = (t_s + step.duration.value).min(end_s);
        let p = step
            .lowest_pressure
            .map_or(f64::NAN, |p| p.pascals() - ambient_pa);
        points.extend([(t_s, p), (until_s, p)]);
        t_s = until_s;
    }
    points.iter().any(|p| p.1.is_finite()).then(|| Series {
        name: "least that feeds".to_owned(),
        points,
    })
}

fn table(run: &Run, ambient_pa: f64) -> Table {
    let mut table = Table::new(vec![
        Column::of("time", Kind::Time),
        Column::of("temperature", Kind::Temperature),
        Column::of("pressure", Kind::GaugePressure),
        Column::of("fuel left", Kind::Mass),
    ]);
    let step = run.rows.len().div_ceil(ROWS).max(1);
    let last = run.rows.len().saturating_sub(1);
    let kept = |(i, r)| (i % step == 0 || i == last).then_some(r);
    for r in run.rows.iter().enumerate().filter_map(kept) {
        let c = &r.contents;
        table.row(vec![
            Value::of(Kind::Time, r.time.value),
            Value::of(Kind::Temperature, c.temperature.value),
            Value::of(Kind::GaugePressure, c.pressure.pascals() - ambient_pa),
            Value::of(Kind::Mass, c.mass().value),
        ]);
    }
    table
}
