//! Bands and drivers of a rig for people and machines.

use super::plot::{Axis, Bar, Bars, Figure, Plot};
use super::record::{Line, Row, record, table};
use super::{Column, Report, Table, Value};
use crate::audit::Solution;
use crate::fuel::Library;
use crate::quantity::Kind;
use crate::quantity::show::{banded, number, percent, show, signed, significant};
use crate::tolerance::beside::{Beside, beside};
use crate::tolerance::{DutyTolerance, Input, Path, Quantile, Quantity, Share, Spread, Tolerance};

/// Half of the samples off by more than this, as a share of what is wanted, is said; our choice.
const OFF_WANTED: f64 = 0.1;
/// Inputs that explain less at every duty are not in the table; our choice.
const LEAST_SHOWN: f64 = 0.005;

record! {
    /// A figure that bands move besides.
    Besides(b: &Beside, solution: &Solution<'_>)
    with { show = |si| show(b.kind, si, solution.units); }
    {
        name: Text = &b.name, "figure";
        value: Number = b.value, "as given" => Text = show(b.value);
        low: Number = b.low, "from" => Text = show(b.low);
        high: Number = b.high, "to" => Text = show(b.high);
        /// SI unit of the three.
        unit: Text = b.kind.si_unit();
        basis: Text = &b.basis, "bands" [optional];
    }

    /// An input that varies.
    Varies(input: &Input, solution: &Solution<'_>)
    with {
        end = |x: f64| {
            let shown = solution.show(input.unit(), x);
            if x > 0.0 { format!("+{shown}") } else { shown }
        };
    }
    {
        name: Text = &input.name, "input";
        low: Number = input.low, "from" => Text = end(input.low);
        high: Number = input.high, "to" => Text = end(input.high);
        /// Whether both ends are relative or kelvins.
        unit: Text = if input.unit() == Kind::Ratio { "relative" } else { "K" };
        basis: Text = input.basis, "band from" [optional];
    }

    /// What an input has in the spread.
    Drives(input: &Input, share: Option<Share>) {
        /// Its name.
        input: Text = &input.name;
        /// Share of the variance, first order.
        share: Number = share.map(|s| s.value);
        /// Standard error of the share.
        standard_error: Number = share.map(|s| s.error);
    }

    /// Spread of a figure, SI.
    Spreads(duty: &str, of: &Line, spread: &Spread, found: &Tolerance)
    with {
        band = &spread.band;
        interval = |q: Quantile| vec![q.least, q.most];
        drivers = found.inputs.iter().zip(&spread.drivers).map(|(input, s)| Drives::row(input, *s));
    }
    {
        (duty): Text = duty, "duty";
        nominal: Number = spread.nominal, "as given";
        /// How many samples have it.
        count: Count = band.count;
        /// Mean.
        mean: Number = band.mean;
        /// Standard deviation.
        standard_deviation: Number = band.deviation;
        /// 5 % of the samples are below.
        p05: Number = band.low.value, "5 %";
        /// Half of the samples are below.
        p50: Number = band.middle.value, "50 %";
        /// 95 % of the samples are below.
        p95: Number = band.high.value, "95 %";
        (spread): Text = either_way(of, spread), "spread";
        /// What the few samples leave open of `p05`, at 95 %.
        p05_interval: Numbers = interval(band.low);
        /// The same of `p50`.
        p50_interval: Numbers = interval(band.middle);
        /// The same of `p95`.
        p95_interval: Numbers = interval(band.high);
        drivers: Rows(Drives) = drivers.collect::<Vec<_>>();
    }

    /// The figures whose spread is asked for; what is shown is the middle.
    SpreadFigures(duty: &DutyTolerance, found: &Tolerance)
    with {
        row = |of| duty.spread(of).map(|s| Spreads::row(&duty.name, about(of), s, found));
        middle = |of| duty.spread(of).map(|s| s.band.middle.value);
    }
    {
        fuel_flow_kg_s: Row(Spreads) = row(Quantity::Flow), "Fuel flow" => MassRate = middle(Quantity::Flow);
        equivalence_ratio: Row(Spreads) = row(Quantity::EquivalenceRatio), "Equivalence ratio"
            => Number = middle(Quantity::EquivalenceRatio);
        heat_release_w: Row(Spreads) = row(Quantity::Heat), "Heat release" => Power = middle(Quantity::Heat);
        exit_temperature_k: Row(Spreads) = row(Quantity::Exit), "Exit temperature"
            => Temperature = middle(Quantity::Exit);
    }

    /// A place that may be hotter than its material stands.
    Hotter(duty: &str, place: &str, share: f64) {
        (duty): Text = duty, "duty";
        place: Text = place, "place";
        share: Ratio = share, "samples above its limit" => Text = percent(share);
    }

    /// A duty.
    Duty(duty: &DutyTolerance, found: &Tolerance)
    with {
        fit_error = match duty.path {
            Path::Fitted { worst, .. } => Some(worst),
            Path::Whole { .. } => None,
        };
    }
    {
        /// Its name.
        name: Text = &duty.name;
        /// Samples that get no fuel, or have no answer.
        not_fed: Count = duty.not_fed;
        /// Why, for the first of them.
        why_not_fed: Text = duty.why_not.as_deref();
        /// Whether the train gives its fuel; else the holes alone are looked at.
        train: Flag = duty.path.has_train();
        /// Largest error of the surface that stands for the rig, relative; null: every sample is solved.
        fit_error: Number = fit_error;
        ..spreads: Row(SpreadFigures) = SpreadFigures::row(duty, found);
        hotter_than_limit: Rows(Hotter) = hotter(duty);
    }

    /// What bands on the inputs make of the results.
    Bands(found: &Tolerance, beside: Vec<Row>, inputs: Vec<Row>, duties: Vec<Row>) {
        beside: Rows(Besides) = beside;
        /// How many samples were drawn.
        samples: Count = found.sampling.samples();
        /// Seed of the draws.
        seed: Count = found.sampling.seed();
        inputs: Rows(Varies) = inputs;
        duties: Rows(Duty) = duties;
    }
}

/// A quantity: key, name, kind.
fn about(of: Quantity) -> &'static Line {
    &SpreadFigures::shape().lines[of as usize]
}

/// Either end of the band from its middle, in words.
fn either_way(of: &Line, spread: &Spread) -> String {
    let [low, middle, high] =
        [spread.band.low, spread.band.middle, spread.band.high].map(|q| q.value);
    if of.kind() == Some(Kind::Temperature) {
        // a share of an absolute temperature says nothing
        return format!("±{} K", number((high - low) / 2.0));
    }
    let to = |x: f64| signed(100.0 * (x / middle - 1.0));
    format!("{} {} %", to(low), to(high))
}

fn hotter(duty: &DutyTolerance) -> Vec<Row> {
    let hotter = duty.hotter.iter();
    hotter
        .map(|(place, share)| Hotter::row(&duty.name, place, *share))
        .collect()
}

/// Adds bands, drivers and what they rest on.
pub fn tolerance(
    report: &mut Report,
    library: &Library,
    solution: &Solution<'_>,
    found: &Tolerance,
) {
    let duties = found.duties.iter();
    let duties: Vec<Row> = duties.map(|d| Duty::row(d, found)).collect();
    for of in Quantity::ALL {
        let name = about(of).name();
        report.table(name, bands(&duties, about(of)));
        report.plot(name, figure(found, of));
    }
    let limits = duties.iter().flat_map(|d| d.rows("hotter_than_limit"));
    let limits: Vec<Row> = limits
        .filter(|h| h.number("share") > Some(0.0))
        .cloned()
        .collect();
    report.table("Hotter than the material stands", table(&limits));
    for of in [Quantity::EquivalenceRatio, Quantity::Flow] {
        let name = about(of).name().to_lowercase();
        report.table(&format!("What drives the {name}"), drivers(found, of));
    }
    let inputs = found.inputs.iter();
    let inputs: Vec<Row> = inputs.map(|i| Varies::row(i, solution)).collect();
    report.table("Inputs that vary", table(&inputs));
    let beside = beside(solution).into_iter();
    let beside: Vec<Row> = beside.map(|b| Besides::row(&b, solution)).collect();
    report.table("Other figures that the bands move", table(&beside));
    remarks(report, found);
    near_limits(report, solution, found);
    for key in ["jcgm100", "jcgm101", "pearson1905", "kelley1935"] {
        report.cite(library, key);
    }
    report.keys(&Bands::row(found, beside, inputs, duties));
}

/// The bands of a quantity, a row a duty.
fn bands(duties: &[Row], of: &Line) -> Table {
    let rows: Vec<Row> = duties
        .iter()
        .filter_map(|d| d.row(of.key).cloned())
        .collect();
    let mut table = table(&rows);
    let Some(kind) = of.kind() else { return table };
    for column in table.columns.iter_mut().filter(|c| c.digits == 3) {
        column.kind = Some(kind);
    }
    for cell in table.rows.iter_mut().flatten() {
        if let Value::Number(si) = *cell {
            *cell = Value::Quantity { kind, si };
        }
    }
    table
}

/// The bands as points with a bar, one a duty.
fn figure(found: &Tolerance, of: Quantity) -> Plot {
    let name = about(of).name();
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
    let kind = about(of).kind();
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
        Value::Text(number(100.0 * (1.0 - sum)))
    }));
    table.row(row);
    table
}

fn share_text(s: Share) -> String {
    let [share, error] = [s.value.max(0.0), s.error].map(|x| 100.0 * x);
    let [value, ..] = banded(share, share - error, share + error);
    format!("{value} ±{}", significant(error, 2))
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
                "{}: the rig as it stands gives {} times the fuel that the duty wants: set a throttle, or change what sets the pressure.",
                duty.name,
                number(band.middle.value / wanted)
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
            "Fuel flows of {} of {} duties are read from a surface fitted to the sums of the whole rig; at 16 random points each it is off by {} at most. `--whole` solves every sample.",
            fitted.len(),
            found.duties.len(),
            percent(worst)
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
                format!(": {} of the samples are hotter", percent(*share))
            });
            report.remark(format!(
                "{}: the limit of the {} ({}, {}) {place} ({} to {}){share}.",
                duty.name,
                limit.place,
                limit.material,
                show(Kind::Temperature, most, solution.units),
                show(Kind::Temperature, low, solution.units),
                show(Kind::Temperature, high, solution.units),
            ));
        }
    }
}
