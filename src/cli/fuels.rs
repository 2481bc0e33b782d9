//! `fuels`: the names that can be used, and what stands behind them.

use super::context::Context;
use super::error::CliError;
use crate::fuel::{FedAs, Fuel, Kind as FuelKind};
use crate::quantity::Kind;
use crate::report::{Column, Report, Table, Topic, Value};
use serde_json::{Map, json};

/// Flags of `fuels`.
#[derive(Debug, clap::Args)]
pub struct FuelsArgs {}

/// Lists the library.
///
/// # Errors
/// A fuel file of the user's folder that cannot be read.
pub fn run(_args: &FuelsArgs, context: &Context) -> Result<Report, CliError> {
    let mut report = Report::new(Topic::Fuels, "Fuels of the library");
    let mut table = Table::new(vec![
        Column::new("name"),
        Column::of("molar mass", Kind::MolarMass)
            .digits(5)
            .optional(),
        Column::new("fed as"),
        Column::new("properties").optional(),
        Column::new("also called").optional(),
    ]);
    let mut list = Vec::new();
    for name in context.library.names() {
        let fuel = context.library.fuel(name)?;
        table.row(vec![
            name.into(),
            Value::Quantity {
                kind: Kind::MolarMass,
                si: fuel.molar_mass_kg_mol,
            },
            fed_as(&fuel).into(),
            properties(&fuel).into(),
            fuel.synonyms.join(", ").into(),
        ]);
        let mut entry = Map::new();
        entry.insert("name".into(), json!(fuel.name));
        entry.insert("synonyms".into(), json!(fuel.synonyms));
        entry.insert("molar_mass_kg_mol".into(), json!(fuel.molar_mass_kg_mol));
        entry.insert("fed_as".into(), json!(fed_as(&fuel)));
        entry.insert("properties".into(), json!(properties(&fuel)));
        list.push(serde_json::Value::Object(entry));
    }
    report.table("Fuels", table);
    report.key("fuels", list);
    blends(context, &mut report);
    Ok(report)
}

/// The blends that have a name.
fn blends(context: &Context, report: &mut Report) {
    let mut table = Table::new(vec![
        Column::new("name"),
        Column::new("mole percent"),
        Column::new("also called").optional(),
    ]);
    let mut list = Vec::new();
    for blend in context.library.blends() {
        let parts: Vec<String> = blend
            .parts
            .iter()
            .map(|s| format!("{}:{}", s.fuel, s.percent))
            .collect();
        let parts = parts.join(",");
        table.row(vec![
            blend.name.as_str().into(),
            parts.replace(',', ", ").into(),
            blend.synonyms.join(", ").into(),
        ]);
        list.push(json!({
            "name": blend.name, "synonyms": blend.synonyms, "composition": parts, "note": blend.note,
        }));
    }
    report.table("Named blends", table);
    report.key("blends", list);
}

fn fed_as(fuel: &Fuel) -> &'static str {
    match fuel.fed_as {
        FedAs::Gas => "gas",
        FedAs::Liquid => "liquid",
    }
}

fn properties(fuel: &Fuel) -> &'static str {
    match fuel.kind {
        FuelKind::Equation => "equation of state",
        FuelKind::Correlation => "correlations",
    }
}
