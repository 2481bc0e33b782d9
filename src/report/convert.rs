//! A switch to another fuel, for people and machines: what both kinds of switch have in common.

mod gas;
mod gas_json;
mod liquid;
mod liquid_json;
mod spray;
mod stands;

pub use gas::gas;
pub use liquid::liquid;

use super::flames::{self, Worst};
use super::json::number;
use super::{Column, Fact, Finding, Report, Table, Value};
use crate::audit::registry::of_switch;
use crate::convert::concern::{Concern, Measure};
use crate::convert::demand::{DutyNext, ExitAgainstLimits};
use crate::convert::fate::{Fate, MaterialAnswer, PartFate};
use crate::convert::{ConvertInput, Keep};
use crate::quantity::Kind;
use crate::quantity::show::{Units, show};
use serde_json::{Value as Json, json};

/// Flows, mixture and flame of every duty.
fn duties(report: &mut Report, input: &ConvertInput<'_>, duties: &[DutyNext]) {
    let mut flows = Table::new(vec![
        Column::new("duty"),
        Column::of("heat release", Kind::Power).digits(3),
        Column::of("fuel now", Kind::MassRate),
        Column::of("same heat", Kind::MassRate),
        Column::of("same mixture", Kind::MassRate),
        Column::of("heat then", Kind::Power).digits(3),
    ]);
    let mut flames = Table::new(vec![
        Column::new("duty"),
        Column::new("equivalence ratio now").digits(3),
        Column::new("then").digits(3),
        Column::of("primary zone", Kind::Temperature).digits(4),
        Column::of("exit now", Kind::Temperature).digits(4),
        Column::of("exit then", Kind::Temperature).digits(4),
    ]);
    for d in duties {
        let (heat, mixture) = (d.same_heat.as_ref().ok(), d.same_mixture.as_ref().ok());
        let ratio_of = |x: Option<f64>| x.map_or(Value::Absent, Value::Number);
        flows.row(vec![
            Value::Text(d.now.name.clone()),
            Value::of(Kind::Power, d.now.heat_release.value),
            Value::of(Kind::MassRate, d.now.fuel.value),
            Value::of(Kind::MassRate, heat.map(|h| h.fuel.value)),
            Value::of(Kind::MassRate, mixture.map(|h| h.fuel.value)),
            Value::of(Kind::Power, mixture.map(|h| h.heat_release.value)),
        ]);
        let exit = d.exit.as_ref().ok().map(|f| f.temperature.value);
        let primary = d.primary.as_ref().and_then(|p| p.as_ref().ok());
        flames.row(vec![
            Value::Text(d.now.name.clone()),
            Value::Number(d.now.equivalence_ratio.value),
            ratio_of(d.demand().map(|d| d.equivalence_ratio.value)),
            Value::of(Kind::Temperature, primary.map(|f| f.temperature.value)),
            Value::of(Kind::Temperature, d.now.exit_temperature.map(|t| t.value)),
            Value::of(Kind::Temperature, exit),
        ]);
        if let (Some(_), Err(why)) = (d.demand(), &d.exit) {
            report.remark(format!("{}: the flame is not known: {why}.", d.now.name));
        }
        if let (Some(_), Some(Err(why))) = (d.demand(), &d.primary) {
            report.remark(format!(
                "{}: the primary zone is not known: {why}.",
                d.now.name
            ));
        }
    }
    report.table("Fuel at each duty", flows);
    report.table("Flame at each duty", flames);
    report.assume(match input.wishes.keep {
        Keep::HeatRelease => "the plan goes by the same heat release at every duty",
        Keep::EquivalenceRatio => "the plan goes by the same equivalence ratio at every duty",
    });
    let list = duties.iter().map(duty_json).collect();
    report.key("duties", Json::Array(list));
    report.key("kept", input.wishes.keep.name());
    report.key("from", input.from.composition().label());
    report.key("to", input.to.composition().label());
}

fn duty_json(d: &DutyNext) -> Json {
    let demand = d.demand();
    let flow = |x: &Result<crate::injector::duty::Demand, String>| {
        number(x.as_ref().ok().map(|d| d.fuel.value))
    };
    json!({
        "name": d.now.name,
        "air_flow_kg_s": number(d.now.air.value),
        "chamber_pressure_pa": number(d.now.chamber.pascals()),
        "heat_release_w": number(demand.map(|d| d.heat_release.value)),
        "fuel_flow_now_kg_s": number(d.now.fuel.value),
        "equivalence_ratio_now": number(d.now.equivalence_ratio.value),
        "heat_release_now_w": number(d.now.heat_release.value),
        "fuel_flow_kg_s": number(demand.map(|d| d.fuel.value)),
        "equivalence_ratio": number(demand.map(|d| d.equivalence_ratio.value)),
        "fuel_flow_same_heat_kg_s": flow(&d.same_heat),
        "fuel_flow_same_ratio_kg_s": flow(&d.same_mixture),
        "exit_temperature_now_k": number(d.now.exit_temperature.map(|t| t.value)),
        "exit_temperature_k": number(d.exit.as_ref().ok().map(|f| f.temperature.value)),
        "primary_temperature_k": number(d.primary.as_ref().and_then(|p| p.as_ref().ok()).map(|f| f.temperature.value)),
        "error": d.refusal(),
    })
}

fn limits(report: &mut Report, limits: &[ExitAgainstLimits]) {
    let all = limits.iter().map(|l| Worst {
        place: &l.limit.place,
        material: &l.limit.material,
        sees: l.limit.sees,
        limit_k: l.limit.max_temperature.value,
        duty: &l.duty,
        exit_k: l.exit.value,
        zone: l.zone.as_ref().map(|(duty, t)| (duty.as_str(), t.value)),
        as_fed: false,
    });
    flames::limits(report, all);
}

/// How many parts of the old train go, and how many stay on conditions.
fn old_train(fates: &[PartFate]) -> Fact {
    let count = |fate| fates.iter().filter(|f| f.fate == fate).count();
    Fact::text(
        "Old train",
        format!(
            "{} of {} parts go, {} stay on conditions",
            count(Fate::Goes),
            fates.len(),
            count(Fate::Check)
        ),
    )
}

/// Every part of the old train, those that go first.
fn fates(report: &mut Report, fates: &[PartFate]) {
    let mut table = Table::new(vec![
        Column::new("part"),
        Column::new("kind").optional(),
        Column::new("fate"),
        Column::new("because"),
    ]);
    for fate in [Fate::Goes, Fate::Check, Fate::Stays] {
        for part in fates.iter().filter(|p| p.fate == fate) {
            let reasons = if part.reasons.is_empty() {
                "nothing in the rig file speaks against it".to_owned()
            } else {
                part.reasons.join("; ")
            };
            table.row(vec![
                Value::Text(part.name.clone()),
                Value::Text(part.kind.to_owned()),
                Value::Text(fate.name().to_owned()),
                Value::Text(reasons),
            ]);
        }
    }
    report.table("Old train, part by part", table);
    let list = fates.iter().map(|p| {
        json!({
            "name": p.name, "kind": p.kind, "fate": p.fate.name(), "reasons": p.reasons,
            "mass_kg": number(p.mass.map(|m| m.value)), "count": p.count,
        })
    });
    report.key("old_parts", Json::Array(list.collect()));
}

fn materials(report: &mut Report, materials: &[MaterialAnswer]) {
    let mut table = Table::new(vec![
        Column::new("material"),
        Column::new("answer"),
        Column::new("why"),
        Column::new("in"),
    ]);
    // one row a material, with the parts it sits in
    let mut seen: Vec<&str> = Vec::new();
    for m in materials {
        if seen.contains(&m.material.as_str()) {
            continue;
        }
        seen.push(&m.material);
        let parts: Vec<&str> = materials
            .iter()
            .filter(|o| o.material == m.material)
            .map(|o| o.part.as_str())
            .collect();
        table.row(vec![
            Value::Text(m.material.clone()),
            Value::Text(m.verdict.name().to_owned()),
            Value::Text(m.why.to_owned()),
            Value::Text(parts.join(", ")),
        ]);
    }
    if materials.is_empty() {
        report.remark("All materials that the rig file names are in usual use with the new fuel [materials-memory].");
    } else {
        report
            .remark("Materials not listed are in usual use with the new fuel [materials-memory].");
    }
    report.table("Materials in contact", table);
    let list = materials.iter().map(|m| {
        json!({"part": m.part, "material": m.material, "answer": m.verdict.name(), "why": m.why})
    });
    report.key("materials", Json::Array(list.collect()));
}

fn shown(measure: &Measure, units: Units) -> String {
    match measure {
        Measure::Quantity(kind, si) => show(*kind, *si, units),
        Measure::Text(text) => text.clone(),
    }
}

/// Concerns as findings, by signal word, then by id.
fn findings(report: &mut Report, concerns: &[Concern], units: Units) {
    let found = |c: &Concern| {
        let rule = of_switch(c.kind)?;
        let [measured, limit] = [&c.measured, &c.limit].map(|m| shown(m, units));
        let mut finding = Finding::of(rule, c.at.as_str(), measured, limit);
        finding.signal = rule.signals[usize::from(c.mild)];
        if let Some(basis) = c.basis {
            basis.clone_into(&mut finding.source);
        }
        if let Some(advice) = &c.advice {
            finding.advice.clone_from(advice);
        }
        Some(finding)
    };
    let mut all: Vec<Finding> = concerns.iter().filter_map(found).collect();
    all.sort_by(|a, b| (a.signal, &a.id).cmp(&(b.signal, &b.id)));
    report.findings = Some(all);
}
