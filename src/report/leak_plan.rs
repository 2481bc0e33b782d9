//! Every release of a rig for people and machines.

use super::leak::{decay_json, effect_json, number, release_json};
use super::{Column, Fact, Report, Table, Value};
use crate::audit::Solution;
use crate::fuel::Library;
use crate::leak::LeakError;
use crate::leak::rig::{
    Break, Effect, JointLeak, LeakPlan, StuckRegulator, TankEmptying, UnlitDuty, emptying,
};
use crate::leak::unlit::{PURGE_MARGIN, PURGE_VOLUMES};
use crate::quantity::show::{Units, show_digits};
use crate::quantity::{Kind, Time, seconds};
use serde_json::{Map, Value as Json, json};

/// Longest emptying that is looked at: a day.
const LONGEST_S: f64 = 86_400.0;

/// Adds all of it to a report.
pub fn plan(report: &mut Report, library: &Library, rig: &Solution<'_>, plan: &LeakPlan) {
    let tank = emptying(rig.rig, &rig.fluid, plan, seconds(LONGEST_S));
    report.facts("Fuel in the air of the site", fuel(plan));
    report.table("Leaking joints", joints(plan));
    report.table("Lines torn off", breaks(plan));
    room(report, plan);
    if let Some((worst, _)) = plan.worst_break() {
        report.table(&format!("{} torn off and lit", worst.part), lit(plan));
    }
    report.table("Regulators stuck open", stuck(plan, rig));
    report.table("Fed and not lit", unlit(plan));
    if let Ok(Some(tank)) = &tank {
        report.facts("Tank emptying through a break", tank_facts(tank));
    }
    remarks(report, plan, &tank);
    keys(report, plan, &tank);
    for key in [
        "birch1984",
        "chen-rodi1980",
        "papanikolaou2012",
        "iec60079-10-1",
        "api521",
        "nureg1805",
        "delichatsios1993",
        "nfpa86",
    ] {
        report.cite(library, key);
    }
}

fn of(kind: Kind, si: impl Into<Option<f64>>) -> Value {
    si.into()
        .map_or(Value::Absent, |si| Value::Quantity { kind, si })
}

fn fuel(plan: &LeakPlan) -> Vec<Fact> {
    let fuel = &plan.fuel;
    let mut facts = vec![
        Fact::of("Vapour density", Kind::Density, fuel.gas_density.value),
        Fact::plain("Over that of air", fuel.relative_density).note(if fuel.is_heavy() {
            "sinks: it gathers in pits, drains and cabinets"
        } else {
            "rises: it gathers under roofs and ceilings"
        }),
    ];
    if let Some(limits) = &fuel.limits {
        facts.push(Fact::of("Lower limit", Kind::Ratio, limits.lower.value));
    }
    facts
}

fn reach(e: &Effect, pick: fn(&crate::leak::JetReach) -> f64) -> Value {
    of(Kind::Length, e.consequences.jet.as_ref().map(pick))
}

fn joints(plan: &LeakPlan) -> Table {
    let mut table = Table::new(vec![
        Column::new("parts"),
        Column::new("hole"),
        Column::of("pressure", Kind::AbsolutePressure).digits(3),
        Column::of("flow", Kind::MassRate).digits(3),
        Column::of("to LFL", Kind::Length).digits(2),
        Column::of("to half LFL", Kind::Length).digits(2),
        Column::of("flame", Kind::Length).digits(2).optional(),
        Column::of("air needed", Kind::VolumeRate)
            .digits(3)
            .optional(),
    ]);
    for j in &plan.joints {
        let where_ = if j.level.from == j.level.to {
            j.level.from.clone()
        } else {
            format!("{} to {}", j.level.from, j.level.to)
        };
        let Ok(e) = &j.effect else { continue };
        table.row(vec![
            Value::Text(where_),
            Value::Text(j.size_short().to_owned()),
            of(Kind::AbsolutePressure, j.level.pressure.pascals()),
            of(Kind::MassRate, e.release.flow.value),
            reach(e, |j| j.lower_limit.value.value),
            reach(e, |j| j.half_limit.value.value),
            of(
                Kind::Length,
                e.consequences.fire.as_ref().map(|f| f.length.value),
            ),
            of(
                Kind::VolumeRate,
                e.consequences
                    .room
                    .and_then(|r| r.ventilation_needed)
                    .map(|q| q.value),
            ),
        ]);
    }
    table
}

fn breaks(plan: &LeakPlan) -> Table {
    let mut table = Table::new(vec![
        Column::new("part"),
        Column::of("bore", Kind::Length).digits(2),
        Column::of("flow", Kind::MassRate).digits(3),
        Column::new("excess-flow valve"),
        Column::of("to half LFL", Kind::Length).digits(2),
        Column::of("at most", Kind::Length).digits(2).optional(),
        Column::of("flame", Kind::Length).digits(2),
        Column::of("heat", Kind::Power).digits(3).optional(),
    ]);
    for b in &plan.breaks {
        let valve = match &b.excess_flow {
            None => "none before it".to_owned(),
            Some(e) if e.closes => format!("{} closes", e.part),
            Some(e) => format!("{} stays open", e.part),
        };
        let e = b.effect.as_ref().ok();
        let fire = e.and_then(|e| e.consequences.fire.as_ref());
        table.row(vec![
            Value::Text(b.part.clone()),
            of(Kind::Length, b.bore.value),
            of(Kind::MassRate, e.map(|e| e.release.flow.value)),
            Value::Text(valve),
            e.map_or(Value::Absent, |e| reach(e, |j| j.half_limit.value.value)),
            e.map_or(Value::Absent, |e| reach(e, |j| j.half_limit.high.value)),
            of(Kind::Length, fire.map(|f| f.length.value)),
            of(Kind::Power, fire.map(|f| f.heat.value)),
        ]);
    }
    table
}

/// A time as text, because seconds and hours stand in one column.
fn time_text(t: Option<Time>, none: &str) -> Value {
    Value::Text(t.map_or_else(
        || none.to_owned(),
        |t| show_digits(Kind::Time, t.value, Units::Si, 2),
    ))
}

fn room(report: &mut Report, plan: &LeakPlan) {
    let mut table = Table::new(vec![
        Column::new("release"),
        Column::new("to 25 % LFL"),
        Column::new("to LFL"),
        Column::of("after long", Kind::Ratio).digits(2),
        Column::of("air needed", Kind::VolumeRate).digits(3),
        Column::new("clears in").optional(),
        Column::of("oxygen after long", Kind::Ratio)
            .digits(3)
            .optional(),
    ]);
    let mut add = |name: String, course: &crate::leak::RoomCourse| {
        let time = |t: Option<Time>| time_text(t, "never");
        table.row(vec![
            Value::Text(name),
            time(course.quarter_limit),
            time(course.lower_limit),
            of(Kind::Ratio, course.steady.value),
            of(Kind::VolumeRate, course.ventilation_needed.map(|q| q.value)),
            time_text(course.clears_in, "never"),
            of(Kind::Ratio, course.oxygen.value),
        ]);
    };
    for size in 0..crate::leak::rig::JOINT_LEAKS.len() {
        if let Some((joint, e)) = plan.worst_joint(size)
            && let Some(course) = &e.consequences.room
        {
            add(
                format!("{} at {}", joint.size_name(), joint.level.from),
                course,
            );
        }
    }
    for b in &plan.breaks {
        if let Ok(e) = &b.effect
            && let Some(course) = &e.consequences.room
        {
            add(format!("{} torn off", b.part), course);
        }
    }
    for duty in &plan.unlit {
        if let Some(course) = &duty.room {
            add(format!("{} unlit", duty.duty), course);
        }
    }
    report.table("In the room, well mixed", table);
}

fn lit(plan: &LeakPlan) -> Table {
    let mut table = Table::new(vec![
        Column::of("radiation", Kind::HeatFlux).digits(3),
        Column::new("stands for"),
        Column::of("from the break", Kind::Length).digits(2),
        Column::of("at most", Kind::Length).digits(2),
    ]);
    let fire = plan
        .worst_break()
        .and_then(|(_, e)| e.consequences.fire.as_ref());
    for d in fire.iter().flat_map(|f| &f.distances) {
        table.row(vec![
            of(Kind::HeatFlux, d.threshold.level_w_m2),
            Value::Text(d.threshold.meaning.to_owned()),
            of(Kind::Length, d.from_hole.value),
            of(Kind::Length, d.high.value),
        ]);
    }
    table
}

fn stuck(plan: &LeakPlan, rig: &Solution<'_>) -> Table {
    let mut table = Table::new(vec![
        Column::new("regulator"),
        Column::new("duty").optional(),
        Column::of("wanted", Kind::MassRate).digits(3).optional(),
        Column::of("flows", Kind::MassRate).digits(3),
        Column::of("heat", Kind::Power).digits(3),
        Column::new("eq. ratio").digits(3),
        Column::of("with flow stopped", Kind::GaugePressure).digits(3),
        Column::new("rated below that"),
    ]);
    for s in &plan.stuck {
        let fed = s.fed.as_ref().ok();
        let names: Vec<&str> = s.overloaded.iter().map(|o| o.part.as_str()).collect();
        table.row(vec![
            Value::Text(s.part.clone()),
            Value::Text(s.duty.clone()),
            of(Kind::MassRate, s.wanted.value),
            of(Kind::MassRate, fed.map(|f| f.flow.value)),
            of(Kind::Power, fed.and_then(|f| f.heat).map(|h| h.value)),
            fed.and_then(|f| f.equivalence_ratio)
                .map_or(Value::Absent, |x| Value::Number(x.value)),
            of(
                Kind::GaugePressure,
                s.dead_end.gauge(rig.rig.site.air_pressure).pascals(),
            ),
            Value::Text(if names.is_empty() {
                "none".to_owned()
            } else {
                names.join(", ")
            }),
        ]);
    }
    table
}

fn unlit(plan: &LeakPlan) -> Table {
    let mut table = Table::new(vec![
        Column::new("duty"),
        Column::of("fuel", Kind::MassRate).digits(3).optional(),
        Column::new("to LFL with air"),
        Column::new("without air"),
        Column::of("at ignition time", Kind::Ratio).digits(2),
        Column::of("without air", Kind::Ratio).digits(2),
        Column::of("heat if lit late", Kind::Energy).digits(3),
        Column::new("purge after"),
    ]);
    for u in &plan.unlit {
        let at = u.at_ignition;
        let first = |x: &Option<crate::leak::unlit::Unlit>| match x {
            Some(x) => time_text(x.lower_limit, "never"),
            None => Value::Absent,
        };
        table.row(vec![
            Value::Text(u.duty.clone()),
            of(Kind::MassRate, u.fuel.value),
            first(&u.with_air),
            first(&u.without_air),
            of(Kind::Ratio, at.map(|a| a.fraction.value)),
            of(Kind::Ratio, at.map(|a| a.fraction_without_air.value)),
            of(Kind::Energy, at.map(|a| a.energy.value)),
            time_text(u.purge.map(|p| p.needed), "no purge air given"),
        ]);
    }
    table
}

fn tank_facts(tank: &TankEmptying) -> Vec<Fact> {
    let time = |name: &str, t: Option<crate::quantity::Time>| match t {
        Some(t) => Fact::of(name, Kind::Time, t.value),
        None => Fact::text(name, "not within the time looked at"),
    };
    let mut facts = vec![
        Fact::text("Torn off", tank.part.clone()),
        Fact::of("One cylinder, at first", Kind::MassRate, tank.first.value),
        time("Flow halves in", tank.decay.half_flow),
        time("Pressure gone in", tank.decay.empty),
    ];
    for minutes in [1.0, 10.0] {
        let out = tank.decay.left_at(seconds(60.0 * minutes));
        facts.push(Fact::of(
            format!("Out after {minutes:.0} min"),
            Kind::Mass,
            out.value,
        ));
    }
    if let Some(last) = tank.decay.course.last() {
        facts.push(Fact::of(
            "Coldest it gets",
            Kind::Temperature,
            tank.decay
                .course
                .iter()
                .map(|m| m.temperature.value)
                .fold(last.temperature.value, f64::min),
        ));
    }
    facts
}

fn remarks(report: &mut Report, plan: &LeakPlan, tank: &Result<Option<TankEmptying>, LeakError>) {
    for b in &plan.breaks {
        if let Err(why) = &b.effect {
            report.remark(format!("{} torn off: {why}.", b.part));
        }
    }
    for j in &plan.joints {
        if let Err(why) = &j.effect {
            report.remark(format!("Joint at {}: {why}.", j.level.from));
        }
    }
    for s in &plan.stuck {
        if let Err(why) = &s.fed {
            report.remark(format!("{} stuck open: {why}.", s.part));
        }
    }
    match tank {
        Err(why) => report.remark(format!("The tank emptying through a break: {why}.")),
        Ok(Some(tank)) => {
            if let Some(why) = &tank.decay.ended_by {
                report.remark(format!(
                    "The emptying of the tank is followed until the model ends: {why}."
                ));
            }
            for a in &tank.assumptions {
                report.assume(a.as_str());
            }
        }
        Ok(None) => {}
    }
    if plan
        .breaks
        .iter()
        .any(|b| b.excess_flow.as_ref().is_some_and(|e| e.closes))
    {
        report.remark("Where an excess-flow valve closes, the flow given lasts until it does; what is left in the line, and the valve's own bleed, come after.");
    }
    if plan
        .joints
        .iter()
        .any(|j| j.effect.as_ref().is_ok_and(|e| e.consequences.pool))
    {
        report.remark("The liquid does not boil in the air of the site and makes a pool: no distance of a jet is given.");
    }
    report.remark("Holes of a joint: 0.25 mm2 for a seal that is washed out, 1 mm2 for a joint that has come loose [iec60079-10-1].");
    for a in &plan.assumptions {
        report.assume(a.as_str());
    }
    report.assume("jets are free, without wind or obstacle; rooms, can and duct are well mixed; hazard-extent curves of the area-classification standard are not carried");
    if !plan.unlit.is_empty() {
        report.assume(format!(
            "a start that is given up leaves what flows in without air; the purge after it takes {PURGE_VOLUMES:.0} volumes [nfpa86] or {PURGE_MARGIN} times those of a well-mixed duct down to a quarter of the lower limit, whichever is more"
        ));
    }
}

// ---- machines ------------------------------------------------------------------------------------

fn effect(e: &Result<Effect, LeakError>, plan: &LeakPlan, map: &mut Map<String, Json>) {
    match e {
        Ok(e) => {
            map.extend(release_json(&e.release));
            map.extend(effect_json(&e.consequences, &plan.fuel));
            map.insert("error".to_owned(), Json::Null);
        }
        Err(why) => {
            map.insert("error".to_owned(), json!(why.to_string()));
        }
    }
}

fn joint_json(j: &JointLeak, plan: &LeakPlan) -> Json {
    let mut map = Map::new();
    map.insert("from".to_owned(), json!(j.level.from));
    map.insert("to".to_owned(), json!(j.level.to));
    map.insert("size".to_owned(), json!(j.size_name()));
    map.insert("pressure_pa".to_owned(), number(j.level.pressure.pascals()));
    map.insert("phase".to_owned(), json!(j.level.phase.name()));
    effect(&j.effect, plan, &mut map);
    Json::Object(map)
}

fn break_json(b: &Break, plan: &LeakPlan) -> Json {
    let mut map = Map::new();
    map.insert("part".to_owned(), json!(b.part));
    map.insert("bore_m".to_owned(), number(b.bore.value));
    let valve = b.excess_flow.as_ref();
    map.insert(
        "excess_flow_valve".to_owned(),
        valve.map_or(Json::Null, |e| json!(e.part)),
    );
    map.insert(
        "excess_flow_closes".to_owned(),
        valve.map_or(Json::Null, |e| json!(e.closes)),
    );
    map.insert(
        "excess_flow_closing_kg_s".to_owned(),
        number(valve.map(|e| e.closing.value)),
    );
    effect(&b.effect, plan, &mut map);
    Json::Object(map)
}

fn stuck_json(s: &StuckRegulator) -> Json {
    let fed = s.fed.as_ref().ok();
    json!({
        "part": s.part,
        "duty": s.duty,
        "wanted_kg_s": number(s.wanted.value),
        "mass_flow_kg_s": number(fed.map(|f| f.flow.value)),
        "injector_pressure_pa": number(fed.map(|f| f.pressure.pascals())),
        "heat_w": number(fed.and_then(|f| f.heat).map(|h| h.value)),
        "equivalence_ratio": number(fed.and_then(|f| f.equivalence_ratio).map(|x| x.value)),
        "dead_end_pressure_pa": number(s.dead_end.pascals()),
        "overloaded": Json::Array(s.overloaded.iter().map(|o| json!({
            "part": o.part,
            "rating_pa": number(o.rating.pascals()),
        })).collect()),
        "error": s.fed.as_ref().err().map(ToString::to_string),
    })
}

fn unlit_json(u: &UnlitDuty) -> Json {
    let lower = |x: &Option<crate::leak::unlit::Unlit>| {
        number(x.as_ref().and_then(|x| x.lower_limit).map(|t| t.value))
    };
    let at = u.at_ignition;
    json!({
        "duty": u.duty,
        "fuel_kg_s": number(u.fuel.value),
        "air_kg_s": number(u.air.map(|a| a.value)),
        "volume_m3": number(u.volume.map(|v| v.value)),
        "steady_mole_fraction": number(u.with_air.map(|x| x.steady.value)),
        "time_to_lfl_s": lower(&u.with_air),
        "time_to_lfl_without_air_s": lower(&u.without_air),
        "ignition_time_s": number(at.map(|a| a.time.value)),
        "mole_fraction_at_ignition_time": number(at.map(|a| a.fraction.value)),
        "mole_fraction_at_ignition_time_without_air": number(at.map(|a| a.fraction_without_air.value)),
        "fuel_at_ignition_time_kg": number(at.map(|a| a.fuel.value)),
        "energy_if_lit_j": number(at.map(|a| a.energy.value)),
        "purge_needed_s": number(u.purge.map(|p| p.needed.value)),
        "purge_volumes_needed": number(u.purge.map(|p| p.volumes_needed)),
    })
}

fn keys(report: &mut Report, plan: &LeakPlan, tank: &Result<Option<TankEmptying>, LeakError>) {
    let joints: Vec<Json> = plan.joints.iter().map(|j| joint_json(j, plan)).collect();
    let breaks: Vec<Json> = plan.breaks.iter().map(|b| break_json(b, plan)).collect();
    let stuck: Vec<Json> = plan.stuck.iter().map(stuck_json).collect();
    let unlit: Vec<Json> = plan.unlit.iter().map(unlit_json).collect();
    report.key("joints", joints);
    report.key("breaks", breaks);
    report.key("stuck_regulators", stuck);
    report.key("unlit", unlit);
    report.number("gas_density_kg_m3", plan.fuel.gas_density.value);
    report.number("relative_density", plan.fuel.relative_density);
    report.number(
        "lower_flammability_limit",
        plan.fuel.limits.map(|l| l.lower.value),
    );
    report.number("room_m3", plan.room.map(|r| r.volume.value));
    report.number("ventilation_m3_s", plan.room.map(|r| r.ventilation.value));
    let tank = tank.as_ref().ok().and_then(Option::as_ref);
    report.key(
        "tank_emptying",
        tank.map_or(Json::Null, |t| {
            let mut decay = decay_json(&t.decay);
            if let Json::Object(map) = &mut decay {
                map.insert("part".to_owned(), json!(t.part));
            }
            decay
        }),
    );
}
