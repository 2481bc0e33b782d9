//! The holes of a rig at all its duties, for people and machines.

use super::{Column, Fact, Report, Table, Value, figures, json};
use crate::audit::Solution;
use crate::fuel::Library;
use crate::injector::plan::{DutyInjection, InjectorPlan};
use crate::quantity::Kind;
use crate::quantity::sentence::{Sentence, Told, sentence};
use crate::quantity::show::signed;
use serde_json::{Map, Value as Json, json};

/// Adds the holes at every duty and the drills; `hole_by_hole` adds every hole of a ring or bar.
pub fn plan(report: &mut Report, library: &Library, solution: &Solution<'_>, hole_by_hole: bool) {
    let plan = match &solution.injector {
        Ok(plan) => plan,
        Err(why) => {
            report.remark(format!("The injector is not solved: {why}."));
            report.key("injector", Json::Null);
            return;
        }
    };
    report.facts("Holes", hole_facts(plan));
    report.table("Holes at each duty", at_each_duty(solution, plan));
    report.table("Jets at each duty", jets(plan));
    report.plot("Bands at each duty", figures::bands(solution, plan));
    report.table("Bands at each duty", bands(plan));
    report.table("Drills: flow error at each duty", drills(plan));
    if hole_by_hole {
        if let Some(plot) = figures::holes(solution, plan) {
            report.plot("Hole by hole: flow over the mean", plot);
        }
        report.table("Hole by hole: flow over the mean", each_hole(plan));
    }
    for duty in &plan.duties {
        match &duty.injection {
            Err(error) => report.remark(sentence!("{}: {}.", &duty.name, error.told())),
            Ok(injection) => sources(report, library, &duty.name, injection),
        }
    }
    shared_notes(report, plan);
    if solution.rig.injector.manifold.is_some() {
        for key in ["perry-distributor", "colebrook1939", "crane-tp410"] {
            report.cite(library, key);
        }
    }
    report.key("injector", injector_json(plan, hole_by_hole));
}

fn hole_facts(plan: &InjectorPlan) -> Vec<Fact> {
    let mut facts = vec![
        Fact::of("Hole diameter", Kind::Length, plan.diameter.value).note(match &plan.sized_at {
            Some(duty) => format!("{} holes, sized at {duty}", plan.holes),
            None => format!("{} holes, as given", plan.holes),
        }),
    ];
    facts.extend(nearest_drill(plan));
    if let Some(turndown) = plan.turndown {
        facts.push(Fact::text(
            "Turndown",
            format!("{:.1} to 1 in fuel flow", turndown.value),
        ));
    }
    if let Some(area) = plan.area_ratio {
        facts.push(
            Fact::of("Holes over bore, by area", Kind::Ratio, area.value)
                .from_source("perry-distributor")
                .note("up to 25 % is even, above 50 % is not"),
        );
    }
    if let Some(rule) = plan.rule_spread {
        facts.push(
            Fact::of("Spread by the handbook rule", Kind::Ratio, rule.value)
                .from_source("perry-distributor")
                .note("long pipe fed at one end, no friction; the table has the sum for this one"),
        );
    }
    if let Some(remedy) = &plan.remedy {
        let shown = |what: &str, d: &Result<crate::quantity::Length, _>| match d {
            Ok(d) => Fact::of(what, Kind::Length, d.value),
            Err(_) => Fact::text(what, "none does"),
        };
        facts.push(shown("Tube bore for the wanted spread", &remedy.bore));
        facts.push(
            shown("Hole diameter for the wanted spread", &remedy.hole_diameter)
                .note("at a higher pressure, for the same flow"),
        );
    }
    facts
}

/// The drill that misses the duty sized at (else the first duty) by least, and by how much.
fn nearest_drill(plan: &InjectorPlan) -> Option<Fact> {
    let sized = plan.sized_at.as_deref();
    let (duty, injection) = fed(plan)
        .find(|(name, _)| sized.is_none_or(|s| s == *name))
        .or_else(|| fed(plan).next())?;
    let nearest = injection
        .drills
        .iter()
        .min_by(|a, b| (a.flow_error.value.abs()).total_cmp(&b.flow_error.value.abs()))?;
    let error = 100.0 * nearest.flow_error.value;
    Some(
        Fact::text("Nearest drill", nearest.drill.name.clone())
            .note(format!("{} % of the flow at {duty}", signed(error, 1))),
    )
}

fn fed(plan: &InjectorPlan) -> impl Iterator<Item = (&str, &DutyInjection)> {
    plan.duties
        .iter()
        .filter_map(|d| Some((d.name.as_str(), d.injection.as_ref().ok()?)))
}

fn at_each_duty(solution: &Solution<'_>, plan: &InjectorPlan) -> Table {
    let manifold = solution.rig.injector.manifold.is_some();
    let mut columns = vec![
        Column::new("duty"),
        Column::of("pressure needed", Kind::GaugePressure),
        Column::of("drop / chamber", Kind::Ratio).digits(3),
        Column::new("choked"),
    ];
    if manifold {
        columns.push(Column::of("spread", Kind::Ratio).digits(2));
    }
    let mut table = Table::new(columns);
    let ambient_pa = solution.rig.site.air_pressure.pascals();
    for (name, i) in fed(plan) {
        let mut row = vec![
            Value::from(name),
            Value::of(
                Kind::GaugePressure,
                i.at_need.supply.pressure_pa - ambient_pa,
            ),
            Value::of(Kind::Ratio, i.at_need.stiffness.value),
            Value::Flag(i.at_need.choked),
        ];
        if manifold {
            row.push(match &i.sharing {
                Some(Ok(d)) => Value::of(Kind::Ratio, d.spread.value),
                _ => Value::Absent,
            });
        }
        table.row(row);
    }
    table
}

fn jets(plan: &InjectorPlan) -> Table {
    let mut table = Table::new(vec![
        Column::new("duty"),
        Column::of("jet", Kind::Velocity).digits(3),
        Column::new("jet / air momentum").digits(3),
        Column::of("reach", Kind::Length).digits(2),
        Column::of("above dew point", Kind::TemperatureDifference).digits(2),
    ]);
    for (name, i) in fed(plan) {
        table.row(vec![
            Value::from(name),
            Value::of(Kind::Velocity, i.at_need.jet_velocity.value),
            i.momentum_ratio
                .map_or(Value::Absent, |j| Value::Number(j.value)),
            match &i.reach {
                Some(Ok(reach)) => Value::of(Kind::Length, reach.depth.value),
                _ => Value::Absent,
            },
            i.at_need.superheat.map_or(Value::Absent, |t| {
                Value::of(Kind::TemperatureDifference, t.value)
            }),
        ]);
    }
    table
}

fn bands(plan: &InjectorPlan) -> Table {
    let mut table = Table::new(vec![
        Column::new("duty"),
        Column::new("discharge coefficient").digits(3),
        Column::of("fuel, least", Kind::MassRate).digits(3),
        Column::of("fuel, most", Kind::MassRate).digits(3),
        Column::new("equivalence ratio, least").digits(3),
        Column::new("most").digits(3),
        Column::of("flow at the pressure set", Kind::MassRate).optional(),
        Column::new("equivalence ratio there").digits(3).optional(),
    ]);
    for (name, i) in fed(plan) {
        let rate = |si| Value::of(Kind::MassRate, si);
        table.row(vec![
            Value::from(name),
            Value::Number(i.at_need.coefficient.value),
            rate(i.flow_low.value),
            rate(i.flow_high.value),
            Value::Number(i.equivalence_ratio_low.value),
            Value::Number(i.equivalence_ratio_high.value),
            i.at_given.map_or(Value::Absent, |g| rate(g.flow.value)),
            i.at_given
                .map_or(Value::Absent, |g| Value::Number(g.equivalence_ratio.value)),
        ]);
    }
    table
}

fn drills(plan: &InjectorPlan) -> Table {
    let fed: Vec<_> = fed(plan).collect();
    let mut columns = vec![Column::new("drill"), Column::of("diameter", Kind::Length)];
    columns.extend(
        fed.iter()
            .map(|(name, _)| Column::of(*name, Kind::Ratio).digits(2)),
    );
    let mut table = Table::new(columns);
    let Some((_, first)) = fed.first() else {
        return table;
    };
    for choice in &first.drills {
        let mut row = vec![
            Value::Text(choice.drill.name.clone()),
            Value::of(Kind::Length, choice.drill.diameter.value),
        ];
        for (_, injection) in &fed {
            let same = injection
                .drills
                .iter()
                .find(|d| d.drill.name == choice.drill.name);
            row.push(same.map_or(Value::Absent, |d| Value::Quantity {
                kind: Kind::Ratio,
                // the given diameter may be a drill's: what is left is rounding
                si: (d.flow_error.value * 1e6).round() / 1e6,
            }));
        }
        table.row(row);
    }
    table
}

fn each_hole(plan: &InjectorPlan) -> Table {
    let shared: Vec<_> = fed(plan)
        .filter_map(|(name, i)| match &i.sharing {
            Some(Ok(d)) => Some((name, d)),
            _ => None,
        })
        .collect();
    let mut columns = vec![Column::new("hole"), Column::of("place", Kind::Length)];
    columns.extend(shared.iter().map(|(name, _)| Column::new(*name).digits(5)));
    let mut table = Table::new(columns);
    let Some((_, first)) = shared.first() else {
        return table;
    };
    for (i, hole) in first.holes.iter().enumerate() {
        let mut row = vec![Value::Count(i + 1), Value::of(Kind::Length, hole.at.value)];
        for (_, distribution) in &shared {
            row.push(
                distribution
                    .holes
                    .get(i)
                    .map_or(Value::Absent, |h| Value::Number(h.relative.value)),
            );
        }
        table.row(row);
    }
    table
}

fn sources(report: &mut Report, library: &Library, name: &str, injection: &DutyInjection) {
    match &injection.reach {
        Some(Err(error)) => {
            report.remark(format!(
                "{name}: the reach of the jets is not known: {error}."
            ));
        }
        Some(Ok(reach)) => {
            for key in &reach.sources {
                report.cite(library, key);
            }
        }
        None => {}
    }
    if let Some(Err(error)) = &injection.sharing {
        report.remark(sentence!("{}: {}.", name, error.told()));
    }
    for key in &injection.at_need.sources {
        report.cite(library, key);
    }
}

/// Notes on the holes, each once, with the duties it belongs to.
fn shared_notes(report: &mut Report, plan: &InjectorPlan) {
    let mut notes: Vec<(&Sentence, Vec<&str>)> = Vec::new();
    for (name, injection) in fed(plan) {
        for note in &injection.at_need.notes {
            match notes
                .iter_mut()
                .find(|(other, _)| other.to_string() == note.to_string())
            {
                Some((_, names)) => names.push(name),
                None => notes.push((note, vec![name])),
            }
        }
    }
    for (note, names) in notes {
        report.remark(sentence!("{}: {}", &names.join(", "), note.clone()));
    }
}

fn injector_json(plan: &InjectorPlan, hole_by_hole: bool) -> Json {
    let duties: Vec<Json> = plan
        .duties
        .iter()
        .map(|duty| match &duty.injection {
            Ok(injection) => injection_json(&duty.name, injection, hole_by_hole),
            Err(error) => json!({"name": duty.name, "error": error.to_string()}),
        })
        .collect();
    json!({
        "holes": plan.holes,
        "hole_diameter_m": json::number(plan.diameter.value),
        "sized_at": plan.sized_at,
        "turndown": plan.turndown.map(|t| t.value),
        "hole_to_bore_area_ratio": plan.area_ratio.map(|a| a.value),
        "rule_spread": plan.rule_spread.map(|r| r.value),
        "bore_for_spread_m": plan.remedy.as_ref().and_then(|r| r.bore.as_ref().ok()).map(|d| d.value),
        "hole_diameter_for_spread_m": plan.remedy.as_ref()
            .and_then(|r| r.hole_diameter.as_ref().ok()).map(|d| d.value),
        "duties": duties,
    })
}

fn injection_json(name: &str, i: &DutyInjection, hole_by_hole: bool) -> Json {
    let mut object = Map::new();
    let mut number = |key: &str, x: Option<f64>| {
        object.insert(key.to_owned(), x.map_or(Json::Null, json::number));
    };
    number("upstream_pressure_pa", Some(i.at_need.supply.pressure_pa));
    number("mass_flow_kg_s", Some(i.at_need.flow.value.value));
    number("mass_flow_low_kg_s", Some(i.flow_low.value));
    number("mass_flow_high_kg_s", Some(i.flow_high.value));
    number("equivalence_ratio_low", Some(i.equivalence_ratio_low.value));
    number(
        "equivalence_ratio_high",
        Some(i.equivalence_ratio_high.value),
    );
    number("stiffness", Some(i.at_need.stiffness.value));
    number("discharge_coefficient", Some(i.at_need.coefficient.value));
    number("jet_velocity_m_s", Some(i.at_need.jet_velocity.value));
    number(
        "throat_pressure_pa",
        Some(i.at_need.throat.pressure.pascals()),
    );
    number("superheat_k", i.at_need.superheat.map(|t| t.value));
    number("momentum_ratio", i.momentum_ratio.map(|j| j.value));
    number(
        "jet_reach_m",
        match &i.reach {
            Some(Ok(reach)) => Some(reach.depth.value),
            _ => None,
        },
    );
    let sharing = match &i.sharing {
        Some(Ok(d)) => Some(d),
        _ => None,
    };
    number("spread", sharing.map(|d| d.spread.value));
    number(
        "flow_at_given_pressure_kg_s",
        i.at_given.map(|g| g.flow.value),
    );
    number(
        "equivalence_ratio_at_given_pressure",
        i.at_given.map(|g| g.equivalence_ratio.value),
    );
    object.insert("name".to_owned(), json!(name));
    object.insert("choked".to_owned(), json!(i.at_need.choked));
    let drills: Vec<Json> = i
        .drills
        .iter()
        .map(|d| {
            json!({
                "name": d.drill.name,
                "diameter_m": json::number(d.drill.diameter.value),
                "flow_error": json::number(d.flow_error.value),
                "equivalence_ratio": json::number(d.equivalence_ratio.value),
            })
        })
        .collect();
    object.insert("drills".to_owned(), Json::Array(drills));
    if let (true, Some(d)) = (hole_by_hole, sharing) {
        let holes: Vec<Json> = d
            .holes
            .iter()
            .map(|h| {
                json!({
                    "at_m": json::number(h.at.value),
                    "pressure_pa": json::number(h.pressure.pascals()),
                    "mass_flow_kg_s": json::number(h.flow.value),
                })
            })
            .collect();
        object.insert("hole_flows".to_owned(), Json::Array(holes));
    }
    Json::Object(object)
}
