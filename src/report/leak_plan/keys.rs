//! Keys of every release of a rig.

use crate::leak::LeakError;
use crate::leak::rig::{
    Break, Effect, JointLeak, KeptOff, LeakPlan, RatedBelow, StuckRegulator, TankEmptying,
    UnlitDuty,
};
use crate::report::Report;
use crate::report::leak::keys::{decay_json, effect_json, number, release_json};
use serde_json::{Map, Value as Json, json};

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
        "held_at_pa": number(s.held_at.pascals()),
        "reliefs": Json::Array(s.reliefs.iter().map(|(name, duty)| json!({
            "part": name,
            "relieving_pressure_pa": number(duty.relieving.pascals()),
            "arrives_kg_s": number(duty.arrives.value),
            "passes_kg_s": number(duty.passes.value),
        })).collect()),
        "overloaded": Json::Array(s.overloaded().map(|o| json!({
            "part": o.part,
            "rating_pa": number(o.rating.pascals()),
        })).collect()),
        "kept_off": Json::Array(s.rated_below.iter().filter_map(kept_off).collect()),
        "with_the_one_before": s.with_the_one_before.as_ref().map(|(first, p)| json!({
            "part": first,
            "dead_end_pressure_pa": number(p.pascals()),
        })),
        "error": s.fed.as_ref().err().map(ToString::to_string),
    })
}

/// A part that something keeps the pressure off.
fn kept_off(part: &RatedBelow) -> Option<Json> {
    let (by, time) = match part.kept_off.as_ref()? {
        KeptOff::Holds(part) => (part, None),
        KeptOff::CutOff(valve, time) => (valve, *time),
    };
    Some(json!({
        "part": part.part,
        "rating_pa": number(part.rating.pascals()),
        "by": by,
        "time_s": number(time.map(|t| t.value)),
    }))
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

pub(super) fn keys(
    report: &mut Report,
    plan: &LeakPlan,
    tank: &Result<Option<TankEmptying>, LeakError>,
) {
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
