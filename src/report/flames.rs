//! Flames of a rig's duties: primary zone and exit, dew point of the exhaust, margin to every material's limit.

use super::{Column, Report, Table, Value, json};
use crate::audit::{DutySolution, Solution};
use crate::combustion::flame::Flame;
use crate::quantity::Kind;
use serde_json::{Value as Json, json};

fn maybe(kind: Kind, si: Option<f64>) -> Value {
    si.map_or(Value::Absent, |si| Value::Quantity { kind, si })
}

fn primary(duty: &DutySolution) -> Option<&Flame> {
    duty.primary.as_ref()?.as_ref().ok()
}

/// Adds both tables and the key `limits`.
pub fn flames(report: &mut Report, solution: &Solution<'_>) {
    report.table("Flame at each duty", zones(solution));
    report.table("Exit against materials", margins(solution));
    let limits = worst(solution).map(|w| {
        json!({
            "place": w.place, "material": w.material, "duty": w.duty,
            "limit_k": json::number(w.limit_k),
            "exit_temperature_k": json::number(w.exit_k),
            "margin_k": json::number(w.limit_k - w.exit_k),
        })
    });
    report.key("limits", limits.collect::<Vec<Json>>());
}

fn zones(solution: &Solution<'_>) -> Table {
    let staged = solution.duties.iter().any(|d| d.primary.is_some());
    let mut columns = vec![Column::new("duty")];
    if staged {
        columns.push(Column::new("primary equivalence ratio").digits(3));
        columns.push(Column::of("primary zone", Kind::Temperature).digits(4));
    }
    columns.push(Column::new("exit equivalence ratio").digits(3));
    columns.push(Column::of("exit", Kind::Temperature).digits(4));
    columns.push(Column::of("rise", Kind::TemperatureDifference).digits(3));
    columns.push(Column::of("exhaust dew point", Kind::Temperature).digits(3));
    let mut table = Table::new(columns);
    for duty in &solution.duties {
        let Ok(exit) = &duty.exit else { continue };
        let mut row = vec![Value::Text(duty.name.clone())];
        if staged {
            let zone = primary(duty);
            row.push(zone.map_or(Value::Absent, |f| Value::Number(f.equivalence_ratio.value)));
            row.push(maybe(Kind::Temperature, zone.map(|f| f.temperature.value)));
        }
        row.push(Value::Number(exit.equivalence_ratio.value));
        row.push(maybe(Kind::Temperature, Some(exit.temperature.value)));
        row.push(maybe(
            Kind::TemperatureDifference,
            Some(exit.temperature_rise().value),
        ));
        row.push(maybe(
            Kind::Temperature,
            exit.exhaust_dew_point().map(|t| t.value),
        ));
        table.row(row);
    }
    table
}

struct Worst<'a> {
    place: &'a str,
    material: &'a str,
    duty: &'a str,
    limit_k: f64,
    exit_k: f64,
}

/// Every limit with the duty that comes nearest to it.
fn worst<'a>(solution: &'a Solution<'_>) -> impl Iterator<Item = Worst<'a>> {
    let hottest = solution
        .duties
        .iter()
        .filter_map(|d| Some((d, d.exit.as_ref().ok()?.temperature.value)))
        .max_by(|a, b| a.1.total_cmp(&b.1));
    solution.rig.limits.iter().filter_map(move |l| {
        let (duty, exit_k) = hottest?;
        Some(Worst {
            place: &l.place,
            material: &l.material,
            duty: &duty.name,
            limit_k: l.max_temperature.value,
            exit_k,
        })
    })
}

fn margins(solution: &Solution<'_>) -> Table {
    let mut table = Table::new(vec![
        Column::new("place"),
        Column::new("material"),
        Column::of("limit", Kind::Temperature).digits(4),
        Column::of("hottest exit", Kind::Temperature).digits(4),
        Column::of("margin", Kind::TemperatureDifference).digits(3),
        Column::new("duty"),
    ]);
    for w in worst(solution) {
        table.row(vec![
            Value::Text(w.place.to_owned()),
            Value::Text(w.material.to_owned()),
            maybe(Kind::Temperature, Some(w.limit_k)),
            maybe(Kind::Temperature, Some(w.exit_k)),
            maybe(Kind::TemperatureDifference, Some(w.limit_k - w.exit_k)),
            Value::Text(w.duty.to_owned()),
        ]);
    }
    table
}
