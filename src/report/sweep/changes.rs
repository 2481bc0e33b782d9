//! What changes over the steps of a sweep, and what stays the same.

use super::{Step, Sweep};
use crate::audit::{Finding, Signal};
use crate::report::Report;
use crate::report::outcome::{Duty, DutyOutcome, Outcome, figures};
use crate::report::record::{Line, Row, record, table, table_of};

record! {
    /// A finding that some steps have and others have not.
    ComesAndGoes(f: &Finding, found: String) {
        (finding): Text = format!("{} {} {}", f.signal.word(), f.id, f.name), "finding";
        (at): Text = &f.at, "at";
        (found): Text = found, "found at";
    }
}

record! {
    /// What of a step belongs to no duty.
    Whole(step: &Step, outcome: &Outcome)
    with { holes = outcome.holes; }
    {
        (value): Text = &step.value, "value";
        (hole_diameter_m): Length = holes.map(|(_, d_m)| d_m), "hole diameter" 4;
        (mass_kg): Mass = outcome.mass_kg, "mass with fuel" 4;
    }
}

/// Differences below this share of a figure are rounding.
const ROUNDING: f64 = 1e-6;

/// Steps that make a rig, with what comes of them.
fn solved(sweep: &Sweep) -> impl Iterator<Item = (&Step, &Outcome)> {
    let steps = sweep.steps.iter();
    steps.filter_map(|s| Some((s, s.outcome.as_ref().ok()?)))
}

/// How far a figure of a duty moves over the steps.
fn moves_of(sweep: &Sweep, duty: &str, figure: &Line) -> f64 {
    let of = |(_, o): (_, &Outcome)| o.duty(duty)?.figures.number(figure.key);
    span(&solved(sweep).map(of).collect::<Vec<_>>())
}

/// How far values lie apart, as a share of their size; all the way where some are missing.
fn span(values: &[Option<f64>]) -> f64 {
    let known: Vec<f64> = values.iter().flatten().copied().collect();
    let low = known.iter().copied().fold(f64::INFINITY, f64::min);
    let high = known.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let share = match (known.len(), high - low) {
        (0, _) => 0.0,
        (n, _) if n < values.len() => 1.0,
        (_, span) if span > 0.0 => span / high.abs().max(low.abs()),
        _ => 0.0,
    };
    if share > ROUNDING { share } else { 0.0 }
}

/// How far a figure moves at the duty where it moves most.
pub(super) fn moves(sweep: &Sweep, figure: &Line) -> f64 {
    let names = names(sweep).into_iter();
    names
        .map(|n| moves_of(sweep, n, figure))
        .fold(0.0, f64::max)
}

fn names(sweep: &Sweep) -> Vec<&str> {
    let first = solved(sweep).next();
    let duties = first.into_iter().flat_map(|(_, o)| &o.duties);
    duties.map(|d| d.name.as_str()).collect()
}

/// Adds what changes of the duties over the steps that are shown, and once what stays.
pub(super) fn duties(report: &mut Report, sweep: &Sweep, shown: &[&Step]) {
    let moving = |duty: &str| -> Vec<&'static str> {
        let moves = figures().iter().filter(|f| moves_of(sweep, duty, f) > 0.0);
        moves.map(|f| f.key).collect()
    };
    let moved: Vec<(&str, Vec<&str>)> = names(sweep).into_iter().map(|n| (n, moving(n))).collect();
    let of = |name: &str| {
        let found = moved.iter().find(|(n, _)| *n == name);
        found.map_or(&[][..], |(_, keys)| keys.as_slice())
    };
    let of_step = |step: &&Step| {
        let mut value = step.value.as_str();
        let duties = step.outcome.iter().flat_map(|o| &o.duties);
        let duties = duties.filter(|d| !of(&d.name).is_empty());
        let rows = duties.map(|d| Duty::row(std::mem::take(&mut value), d));
        rows.collect::<Vec<Row>>()
    };
    let rows: Vec<Row> = shown.iter().flat_map(of_step).collect();
    let with = |first: &[&'static str], keep: &dyn Fn(&str) -> bool| {
        let keys = figures().iter().map(|f| f.key).filter(|key| keep(key));
        first.iter().copied().chain(keys).collect::<Vec<&str>>()
    };
    let any = |key: &str| moved.iter().any(|(_, keys)| keys.contains(&key));
    report.table("Duties", table_of(&rows, &with(&["value", "name"], &any)));
    let Some((_, outcome)) = solved(sweep).next() else {
        return;
    };
    let rows = shown
        .iter()
        .filter_map(|s| Some(Whole::row(s, s.outcome.as_ref().ok()?)));
    let rows: Vec<Row> = rows.collect();
    let moving = |key: &&str| span(&rows.iter().map(|r| r.number(key)).collect::<Vec<_>>()) > 0.0;
    let keys = ["hole_diameter_m", "mass_kg"].into_iter().filter(moving);
    let keys: Vec<&str> = std::iter::once("value").chain(keys).collect();
    if keys.len() > 1 {
        report.table("Holes and mass", table_of(&rows, &keys));
    }
    let still = |d: &DutyOutcome| {
        let figures = d.figures.without(of(&d.name));
        (figures.has_numbers()).then(|| {
            Duty::row(
                "",
                &DutyOutcome {
                    figures,
                    ..d.clone()
                },
            )
        })
    };
    let rows: Vec<Row> = outcome.duties.iter().filter_map(still).collect();
    let there = |key: &str| rows.iter().any(|r| r.number(key).is_some());
    report.table(STAYS, table_of(&rows, &with(&["name"], &there)));
}

/// Heading of what stays.
const STAYS: &str = "The same at every step";

/// Adds the findings that come and go, and once those that stay.
pub(super) fn findings(report: &mut Report, sweep: &Sweep) {
    let steps: Vec<(&Step, &Outcome)> = solved(sweep).collect();
    let same = |f: &Finding, g: &Finding| (f.id, f.signal, &f.at) == (g.id, g.signal, &g.at);
    let mut all: Vec<&Finding> = Vec::new();
    for f in steps.iter().flat_map(|(_, o)| &o.findings) {
        if all.iter().all(|g| !same(f, g)) {
            all.push(f);
        }
    }
    let (mut rows, mut stay) = (Vec::new(), Vec::new());
    for f in all {
        let found = |o: &Outcome| o.findings.iter().any(|g| same(f, g));
        if steps.iter().all(|(_, o)| found(o)) {
            stay.push(f);
            continue;
        }
        let runs = steps.chunk_by(|(_, a), (_, b)| found(a) == found(b));
        let runs = runs.filter(|run| found(run[0].1));
        let runs = runs.map(|run| match run {
            [(only, _)] => only.value.clone(),
            [(first, _), .., (last, _)] => format!("{} to {}", first.value, last.value),
            [] => String::new(),
        });
        rows.push(ComesAndGoes::row(f, runs.collect::<Vec<_>>().join(", ")));
    }
    report.table("Findings that come and go", table(&rows));
    let told = |signal: Signal| {
        let of: Vec<_> = stay.iter().filter(|f| f.signal == signal).collect();
        match (signal, of.len()) {
            (_, 0) => None,
            (Signal::Danger | Signal::Warning, _) => {
                let at = of.iter().map(|f| format!("{} {} ({})", f.id, f.name, f.at));
                Some(format!(
                    "{} {}",
                    signal.word(),
                    at.collect::<Vec<_>>().join(", ")
                ))
            }
            (_, n) => Some(format!("{n} {}", signal.word())),
        }
    };
    let told: Vec<String> = Signal::ALL.into_iter().filter_map(told).collect();
    match (steps.is_empty(), told.is_empty()) {
        (true, _) => {}
        (_, true) if rows.is_empty() => report.remark("The rules find nothing at any step."),
        (_, true) => {}
        _ => report.remark(format!("Found at every step: {}.", told.join("; "))),
    }
}
