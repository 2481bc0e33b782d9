//! Bands and drivers of a rig for people and machines.

use super::plot::{Axis, Bar, Bars, Figure, Plot};
use super::{Column, Report, Table, Value, json};
use crate::audit::Solution;
use crate::fuel::Library;
use crate::quantity::Kind;
use crate::quantity::show::{fixed, show_digits, signed};
use crate::tolerance::beside::{Beside, beside};
use crate::tolerance::{Band, DutyTolerance, Input, Path, Quantity, Share, Spread, Tolerance};
use serde_json::{Map, Value as Json, json};

/// Half of the samples off by more than this, as a share of what is wanted, is said; our choice.
const OFF_WANTED: f64 = 0.1;
/// Inputs that explain less at every duty are not in the table; our choice.
const LEAST_SHOWN: f64 = 0.005;

/// What a quantity is called, its JSON key and its kind; a plain number has none.
fn about(of: Quantity) -> (&'static str, &'static str, Option<Kind>) {
    match of {
        Quantity::Flow => ("Fuel flow", "fuel_flow_kg_s", Some(Kind::MassRate)),
        Quantity::EquivalenceRatio => ("Equivalence ratio", "equivalence_ratio", None),
        Quantity::Heat => ("Heat release", "heat_release_w", Some(Kind::Power)),
        Quantity::Exit => (
            "Exit temperature",
            "exit_temperature_k",
            Some(Kind::Temperature),
        ),
    }
}

/// Adds bands, drivers and what they rest on.
pub fn tolerance(
    report: &mut Report,
    library: &Library,
    solution: &Solution<'_>,
    found: &Tolerance,
) {
    for of in Quantity::ALL {
        report.table(about(of).0, bands(found, of));
        report.plot(about(of).0, figure(found, of));
    }
    let limits = limits(found);
    report.table("Hotter than the material stands", limits);
    for of in [Quantity::EquivalenceRatio, Quantity::Flow] {
        let name = about(of).0.to_lowercase();
        report.table(&format!("What drives the {name}"), drivers(found, of));
    }
    report.table("Inputs that vary", inputs(solution, found));
    let beside = beside(solution);
    report.table(
        "Other figures that the bands move",
        besides(solution, &beside),
    );
    remarks(report, found);
    near_limits(report, solution, found);
    for key in ["jcgm100", "jcgm101", "pearson1905", "kelley1935"] {
        report.cite(library, key);
    }
    report.key("beside", beside.iter().map(beside_json).collect::<Vec<_>>());
    report.key("samples", found.sampling.samples());
    report.key("seed", found.sampling.seed());
    report.key(
        "inputs",
        Json::Array(found.inputs.iter().map(input_json).collect()),
    );
    report.key(
        "duties",
        Json::Array(found.duties.iter().map(|d| duty_json(d, found)).collect()),
    );
}

fn besides(solution: &Solution<'_>, all: &[Beside]) -> Table {
    let heads = ["figure", "as given", "from", "to"].map(Column::new);
    let mut table = Table::new(
        heads
            .into_iter()
            .chain([Column::new("bands").optional()])
            .collect(),
    );
    for b in all {
        let show = |si| Value::Text(show_digits(b.kind, si, solution.units, 3));
        table.row(vec![
            Value::Text(b.name.clone()),
            show(b.value),
            show(b.low),
            show(b.high),
            Value::Text(b.basis.clone()),
        ]);
    }
    table
}

fn beside_json(b: &Beside) -> Json {
    json!({
        "name": b.name,
        "value": json::number(b.value),
        "low": json::number(b.low),
        "high": json::number(b.high),
        "unit": b.kind.si_unit(),
        "basis": b.basis,
    })
}

fn value(kind: Option<Kind>, x: f64) -> Value {
    kind.map_or(Value::Number(x), |kind| Value::Quantity { kind, si: x })
}

fn bands(found: &Tolerance, of: Quantity) -> Table {
    let kind = about(of).2;
    let column = |heading: &str| {
        let column = match kind {
            Some(kind) => Column::of(heading, kind),
            None => Column::new(heading),
        };
        column.digits(3)
    };
    let mut table = Table::new(vec![
        Column::new("duty"),
        column("as given"),
        column("5 %"),
        column("50 %"),
        column("95 %"),
        Column::new("spread"),
    ]);
    for duty in &found.duties {
        let Some(Spread { nominal, band, .. }) = duty.spread(of) else {
            continue;
        };
        let middle = band.middle.value;
        let spread = if kind == Some(Kind::Temperature) {
            // a share of an absolute temperature says nothing
            format!("±{:.0} K", (band.high.value - band.low.value) / 2.0)
        } else {
            let to = |x: f64| signed(100.0 * (x / middle - 1.0), 1);
            format!("{} {} %", to(band.low.value), to(band.high.value))
        };
        table.row(vec![
            Value::Text(duty.name.clone()),
            nominal.map_or(Value::Absent, |x| value(kind, x)),
            value(kind, band.low.value),
            value(kind, middle),
            value(kind, band.high.value),
            Value::Text(spread),
        ]);
    }
    table
}

/// The bands as points with a bar, one a duty.
fn figure(found: &Tolerance, of: Quantity) -> Plot {
    let (name, _, kind) = about(of);
    let bars = found
        .duties
        .iter()
        .filter_map(|d| {
            let band = d.spread(of)?.band;
            Some(Bar {
                name: d.name.clone(),
                value: band.middle.value,
                band: Some((band.low.value, band.high.value)),
                group: None,
            })
        })
        .collect();
    let x = kind.map_or_else(|| Axis::plain(name), |kind| Axis::of(name, kind));
    let bars = Bars {
        x,
        bars,
        limits: Vec::new(),
    };
    Plot::new(
        format!("{name} with its band"),
        format!(
            "{name} of each duty: half of the samples on either side of the point, nine in ten inside the bar."
        ),
        Figure::Bars(bars),
    )
}

fn limits(found: &Tolerance) -> Table {
    let places = |d: &DutyTolerance| d.hotter.iter().any(|(_, share)| *share > 0.0);
    let mut table = Table::new(vec![
        Column::new("duty"),
        Column::new("place"),
        Column::new("samples above its limit"),
    ]);
    for duty in found.duties.iter().filter(|d| places(d)) {
        for (place, share) in duty.hotter.iter().filter(|(_, share)| *share > 0.0) {
            table.row(vec![
                Value::Text(duty.name.clone()),
                Value::Text(place.clone()),
                Value::Text(format!("{:.1} %", 100.0 * share)),
            ]);
        }
    }
    table
}

fn drivers(found: &Tolerance, of: Quantity) -> Table {
    let spreads: Vec<(&str, &Spread)> = found
        .duties
        .iter()
        .filter_map(|d| Some((d.name.as_str(), d.spread(of)?)))
        .filter(|(_, s)| s.drivers.iter().any(Option::is_some))
        .collect();
    let mut columns = vec![Column::new("share of variance, %")];
    columns.extend(spreads.iter().map(|(name, _)| Column::new(*name)));
    let mut table = Table::new(columns);
    if spreads.is_empty() {
        return table;
    }
    let largest = |j: usize| {
        let shares = spreads.iter().filter_map(|(_, s)| s.drivers[j]);
        shares.map(|s| s.value).fold(0.0, f64::max)
    };
    let mut order: Vec<usize> = (0..found.inputs.len()).collect();
    order.sort_by(|&a, &b| largest(b).total_cmp(&largest(a)));
    for j in order.into_iter().filter(|&j| largest(j) >= LEAST_SHOWN) {
        let mut row = vec![Value::Text(found.inputs[j].name.clone())];
        row.extend(
            spreads
                .iter()
                .map(|(_, s)| s.drivers[j].map_or(Value::Absent, |s| Value::Text(share_text(s)))),
        );
        table.row(row);
    }
    let mut row = vec![Value::Text("all others, joint effects, chance".to_owned())];
    row.extend(spreads.iter().map(|(_, s)| {
        let shown = (0..found.inputs.len()).filter(|&j| largest(j) >= LEAST_SHOWN);
        let sum: f64 = shown.filter_map(|j| s.drivers[j]).map(|s| s.value).sum();
        Value::Text(fixed(100.0 * (1.0 - sum), 1))
    }));
    table.row(row);
    table
}

fn share_text(s: Share) -> String {
    format!("{:.1} ±{:.1}", 100.0 * s.value.max(0.0), 100.0 * s.error)
}

fn inputs(solution: &Solution<'_>, found: &Tolerance) -> Table {
    let mut table = Table::new(vec![
        Column::new("input"),
        Column::new("from"),
        Column::new("to"),
        Column::new("band from").optional(),
    ]);
    for input in &found.inputs {
        let end = |x: f64| {
            let shown = solution.show(input.unit(), x);
            Value::Text(if x > 0.0 { format!("+{shown}") } else { shown })
        };
        table.row(vec![
            Value::Text(input.name.clone()),
            end(input.low),
            end(input.high),
            Value::Text(input.basis.to_owned()),
        ]);
    }
    table
}

fn remarks(report: &mut Report, found: &Tolerance) {
    let n = found.sampling.samples();
    for duty in &found.duties {
        if let Some(why) = &duty.why_not {
            report.remark(format!(
                "{}: {} of {n} samples get no fuel, or have no answer; in the first of them: {why}.",
                duty.name, duty.not_fed
            ));
        }
        if !duty.path.has_train() {
            report.remark(format!(
                "{}: the train does not give this duty its fuel (`fuelwright train` says why): its spread is that of the holes alone, from the pressure given before them.",
                duty.name
            ));
        }
        if let Some(Spread {
            nominal: Some(wanted),
            band,
            ..
        }) = duty.spread(Quantity::Flow)
            && (band.middle.value / wanted - 1.0).abs() > OFF_WANTED
        {
            report.remark(format!(
                "{}: the rig as it stands gives {:.2} times the fuel that the duty wants: set a throttle, or change what sets the pressure.",
                duty.name,
                band.middle.value / wanted
            ));
        }
        if duty.spread(Quantity::Flow).is_some() && duty.spread(Quantity::Exit).is_none() {
            report.remark(format!(
                "{}: no spread of the exit temperature: no flame over the whole range, or one that bends too sharply to tabulate.",
                duty.name
            ));
        }
    }
    let fitted: Vec<f64> = found
        .duties
        .iter()
        .filter_map(|d| match d.path {
            Path::Fitted { worst, .. } => Some(worst),
            Path::Whole { .. } => None,
        })
        .collect();
    if let Some(worst) = fitted.iter().copied().reduce(f64::max) {
        report.remark(format!(
            "Fuel flows of {} of {} duties are read from a surface fitted to the sums of the whole rig; at 16 random points each it is off by {:.3} % at most. `--whole` solves every sample.",
            fitted.len(),
            found.duties.len(),
            100.0 * worst
        ));
    }
    report.assume("every value inside a band is equally likely and none outside it happens [jcgm100]; inputs vary independently [jcgm101]");
    report.assume("all holes are alike: one drill, one coefficient");
    report.assume("the throttle stays where the rig as given needs it: nobody trims it by flame, meter or gauge");
    report.assume("shares of variance are first-order: squared correlation ratio of sorted bins with a straight line in each, freed of its bias, with a jackknife error [pearson1905, kelley1935]");
    if !found.without.is_empty() {
        report.assume(format!(
            "taken as exact, because `[tolerance]` gives no band: {}",
            found.without.join(", ")
        ));
    }
}

/// Limits of materials that lie inside the band of the exit, or below it.
fn near_limits(report: &mut Report, solution: &Solution<'_>, found: &Tolerance) {
    for duty in &found.duties {
        let Some(Spread { band, .. }) = duty.spread(Quantity::Exit) else {
            continue;
        };
        let (low, high) = (band.low.value, band.high.value);
        for limit in &solution.rig.limits {
            let most = limit.max_temperature.value;
            if most >= high {
                continue;
            }
            let place = if most > low {
                "lies inside the band of the exit"
            } else {
                "lies below the whole band of the exit"
            };
            let share = duty.hotter.iter().find(|(place, _)| *place == limit.place);
            let share = share.map_or(String::new(), |(_, share)| {
                format!(": {:.1} % of the samples are hotter", 100.0 * share)
            });
            report.remark(format!(
                "{}: the limit of the {} ({}, {}) {place} ({} to {}){share}.",
                duty.name,
                limit.place,
                limit.material,
                show_digits(Kind::Temperature, most, solution.units, 3),
                show_digits(Kind::Temperature, low, solution.units, 3),
                show_digits(Kind::Temperature, high, solution.units, 3),
            ));
        }
    }
}

fn input_json(input: &Input) -> Json {
    json!({
        "name": input.name,
        "low": json::number(input.low),
        "high": json::number(input.high),
        "unit": if input.unit() == Kind::Ratio { "relative" } else { "K" },
        "basis": input.basis,
    })
}

fn duty_json(duty: &DutyTolerance, found: &Tolerance) -> Json {
    let mut map = Map::new();
    map.insert("name".to_owned(), json!(duty.name));
    map.insert("not_fed".to_owned(), json!(duty.not_fed));
    map.insert("why_not_fed".to_owned(), json!(duty.why_not));
    map.insert("train".to_owned(), json!(duty.path.has_train()));
    let fit = match duty.path {
        Path::Fitted { worst, .. } => json::number(worst),
        Path::Whole { .. } => Json::Null,
    };
    map.insert("fit_error".to_owned(), fit);
    for of in Quantity::ALL {
        let json = duty
            .spread(of)
            .map_or(Json::Null, |s| spread_json(s, found));
        map.insert(about(of).1.to_owned(), json);
    }
    let hotter = duty
        .hotter
        .iter()
        .map(|(place, share)| json!({"place": place, "share": json::number(*share)}));
    map.insert(
        "hotter_than_limit".to_owned(),
        Json::Array(hotter.collect()),
    );
    Json::Object(map)
}

fn spread_json(spread: &Spread, found: &Tolerance) -> Json {
    let Band {
        count,
        mean,
        deviation,
        low,
        middle,
        high,
    } = spread.band;
    let interval = |q: crate::tolerance::Quantile| {
        Json::Array(vec![json::number(q.least), json::number(q.most)])
    };
    let drivers = found.inputs.iter().zip(&spread.drivers).map(|(input, s)| {
        json!({
            "input": input.name,
            "share": s.map_or(Json::Null, |s| json::number(s.value)),
            "standard_error": s.map_or(Json::Null, |s| json::number(s.error)),
        })
    });
    json!({
        "nominal": spread.nominal.map_or(Json::Null, json::number),
        "count": count,
        "mean": json::number(mean),
        "standard_deviation": json::number(deviation),
        "p05": json::number(low.value),
        "p50": json::number(middle.value),
        "p95": json::number(high.value),
        "p05_interval": interval(low),
        "p50_interval": interval(middle),
        "p95_interval": interval(high),
        "drivers": Json::Array(drivers.collect()),
    })
}
