//! Every release of a rig for people and machines.

mod keys;

use super::leak::short_hole;
use super::{Column, Fact, Report, Table, Value};
use crate::audit::Solution;
use crate::fuel::Library;
use crate::leak::LeakError;
use crate::leak::rig::{Effect, KeptOff, LeakPlan, TankEmptying, emptying};
use crate::leak::unlit::{PURGE_MARGIN, PURGE_VOLUMES};
use crate::quantity::sentence::{Told, sentence};
use crate::quantity::show::{Units, show_digits};
use crate::quantity::{Kind, Time, seconds};

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
    let below = rated_below(plan, rig);
    report.table(
        "Parts rated below what a stuck regulator lets through",
        below,
    );
    report.table("Relief valves behind a stuck regulator", reliefs(plan, rig));
    report.table("Fed and not lit", unlit(plan));
    if let Ok(Some(tank)) = &tank {
        report.facts("Tank emptying through a break", tank_facts(tank));
    }
    if boils(plan) {
        report.remark(format!(
            "Liquid comes out by what bounds its release: no vapour forms in the hole. {}",
            short_hole(rig.units)
        ));
        report.cite(library, "fauske-epstein1988");
    }
    remarks(report, rig, plan, &tank);
    keys::keys(report, plan, &tank);
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

/// Whether liquid comes out somewhere that may boil in the hole.
fn boils(plan: &LeakPlan) -> bool {
    let joints = plan.joints.iter().map(|j| &j.effect);
    let mut all = joints
        .chain(plan.breaks.iter().map(|b| &b.effect))
        .flatten();
    all.any(|e| e.release.expanding.is_some_and(|e| e.boils()))
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
    Value::of(Kind::Length, e.consequences.jet.as_ref().map(pick))
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
            Value::of(Kind::AbsolutePressure, j.level.pressure.pascals()),
            Value::of(Kind::MassRate, e.release.flow.value),
            reach(e, |j| j.lower_limit.value.value),
            reach(e, |j| j.half_limit.value.value),
            Value::of(
                Kind::Length,
                e.consequences.fire.as_ref().map(|f| f.length.value),
            ),
            Value::of(
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
            Value::of(Kind::Length, b.bore.value),
            Value::of(Kind::MassRate, e.map(|e| e.release.flow.value)),
            Value::Text(valve),
            e.map_or(Value::Absent, |e| reach(e, |j| j.half_limit.value.value)),
            e.map_or(Value::Absent, |e| reach(e, |j| j.half_limit.high.value)),
            Value::of(Kind::Length, fire.map(|f| f.length.value)),
            Value::of(Kind::Power, fire.map(|f| f.heat.value)),
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
            Value::of(Kind::Ratio, course.steady.value),
            Value::of(Kind::VolumeRate, course.ventilation_needed.map(|q| q.value)),
            time_text(course.clears_in, "never"),
            Value::of(Kind::Ratio, course.oxygen.value),
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
            Value::of(Kind::HeatFlux, d.threshold.level_w_m2),
            Value::Text(d.threshold.meaning.to_owned()),
            Value::of(Kind::Length, d.from_hole.value),
            Value::of(Kind::Length, d.high.value),
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
        Column::of("held at", Kind::GaugePressure).digits(3),
    ]);
    for s in &plan.stuck {
        let fed = s.fed.as_ref().ok();
        table.row(vec![
            Value::Text(s.part.clone()),
            Value::Text(s.duty.clone()),
            Value::of(Kind::MassRate, s.wanted.value),
            Value::of(Kind::MassRate, fed.map(|f| f.flow.value)),
            Value::of(Kind::Power, fed.and_then(|f| f.heat).map(|h| h.value)),
            fed.and_then(|f| f.equivalence_ratio)
                .map_or(Value::Absent, |x| Value::Number(x.value)),
            Value::of(
                Kind::GaugePressure,
                s.dead_end.gauge(rig.rig.site.air_pressure).pascals(),
            ),
            Value::of(
                Kind::GaugePressure,
                s.held_at.gauge(rig.rig.site.air_pressure).pascals(),
            ),
        ]);
    }
    table
}

/// Parts rated below what a stuck regulator lets through, and what keeps that off.
fn rated_below(plan: &LeakPlan, rig: &Solution<'_>) -> Table {
    let mut table = Table::new(vec![
        Column::new("stuck open"),
        Column::new("part"),
        Column::of("rating", Kind::GaugePressure).digits(3),
        Column::new("kept off by"),
        Column::of("after", Kind::Time).digits(2),
    ]);
    for s in &plan.stuck {
        for part in &s.rated_below {
            let (by, time) = match &part.kept_off {
                Some(KeptOff::Holds(name)) => (name.as_str(), None),
                Some(KeptOff::CutOff(valve, time)) => (valve.as_str(), *time),
                None => ("NOTHING", None),
            };
            table.row(vec![
                Value::Text(s.part.clone()),
                Value::Text(part.part.clone()),
                Value::of(
                    Kind::GaugePressure,
                    part.rating.gauge(rig.rig.site.air_pressure).pascals(),
                ),
                Value::from(by),
                Value::of(Kind::Time, time.map(|t| t.value)),
            ]);
        }
    }
    table
}

/// What the relief valves behind a stuck regulator pass of it.
fn reliefs(plan: &LeakPlan, rig: &Solution<'_>) -> Table {
    let mut table = Table::new(vec![
        Column::new("stuck open"),
        Column::new("relief valve"),
        Column::of("opens wide at", Kind::GaugePressure).digits(3),
        Column::of("passes", Kind::MassRate).digits(2),
        Column::of("has to pass", Kind::MassRate).digits(2),
    ]);
    for s in &plan.stuck {
        for (name, duty) in &s.reliefs {
            let opens = duty.relieving.gauge(rig.rig.site.air_pressure);
            table.row(vec![
                Value::Text(s.part.clone()),
                Value::Text(name.clone()),
                Value::of(Kind::GaugePressure, opens.pascals()),
                Value::of(Kind::MassRate, duty.passes.value),
                Value::of(Kind::MassRate, duty.arrives.value),
            ]);
        }
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
            Value::of(Kind::MassRate, u.fuel.value),
            first(&u.with_air),
            first(&u.without_air),
            Value::of(Kind::Ratio, at.map(|a| a.fraction.value)),
            Value::of(Kind::Ratio, at.map(|a| a.fraction_without_air.value)),
            Value::of(Kind::Energy, at.map(|a| a.energy.value)),
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

fn remarks(
    report: &mut Report,
    rig: &Solution<'_>,
    plan: &LeakPlan,
    tank: &Result<Option<TankEmptying>, LeakError>,
) {
    for b in &plan.breaks {
        if let Err(why) = &b.effect {
            report.remark(sentence!("{} torn off: {}.", &b.part, why.told()));
        }
    }
    for j in &plan.joints {
        if let Err(why) = &j.effect {
            report.remark(sentence!("Joint at {}: {}.", &j.level.from, why.told()));
        }
    }
    for s in &plan.stuck {
        if let Some((first, p)) = &s.with_the_one_before {
            report.remark(format!(
                "Two failures at once, {first} and {} stuck open: {} comes behind the second with the flow stopped, unless a relief valve holds it down. The table has single failures.",
                s.part,
                rig.gauge(*p)
            ));
        }
        if let Err(why) = &s.fed {
            report.remark(sentence!("{} stuck open: {}.", &s.part, why.told()));
        }
    }
    match tank {
        Err(why) => report.remark(sentence!(
            "The tank emptying through a break: {}.",
            why.told()
        )),
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
    report.remark("Holes of a joint: 0.25 mm2 for a seal that is washed out, 1 mm2 for a joint that has come loose ([iec60079-10-1], from memory: not confirmed).");
    for a in &plan.assumptions {
        report.assume(a.as_str());
    }
    report.assume("jets are free, without wind or obstacle; rooms, can and duct are well mixed; hazard-extent curves of the area-classification standard are not carried");
    if !plan.stuck.is_empty() {
        report.assume("a regulator sticks wide open alone, the others hold; the pressure is the highest of the supply, today or on the hottest day; a switch for high pressure stands behind the last regulator, answers at once, and closes the first shut-off valve; the discharge coefficient of a relief valve is 0.8");
    }
    if !plan.unlit.is_empty() {
        report.assume(format!(
            "a start that is given up leaves what flows in without air; the purge after it takes {PURGE_VOLUMES:.0} volumes [en746-2] or {PURGE_MARGIN} times those of a well-mixed duct down to a quarter of the lower limit, whichever is more"
        ));
    }
}
