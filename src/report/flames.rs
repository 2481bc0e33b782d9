//! Flames of a rig's duties: primary zone and exit, dew point of the exhaust, margin to every material's limit.

use super::{Column, Report, Table, Value, json};
use crate::audit::{DutySolution, Solution};
use crate::combustion::flame::Flame;
use crate::quantity::Kind;
use serde_json::json;

fn primary(duty: &DutySolution) -> Option<&Flame> {
    duty.primary.as_ref()?.as_ref().ok()
}

/// Adds both tables and the key `limits`.
pub fn flames(report: &mut Report, solution: &Solution<'_>) {
    report.table("Flame at each duty", zones(solution));
    report.table("Exit with the fuel that the train gives", fed(solution));
    limits(report, worst(solution));
}

/// Adds every limit with the hottest exit beside it: the table and the key `limits`.
pub(super) fn limits<'a>(report: &mut Report, all: impl Iterator<Item = Worst<'a>>) {
    let mut table = Table::new(vec![
        Column::new("place"),
        Column::new("material"),
        Column::of("limit", Kind::Temperature).digits(4),
        Column::of("hottest exit", Kind::Temperature).digits(4),
        Column::of("margin", Kind::TemperatureDifference).digits(3),
        Column::new("duty"),
    ]);
    let mut list = Vec::new();
    for w in all {
        let margin_k = w.limit_k - w.exit_k;
        table.row(vec![
            Value::Text(w.place.to_owned()),
            Value::Text(w.material.to_owned()),
            Value::of(Kind::Temperature, w.limit_k),
            Value::of(Kind::Temperature, w.exit_k),
            Value::of(Kind::TemperatureDifference, margin_k),
            Value::Text(if w.as_fed {
                format!("{}, as fed", w.duty)
            } else {
                w.duty.to_owned()
            }),
        ]);
        list.push(json!({
            "place": w.place, "material": w.material, "duty": w.duty,
            "limit_k": json::number(w.limit_k),
            "exit_temperature_k": json::number(w.exit_k),
            "margin_k": json::number(margin_k),
            "as_fed": w.as_fed,
        }));
    }
    report.table("Exit against materials", table);
    report.key("limits", list);
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
            row.push(Value::of(
                Kind::Temperature,
                zone.map(|f| f.temperature.value),
            ));
        }
        row.push(Value::Number(exit.equivalence_ratio.value));
        row.push(Value::of(Kind::Temperature, Some(exit.temperature.value)));
        row.push(Value::of(
            Kind::TemperatureDifference,
            Some(exit.temperature_rise().value),
        ));
        row.push(Value::of(
            Kind::Temperature,
            exit.exhaust_dew_point().map(|t| t.value),
        ));
        table.row(row);
    }
    table
}

/// Duties whose flow no valve sets: what the train gives them, and the exit that follows.
fn fed(solution: &Solution<'_>) -> Table {
    let mut table = Table::new(vec![
        Column::new("duty"),
        Column::of("wanted", Kind::MassRate),
        Column::of("train gives", Kind::MassRate),
        Column::new("equivalence ratio then").digits(3),
        Column::of("exit wanted", Kind::Temperature).digits(4),
        Column::of("exit then", Kind::Temperature).digits(4),
    ]);
    for duty in &solution.duties {
        let Some(fed) = solution.as_fed(duty) else {
            continue;
        };
        let wanted = duty.demand.as_ref().ok().map(|d| d.fuel.value);
        let then = fed.exit.as_ref().ok().map(|f| f.temperature.value);
        table.row(vec![
            Value::Text(duty.name.clone()),
            Value::of(Kind::MassRate, wanted),
            Value::of(Kind::MassRate, fed.fuel.value),
            Value::Number(fed.equivalence_ratio.value),
            Value::of(Kind::Temperature, duty.exit_temperature().map(|t| t.value)),
            Value::of(Kind::Temperature, then),
        ]);
    }
    table
}

/// A limit of a material and the hottest exit beside it.
pub(super) struct Worst<'a> {
    pub(super) place: &'a str,
    pub(super) material: &'a str,
    pub(super) duty: &'a str,
    pub(super) limit_k: f64,
    pub(super) exit_k: f64,
    /// With the fuel that the train gives, not with what the duty wants.
    pub(super) as_fed: bool,
}

/// Every limit with the duty that comes nearest to it.
fn worst<'a>(solution: &'a Solution<'_>) -> impl Iterator<Item = Worst<'a>> {
    let hottest = solution
        .duties
        .iter()
        .filter_map(|d| Some((d, solution.hotter_exit(d)?)))
        .max_by(|a, b| a.1.temperature.value.total_cmp(&b.1.temperature.value));
    solution.rig.limits.iter().filter_map(move |l| {
        let (duty, exit) = hottest?;
        Some(Worst {
            place: &l.place,
            material: &l.material,
            duty: &duty.name,
            limit_k: l.max_temperature.value,
            exit_k: exit.temperature.value,
            as_fed: exit.as_fed.is_some(),
        })
    })
}
