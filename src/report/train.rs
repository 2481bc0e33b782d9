//! A rig's train at all its duties, for people and machines.

use super::main_pressure::main_pressure;
use super::{Column, Fact, Report, Table, Value, figures, json};
use crate::audit::Solution as RigSolution;
use crate::fuel::Library;
use crate::quantity::sentence::{Told, sentence};
use crate::quantity::{FlowCoefficient, Kind};
use crate::train::catalogue::neighbours;
use crate::train::{
    Check, PartFlow, ShutOff, Station, ThrottleStudy, TrainDuty, TrainPlan, openings_of_size,
};
use serde_json::{Map, Value as Json, json};

/// Adds the whole plan.
pub fn plan(report: &mut Report, library: &Library, rig: &RigSolution<'_>, plan: &TrainPlan) {
    let ambient_pa = rig.rig.site.air_pressure.pascals();
    report.table("Duties", duties(plan, ambient_pa));
    for duty in &plan.duties {
        if let Err(error) = &duty.solution {
            report.remark(sentence!("{}: {}.", &duty.name, error.told()));
        }
    }
    for plot in figures::walks(rig, plan) {
        report.plot("Pressure and temperature", plot);
    }
    for duty in &plan.duties {
        let heading = format!("Through the train: {}", duty.name);
        report.table(&heading, walk(duty, ambient_pa));
    }
    report.table("What stands out", remarks(plan));
    throttle(report, rig, plan);
    report.table("After a shut-off, from the largest flow", shut_offs(plan));
    left_over(report, plan);
    if let Some(main) = &plan.main_head {
        main_pressure(report, main);
    }
    for sentence in &plan.assumptions {
        report.assume(sentence.as_str());
    }
    report.assume("lines take up heat as their data say; every other part exchanges none");
    report.assume("limits marked as practice or choice come from no code");
    report.assume(
        "the throttle curve takes air and chamber pressure straight between the duties, from the one with the most air down as long as fuel falls too",
    );
    for key in ["iec60534-2-1", "colebrook1939", "shapiro1953"] {
        report.cite(library, key);
    }
    let list = plan.duties.iter().map(duty_json).collect();
    report.key("duties", Json::Array(list));
    report.key("throttle", throttle_json(rig, plan));
    let list = plan.shut_offs.iter().flatten().map(shut_off_json).collect();
    report.key("shut_offs", Json::Array(list));
}

fn duties(plan: &TrainPlan, ambient_pa: f64) -> Table {
    let mut table = Table::new(vec![
        Column::new("duty"),
        Column::of("wanted", Kind::MassRate),
        Column::of("flow", Kind::MassRate),
        Column::of("opening", Kind::Ratio).digits(3),
        Column::new("Kv, m³/h").digits(3),
        Column::of("at holes", Kind::GaugePressure).digits(4),
        Column::of("at holes", Kind::Temperature).digits(3),
    ]);
    for duty in &plan.duties {
        let outlet = injector(duty);
        let setting = duty.setting.as_ref();
        table.row(vec![
            Value::Text(duty.name.clone()),
            Value::of(Kind::MassRate, duty.wanted.value),
            outlet.map_or(Value::Absent, |o| Value::of(Kind::MassRate, o.flow.value)),
            setting.map_or(Value::Absent, |s| Value::of(Kind::Ratio, s.opening)),
            setting.map_or(Value::Absent, |s| Value::Number(s.kv.kv())),
            outlet.map_or(Value::Absent, |o| {
                Value::of(Kind::GaugePressure, o.inlet.pressure.pascals() - ambient_pa)
            }),
            outlet.map_or(Value::Absent, |o| {
                Value::of(Kind::Temperature, o.inlet.temperature.value)
            }),
        ]);
    }
    table
}

fn injector(duty: &TrainDuty) -> Option<&crate::train::OutletFlow> {
    duty.solution
        .as_ref()
        .ok()?
        .outlet(crate::train::plan::INJECTOR)
}

fn walk(duty: &TrainDuty, ambient_pa: f64) -> Table {
    let mut table = Table::new(vec![
        Column::new("part"),
        Column::of("before", Kind::GaugePressure).digits(4),
        Column::of("behind", Kind::GaugePressure).digits(4),
        Column::of("behind", Kind::Temperature).digits(3),
        Column::of("speed", Kind::Velocity).digits(2),
        Column::new("phase").optional(),
        Column::new("state"),
    ]);
    let Ok(solution) = &duty.solution else {
        return table;
    };
    for p in &solution.parts {
        let mut words = Vec::new();
        if p.choked {
            words.push("choked");
        }
        if p.wide_open {
            words.push("wide open");
        }
        if p.two_phase {
            words.push("two phases");
        }
        table.row(vec![
            Value::Text(p.part.clone()),
            Value::of(Kind::GaugePressure, p.inlet.pressure.pascals() - ambient_pa),
            Value::of(
                Kind::GaugePressure,
                p.outlet.pressure.pascals() - ambient_pa,
            ),
            Value::of(Kind::Temperature, p.outlet.temperature.value),
            if p.outlet.velocity.value > 0.0 {
                Value::of(Kind::Velocity, p.outlet.velocity.value)
            } else {
                Value::Absent
            },
            Value::Text(p.outlet.phase.name().to_owned()),
            Value::Text(words.join(", ")),
        ]);
    }
    table
}

/// The same remark at several duties once, with the figures of the duty where it is worst.
fn remarks(plan: &TrainPlan) -> Table {
    let mut table = Table::new(vec![
        Column::new("part"),
        Column::new("what"),
        Column::new("found"),
        Column::new("limit"),
        Column::new("basis").optional(),
        Column::new("at"),
    ]);
    let mut worst: Vec<(&Check, Vec<&str>)> = Vec::new();
    for duty in &plan.duties {
        for c in &duty.checks {
            let same = |w: &&mut (&Check, Vec<&str>)| {
                w.0.kind == c.kind && w.0.at == c.at && w.0.measured.kind == c.measured.kind
            };
            match worst.iter_mut().find(same) {
                Some((old, names)) => {
                    names.push(&duty.name);
                    let off = |c: &Check| (c.measured.si - c.limit.si).abs();
                    if off(c) > off(old) {
                        *old = c;
                    }
                }
                None => worst.push((c, vec![&duty.name])),
            }
        }
    }
    for (c, names) in worst {
        let at = if names.len() == plan.duties.len() {
            "every duty".to_owned()
        } else {
            names.join(", ")
        };
        table.row(vec![
            Value::Text(c.at.clone()),
            Value::Text(c.kind.meaning().to_owned()),
            Value::of(c.measured.kind, c.measured.si),
            Value::of(c.limit.kind, c.limit.si),
            Value::Text(c.basis.to_owned()),
            Value::Text(at),
        ]);
    }
    table
}

fn throttle(report: &mut Report, rig: &RigSolution<'_>, plan: &TrainPlan) {
    let (Some(name), Some(study)) = (&plan.throttle, &plan.study) else {
        return;
    };
    let study = match study {
        Ok(study) => study,
        Err(error) => {
            report.remark(sentence!("No throttle curve: {}.", error.told()));
            return;
        }
    };
    report.facts("Throttle", throttle_facts(rig, name, study));
    report.table("Throttle at each duty", throttle_duties(study));
    for plot in figures::throttle(name, plan, study) {
        report.plot("Throttle curve", plot);
    }
    report.table("Throttle curve", curve(study));
}

fn throttle_facts(rig: &RigSolution<'_>, name: &str, study: &ThrottleStudy) -> Vec<Fact> {
    let mut facts = vec![Fact::text("Valve", name)];
    if let Some(a) = study.authority {
        facts.push(
            Fact::text("Authority", format!("{:.0} %", a * 100.0)).note(
                "drop over the open valve over the drop from the last regulator to the chamber",
            ),
        );
    }
    let fed: Vec<_> = study
        .duties
        .iter()
        .filter_map(|d| Some((d, d.kv?)))
        .collect();
    let needed: Vec<_> = fed.iter().map(|(_, kv)| *kv).collect();
    facts.push(match study.full_open_range {
        _ if needed.is_empty() => Fact::text("Kv for usable travel", "not known: no duty is fed"),
        Some((least, most)) => Fact::text(
            "Kv for usable travel",
            format!("{:.3} to {:.3} m³/h", least.kv(), most.kv()),
        )
        .note("largest duty at most 90 % open, smallest at least 10 %"),
        None => Fact::text("Kv for usable travel", "none: the duties lie too far apart")
            .note("two valves, or one of another characteristic"),
    });
    let valve = rig.rig.train.part(name).and_then(|p| p.kind.valve());
    if let Some(valve) = valve.filter(|_| !needed.is_empty()) {
        let (below, above) = neighbours(valve.full_open);
        for (word, found) in [("Next smaller", below), ("Next larger", above)] {
            let Some((part, kv)) = found else { continue };
            let openings: Vec<String> = openings_of_size(valve, kv, &needed)
                .into_iter()
                .zip(&fed)
                .map(|(h, (d, _))| match h {
                    Ok(h) => format!("{} {:.0} %", d.duty, h * 100.0),
                    Err(_) => format!("{} out of reach", d.duty),
                })
                .collect();
            facts.push(
                Fact::text(
                    format!("{word} generic valve"),
                    format!("Kv {} m³/h: {}", kv.kv(), openings.join(", ")),
                )
                .note(part.name.clone()),
            );
        }
    }
    facts
}

fn throttle_duties(study: &ThrottleStudy) -> Table {
    let mut table = Table::new(vec![
        Column::new("duty"),
        Column::of("opening", Kind::Ratio).digits(3),
        Column::new("Kv, m³/h").digits(3),
        Column::of("flow for a step", Kind::Ratio).digits(2),
        Column::new("equivalence ratio for a step").digits(2),
    ]);
    for d in &study.duties {
        table.row(vec![
            Value::Text(d.duty.clone()),
            d.opening
                .as_ref()
                .map_or(Value::Absent, |h| Value::of(Kind::Ratio, *h)),
            d.kv.map_or(Value::Absent, |k| Value::Number(k.kv())),
            d.flow_per_step
                .map_or(Value::Absent, |s| Value::of(Kind::Ratio, s)),
            d.equivalence_ratio_per_step
                .map_or(Value::Absent, Value::Number),
        ]);
    }
    table
}

fn curve(study: &ThrottleStudy) -> Table {
    let mut table = Table::new(vec![
        Column::of("opening", Kind::Ratio).digits(3),
        Column::new("Kv, m³/h").digits(3),
        Column::of("flow", Kind::MassRate),
        Column::new("equivalence ratio").digits(3),
        Column::new("valve"),
    ]);
    for p in &study.curve {
        table.row(vec![
            Value::of(Kind::Ratio, p.opening),
            Value::Number(p.kv.kv()),
            Value::of(Kind::MassRate, p.flow.value),
            Value::Number(p.equivalence_ratio.value),
            Value::Text(if p.choked { "choked" } else { "" }.to_owned()),
        ]);
    }
    table
}

fn shut_offs(plan: &TrainPlan) -> Table {
    let mut table = Table::new(vec![
        Column::new("valve"),
        Column::of("fuel behind it", Kind::Mass).digits(3),
        Column::of("comes out", Kind::Mass).digits(3),
        Column::of("heat of all", Kind::Energy).digits(3),
        Column::of("passes while closing", Kind::Mass).digits(3),
        Column::of("flame lives on", Kind::Time).digits(2),
    ]);
    for s in plan.shut_offs.iter().flatten() {
        table.row(vec![
            Value::Text(s.valve.clone()),
            Value::of(Kind::Mass, s.fuel.value),
            Value::of(Kind::Mass, s.runs_out().value),
            Value::of(Kind::Energy, s.energy.value),
            if s.closing_time.is_some() {
                Value::of(Kind::Mass, s.while_closing.value)
            } else {
                Value::Absent
            },
            s.flame_life
                .map_or(Value::Absent, |t| Value::of(Kind::Time, t.value)),
        ]);
    }
    table
}

fn left_over(report: &mut Report, plan: &TrainPlan) {
    let mut unknown: Vec<&str> = Vec::new();
    for s in &plan.shut_offs {
        match s {
            Ok(s) => {
                unknown.extend(s.unknown.iter().map(String::as_str));
                if s.closing_time.is_none() {
                    report.remark(format!("{}: its closing time is not given.", s.valve));
                }
                if s.liquid {
                    report.remark(format!(
                        "{}: liquid is left behind it and keeps feeding the flame, or drips, after it has closed.",
                        s.valve
                    ));
                }
            }
            Err(error) => report.remark(sentence!("After a shut-off: {}.", error.told())),
        }
    }
    unknown.sort_unstable();
    unknown.dedup();
    if !unknown.is_empty() {
        report.assume(format!(
            "no volume is given for {}: they are taken to hold nothing after a shut-off",
            unknown.join(", ")
        ));
    }
    if plan.shut_offs.iter().any(Result::is_ok) {
        report.assume(
            "a flame is taken as out when its fuel has fallen to a tenth of the running flow",
        );
    }
}

// ---- machines ----

fn number(x: impl Into<Option<f64>>) -> Json {
    x.into().map_or(Json::Null, json::number)
}

fn station_json(s: &Station) -> Json {
    json!({
        "pressure_pa": number(s.pressure.pascals()),
        "temperature_k": number(s.temperature.value),
        "phase": s.phase.name(),
        "vapour_mass_fraction": number(s.vapour_mass_fraction),
        "density_kg_m3": number(s.density.value),
        "velocity_m_s": number(s.velocity.value),
    })
}

fn part_json(p: &PartFlow) -> Json {
    let mut map = Map::new();
    map.insert("name".to_owned(), json!(p.part));
    map.insert("kind".to_owned(), json!(p.kind));
    map.insert("run".to_owned(), json!(p.run));
    map.insert("mass_flow_kg_s".to_owned(), number(p.flow.value));
    map.insert("inlet".to_owned(), station_json(&p.inlet));
    map.insert("outlet".to_owned(), station_json(&p.outlet));
    map.insert("choked".to_owned(), json!(p.choked));
    map.insert("wide_open".to_owned(), json!(p.wide_open));
    map.insert("two_phase".to_owned(), json!(p.two_phase));
    map.insert("heat_w".to_owned(), number(p.heat.value));
    map.insert("work_w".to_owned(), number(p.work.value));
    map.insert("kv_m3_h".to_owned(), number(p.kv.map(FlowCoefficient::kv)));
    map.insert("opening".to_owned(), number(p.opening));
    map.insert("load".to_owned(), number(p.load));
    Json::Object(map)
}

fn check_json(c: &Check) -> Json {
    json!({
        "kind": c.kind.name(),
        "at": c.at,
        "measured": number(c.measured.si),
        "limit": number(c.limit.si),
        "basis": c.basis,
    })
}

fn duty_json(duty: &TrainDuty) -> Json {
    let solution = duty.solution.as_ref().ok();
    let parts = solution.map(|s| s.parts.iter().map(part_json).collect());
    let outlets = solution.map(|s| {
        s.outlets
            .iter()
            .map(|o| {
                json!({
                    "name": o.outlet,
                    "mass_flow_kg_s": number(o.flow.value),
                    "inlet": station_json(&o.inlet),
                    "chamber_pressure_pa": number(o.chamber.pascals()),
                    "choked": o.choked,
                })
            })
            .collect()
    });
    json!({
        "name": duty.name,
        "wanted_kg_s": number(duty.wanted.value),
        "mass_flow_kg_s": number(solution.map(|s| s.flow.value)),
        "opening": number(duty.setting.as_ref().map(|s| s.opening)),
        "kv_m3_h": number(duty.setting.as_ref().map(|s| s.kv.kv())),
        "error": duty.solution.as_ref().err().map(ToString::to_string),
        "parts": Json::Array(parts.unwrap_or_default()),
        "outlets": Json::Array(outlets.unwrap_or_default()),
        "remarks": Json::Array(duty.checks.iter().map(check_json).collect()),
    })
}

fn throttle_json(rig: &RigSolution<'_>, plan: &TrainPlan) -> Json {
    let (Some(name), Some(Ok(study))) = (&plan.throttle, &plan.study) else {
        return Json::Null;
    };
    let valve = rig.rig.train.part(name).and_then(|p| p.kind.valve());
    json!({
        "name": name,
        "full_open_kv_m3_h": number(valve.map(|v| v.full_open.kv())),
        "authority": number(study.authority),
        "least_full_open_kv_m3_h": number(study.full_open_range.map(|r| r.0.kv())),
        "most_full_open_kv_m3_h": number(study.full_open_range.map(|r| r.1.kv())),
        "duties": Json::Array(study.duties.iter().map(|d| json!({
            "name": d.duty,
            "opening": number(d.opening.as_ref().ok().copied()),
            "kv_m3_h": number(d.kv.map(FlowCoefficient::kv)),
            "flow_per_step": number(d.flow_per_step),
            "equivalence_ratio_per_step": number(d.equivalence_ratio_per_step),
        })).collect()),
        "curve": Json::Array(study.curve.iter().map(|p| json!({
            "opening": number(p.opening),
            "kv_m3_h": number(p.kv.kv()),
            "mass_flow_kg_s": number(p.flow.value),
            "equivalence_ratio": number(p.equivalence_ratio.value),
            "choked": p.choked,
        })).collect()),
    })
}

fn shut_off_json(s: &ShutOff) -> Json {
    json!({
        "valve": s.valve,
        "volume_m3": number(s.volume.value),
        "fuel_kg": number(s.fuel.value),
        "energy_j": number(s.energy.value),
        "while_closing_kg": number(s.closing_time.map(|_| s.while_closing.value)),
        "closing_time_s": number(s.closing_time.map(|t| t.value)),
        "flame_life_s": number(s.flame_life.map(|t| t.value)),
        "empties_in_s": number(s.empties_in.map(|t| t.value)),
        "stays_kg": number(s.stays.value),
        "runs_out_kg": number(s.runs_out().value),
        "liquid": s.liquid,
        "unknown_volumes": s.unknown,
    })
}
