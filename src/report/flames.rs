//! Flames of a rig's duties: primary zone and exit, dew point of the exhaust, margin to every material's limit.

use super::{Column, Report, Table, Value, json};
use crate::audit::{DutySolution, Solution};
use crate::combustion::flame::Flame;
use crate::quantity::Kind;
use crate::train::rig::Sees;
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

/// Adds every limit with the gas beside it: the table and the key `limits`. A wall in hotter gas than it stands has no
/// margin: nothing here works out how cool it is kept.
pub(super) fn limits<'a>(report: &mut Report, all: impl Iterator<Item = Worst<'a>>) {
    let mut table = Table::new(vec![
        Column::new("place"),
        Column::new("material"),
        Column::new("gas there"),
        Column::of("limit", Kind::Temperature).digits(4),
        Column::of("hottest", Kind::Temperature).digits(4),
        Column::of("margin", Kind::TemperatureDifference).digits(3),
        Column::new("duty"),
    ]);
    let mut list = Vec::new();
    for w in all {
        let (duty, gas_k, as_fed) = match w.zone {
            Some((duty, zone_k)) if zone_k > w.exit_k => (duty, zone_k, false),
            _ => (w.duty, w.exit_k, w.as_fed),
        };
        let zone_known = w.sees == Some(Sees::Exit) || w.zone.is_some();
        // of a wall in gas above its limit, the exit alone may be too hot
        let judged_k = match (gas_k <= w.limit_k, w.exit_k <= w.limit_k) {
            (true, _) => zone_known.then_some(gas_k),
            (false, true) => None,
            (false, false) => Some(w.exit_k),
        };
        let margin_k = judged_k.map(|k| w.limit_k - k);
        table.row(vec![
            Value::Text(w.place.to_owned()),
            Value::Text(w.material.to_owned()),
            Value::Text(w.sees.map_or("not said", Sees::word).to_owned()),
            Value::of(Kind::Temperature, w.limit_k),
            Value::of(Kind::Temperature, zone_known.then_some(gas_k)),
            Value::of(Kind::TemperatureDifference, margin_k),
            Value::Text(if as_fed {
                format!("{duty}, as fed")
            } else {
                duty.to_owned()
            }),
        ]);
        list.push(json!({
            "place": w.place, "material": w.material, "sees": w.sees.map(Sees::word), "duty": duty,
            "limit_k": json::number(w.limit_k),
            "exit_temperature_k": json::number(w.exit_k),
            "zone_temperature_k": w.zone.map(|z| json::number(z.1)),
            "margin_k": margin_k.map(json::number),
            "as_fed": as_fed,
        }));
    }
    report.table("Gas against materials", table);
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

/// A limit of a material and the gas beside it.
pub(super) struct Worst<'a> {
    pub(super) place: &'a str,
    pub(super) material: &'a str,
    pub(super) sees: Option<Sees>,
    pub(super) limit_k: f64,
    /// The duty with the hottest exit.
    pub(super) duty: &'a str,
    pub(super) exit_k: f64,
    /// The hottest primary zone with its duty, of a place that sees it.
    pub(super) zone: Option<(&'a str, f64)>,
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
    let zone = solution.hottest_zone();
    solution.rig.limits.iter().filter_map(move |l| {
        let (duty, exit) = hottest?;
        Some(Worst {
            place: &l.place,
            material: &l.material,
            sees: l.sees,
            limit_k: l.max_temperature.value,
            duty: &duty.name,
            exit_k: exit.temperature.value,
            zone: zone
                .filter(|_| l.sees == Some(Sees::PrimaryZone))
                .map(|(d, t)| (d.name.as_str(), t.value)),
            as_fed: exit.as_fed.is_some(),
        })
    })
}
