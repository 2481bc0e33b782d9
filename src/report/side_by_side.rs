//! A gas system beside the system for a liquid, over endurance.

use super::{Column, Fact, Report, Table, Value, json};
use crate::mass::{BreakEven, SideBySide};
use crate::quantity::{Kind, Mass};
use serde_json::{Value as Json, json};

fn quantity(mass: Mass) -> Value {
    Value::of(Kind::Mass, mass.value)
}

/// Adds the gas system and the liquid system side by side.
pub fn both(report: &mut Report, to: &str, both: &SideBySide) {
    let planned = both.liquid.endurance;
    let mut table = Table::new(vec![
        Column::of("runs for", Kind::Time).digits(3),
        Column::new("cylinders"),
        Column::of("gas", Kind::Mass).digits(3),
        Column::of("to measure", Kind::Mass).digits(3),
        Column::of("liquid", Kind::Mass).digits(3),
        Column::of("at least", Kind::Mass).digits(3),
        Column::of("at most", Kind::Mass).digits(3),
    ]);
    for r in &both.rows {
        table.row(vec![
            Value::of(Kind::Time, r.time.value),
            Value::Text(format!("{:.0}", r.cylinders)),
            quantity(r.gas),
            quantity(r.gas_to_measure),
            quantity(r.liquid),
            quantity(r.liquid_low),
            quantity(r.liquid_high),
        ]);
    }
    let heading = format!("{} and {to} side by side", both.gas.name);
    report.facts(
        &heading,
        vec![
            even_fact("With the present cylinders", &both.even),
            even_fact("With a cylinder to measure", &both.even_to_measure),
            even_fact("To measure, lightest liquid system", &both.even_low),
            even_fact("To measure, heaviest liquid system", &both.even_high),
        ],
    );
    report.table(&heading, table);
    let mut table = Table::new(vec![
        Column::new("system"),
        Column::new("what"),
        Column::of("mass", Kind::Mass).digits(3),
    ]);
    let of = |system: &str, masses: Vec<(&'static str, Mass)>, table: &mut Table| {
        for (what, mass) in masses {
            table.row(vec![system.into(), what.into(), quantity(mass)]);
        }
    };
    of("gas", both.gas_masses(), &mut table);
    of("liquid", both.liquid_masses(), &mut table);
    report.table("Both for the endurance planned for", table);
    report.assume(format!(
        "Side by side both burn at the mean over {}; cylinders of the present size are taken as emptied, as many as it takes, and feeding whatever is drawn; a cylinder to measure weighs as much for its fuel as the present one; `convert` has the plan of the liquid system.",
        both.mean_from
    ));
    if !both.missing.is_empty() {
        report.remark(format!(
            "Side by side, without mass and left out: {}.",
            both.missing.join(", ")
        ));
    }
    report.key("systems", systems_json(to, both, planned.value));
}

/// When the lighter system changes, in words.
fn even_fact(name: &str, even: &BreakEven) -> Fact {
    let word = |liquid: bool| if liquid { "liquid" } else { "gas" };
    let mut lighter = even.second_lighter_at_start;
    let hours = |s: f64| format!("{} h", crate::quantity::show::significant(s / 3600.0, 3));
    let mut text = format!("{} is lighter", word(lighter));
    for t in &even.changes {
        lighter = !lighter;
        text = format!("{text}, from {} {}", hours(t.value), word(lighter));
    }
    Fact::text(name, text).note(format!("looked at up to {}", hours(even.longest.value)))
}

fn systems_json(to: &str, both: &SideBySide, planned_s: f64) -> Json {
    let kg = |m: Mass| json::number(m.value);
    let even = |e: &BreakEven| {
        json!({
            "lighter_at_start": if e.second_lighter_at_start { "liquid" } else { "gas" },
            "changes_s": e.changes.iter().map(|t| json::number(t.value)).collect::<Vec<_>>(),
            "looked_up_to_s": json::number(e.longest.value),
        })
    };
    let masses = |list: Vec<(&'static str, Mass)>| -> Vec<Json> {
        list.into_iter()
            .map(|(n, m)| json!({"name": n, "mass_kg": kg(m)}))
            .collect()
    };
    let rows: Vec<Json> = both
        .rows
        .iter()
        .map(|r| {
            json!({
                "time_s": json::number(r.time.value), "cylinders": json::number(r.cylinders),
                "gas_kg": kg(r.gas), "gas_to_measure_kg": kg(r.gas_to_measure), "liquid_kg": kg(r.liquid),
                "liquid_low_kg": kg(r.liquid_low), "liquid_high_kg": kg(r.liquid_high),
            })
        })
        .collect();
    json!({
        "to": to, "endurance_s": json::number(planned_s), "gas": masses(both.gas_masses()),
        "liquid": masses(both.liquid_masses()), "over_endurance": rows,
        "break_even": even(&both.even), "break_even_to_measure": even(&both.even_to_measure),
        "break_even_liquid_low": even(&both.even_low),
        "break_even_liquid_high": even(&both.even_high), "missing": both.missing,
    })
}
