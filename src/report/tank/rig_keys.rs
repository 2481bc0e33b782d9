//! What the tank of a rig says to machines.

use super::keys;
use crate::audit::Solution;
use crate::audit::solution::{DutyStudy, Emptying, TankDuty, TankSolution, TankStudy, Unusable};
use crate::eos::MoleFractions;
use crate::quantity::{AbsolutePressure, PressureDifference};
use crate::report::{Report, audit_supply, json};
use serde_json::{Map, Value as Json, json};

fn number(x: impl Into<Option<f64>>) -> Json {
    x.into().map_or(Json::Null, json::number)
}

/// Keys of the tank of a rig; those of the run are the same as for a tank given by flags.
pub(super) fn keys(report: &mut Report, s: &Solution<'_>, tank: &TankSolution, study: &TankStudy) {
    match &study.run {
        Ok(run) => {
            let (q, a) = (&run.question, &run.answer);
            keys::keys(report, q, a);
            let failure = a.run.first_failure();
            report.key("fed", crate::tank::remedies::fed(&a.run));
            report.number("fails_after_s", failure.map(|e| e.time.value));
            let why = failure.map_or(Json::Null, |e| json!(e.what.text()));
            report.key("fails_by", why);
            let steps = q.schedule.steps.iter().map(|step| {
                json!({
                    "name": step.name,
                    "draw_kg_s": number(step.draw.value),
                    "duration_s": number(step.duration.value),
                    "lowest_pressure_pa": number(step.lowest_pressure.map(AbsolutePressure::pascals)),
                    "line_pressure_pa": number(step.line_pressure.map(AbsolutePressure::pascals)),
                })
            });
            report.key("steps", Json::Array(steps.collect()));
            report.key("repeats", q.schedule.repeats);
            report.key("from_plan", run.from_plan);
            report.number("coldest_wall_k", a.wall.map(|w| w.wall.value));
        }
        Err(why) => {
            report.key("series", Json::Array(Vec::new()));
            report.key("sustainable_draw_kg_s", Json::Null);
            report.key("run_error", why.as_str());
        }
    }
    report.key("tank", summary(tank));
    let duties = tank.duties.iter().zip(&study.duties).enumerate();
    let left = |k: usize| match &study.emptying {
        Some(Ok(e)) => e.unusable.get(k).copied().flatten(),
        _ => None,
    };
    let duties = duties.map(|(k, (d, more))| duty(s, d, more, left(k).as_ref()));
    report.key("duties", Json::Array(duties.collect()));
    report.key("temperatures", temperatures(tank, study));
    if let Some(Ok(e)) = &study.emptying {
        report.key("emptying", emptying(s, e));
    }
    let strength = &study.strength;
    let design = strength.design.as_ref().ok();
    let wall = strength.wall.as_ref();
    let stress = |p: Option<PressureDifference>| number(p.map(PressureDifference::pascals));
    report.key(
        "strength",
        json!({
            "least_design_pressure_pa": number(design.map(|d| {
                d.1.pascals() + AbsolutePressure::STANDARD_ATMOSPHERE.pascals()
            })),
            "relief_air_m3_s": number(strength.relief_air.map(|q| q.value)),
            "wall_thickness_m": number(wall.map(|w| w.thickness.value)),
            "hoop_stress_hottest_pa": stress(wall.and_then(|w| w.hottest)),
            "hoop_stress_rated_pa": stress(wall.and_then(|w| w.rated)),
            "past_liquid_full_pa": number(strength.past_full.map(AbsolutePressure::pascals)),
        }),
    );
}

/// As in the audit, without duties and run: they have keys of their own here.
fn summary(tank: &TankSolution) -> Json {
    let mut all = audit_supply::tank_json(tank);
    if let Some(map) = all.as_object_mut() {
        map.remove("duties");
        map.remove("run");
    }
    all
}

fn composition(s: &Solution<'_>, x: &MoleFractions) -> Json {
    let parts = s.fluid.composition().parts();
    let map: Map<String, Json> = parts
        .iter()
        .zip(x.iter())
        .map(|(p, x)| (p.fuel.name.clone(), json::number(*x)))
        .collect();
    Json::Object(map)
}

fn duty(s: &Solution<'_>, d: &TankDuty, more: &DutyStudy, left: Option<&Unusable>) -> Json {
    let mut all = audit_supply::duty_json(d);
    if let Some(map) = all.as_object_mut() {
        let mut add = |key: &str, value: Json| map.insert(key.to_owned(), value);
        add(
            "line_pressure_pa",
            number(d.line_pressure.map(AbsolutePressure::pascals)),
        );
        add(
            "sustainable_draw_nearly_empty_kg_s",
            number(more.sustainable_nearly_empty.as_ref().ok().map(|w| w.value)),
        );
        add(
            "largest_draw_kg_s",
            number(more.largest.as_ref().ok().map(|w| w.value)),
        );
        add("largest_draw_for_s", number(more.longest.map(|t| t.value)));
        if let Some(u) = left {
            add(
                "rest",
                json!({
                    "mass_kg": number(u.mass.value),
                    "share": number(u.share.value),
                    "liquid_composition": composition(s, &u.liquid),
                    "still_fed": u.still_fed,
                }),
            );
        }
    }
    all
}

fn temperatures(tank: &TankSolution, study: &TankStudy) -> Json {
    let row = |w: &crate::audit::solution::Warmth| {
        let fed = |pick: fn(&(bool, bool)) -> bool| json!(w.fed(tank, pick));
        json!({
            "temperature_k": number(w.pressures.temperature.value),
            "pressure_pa": number(w.pressures.full.pascals()),
            "feeds": fed(|f| f.0),
            "nearly_empty_pressure_pa": number(w.pressures.nearly_empty.pascals()),
            "nearly_empty_feeds": fed(|f| f.1),
        })
    };
    Json::Array(study.warmth.iter().flatten().map(row).collect())
}

fn emptying(s: &Solution<'_>, e: &Emptying) -> Json {
    let rows = e.rows.iter().map(|r| {
        json!({
            "liquid_left": number(r.left.value),
            "pressure_pa": number(r.pressure.pascals()),
            "liquid_composition": composition(s, &r.liquid),
            "vapour_composition": composition(s, &r.vapour),
            "dew_point_k": number(r.dew_point.map(|t| t.value)),
        })
    });
    json!({
        "temperature_k": number(e.temperature.value),
        "line_pressure_pa": number(e.line.map(AbsolutePressure::pascals)),
        "rows": Json::Array(rows.collect()),
    })
}
