//! Keys of a release: of the flow, of what it does, of an emptying.

use super::Told;
use crate::leak::decay::Decay;
use crate::leak::jet::Reach;
use crate::leak::{Consequences, JetFire, LeakFuel, Release};
use crate::quantity::Time;
use crate::report::{Report, json};
use serde_json::{Value as Json, json};

pub(in crate::report) fn number(x: impl Into<Option<f64>>) -> Json {
    x.into().map_or(Json::Null, json::number)
}

pub(super) fn keys(report: &mut Report, told: &Told<'_>) {
    for (key, value) in release_json(told.release) {
        report.key(&key, value);
    }
    report.number("upstream_pressure_pa", told.upstream.pressure_pa);
    report.number("upstream_temperature_k", told.upstream.temperature_k);
    report.key("upstream_phase", told.upstream.phase.name());
    for (key, value) in effect_json(told.does, told.fuel) {
        report.key(&key, value);
    }
    report.number("ambient_pressure_pa", told.around.pressure.pascals());
    report.number("ambient_temperature_k", told.around.temperature.value);
    report.number("gas_density_kg_m3", told.fuel.gas_density.value);
    report.number("relative_density", told.fuel.relative_density);
    report.number(
        "lower_flammability_limit",
        told.fuel.limits.map(|l| l.lower.value),
    );
    if let Some(e) = told.emptying {
        report.key("emptying", decay_json(&e.decay));
    }
}

/// Keys of a release.
pub(in crate::report) fn release_json(r: &Release) -> Vec<(String, Json)> {
    let c = &r.coefficient;
    [
        ("release_rate_kg_s", number(r.flow.value)),
        ("release_rate_low_kg_s", number(r.low.value)),
        ("release_rate_high_kg_s", number(r.high.value)),
        ("expansion", json!(r.expanding.map(|e| e.taken.name()))),
        (
            "release_rate_equilibrium_kg_s",
            number(r.expanding.map(|e| e.equilibrium.value)),
        ),
        (
            "release_rate_bernoulli_kg_s",
            number(r.expanding.map(|e| e.bernoulli.value)),
        ),
        ("choked", json!(r.choked)),
        ("mass_flux_kg_m2_s", number(r.flux.value)),
        ("discharge_coefficient", number(c.value)),
        ("discharge_coefficient_low", number(c.low)),
        ("discharge_coefficient_high", number(c.high)),
        ("hole_area_m2", number(r.area.value)),
        ("throat_pressure_pa", number(r.throat.pressure.pascals())),
        ("throat_temperature_k", number(r.throat.temperature.value)),
        (
            "vapour_mass_fraction_outside",
            number(r.vapour_outside.value),
        ),
        ("temperature_outside_k", number(r.temperature_outside.value)),
    ]
    .map(|(k, v)| (k.to_owned(), v))
    .into()
}

/// Keys of what a release does.
pub(in crate::report) fn effect_json(does: &Consequences, fuel: &LeakFuel) -> Vec<(String, Json)> {
    let mut all: Vec<(&str, Json)> = Vec::new();
    let reach = |r: Option<&Reach>, pick: fn(&Reach) -> f64| number(r.map(pick));
    let lower = does.jet.as_ref().map(|j| &j.lower_limit);
    let half = does.jet.as_ref().map(|j| &j.half_limit);
    let jet = does.jet.as_ref();
    all.push(("distance_to_lfl_m", reach(lower, |r| r.value.value)));
    all.push(("distance_to_lfl_low_m", reach(lower, |r| r.low.value)));
    all.push(("distance_to_lfl_high_m", reach(lower, |r| r.high.value)));
    all.push(("distance_to_half_lfl_m", reach(half, |r| r.value.value)));
    all.push(("distance_to_half_lfl_low_m", reach(half, |r| r.low.value)));
    all.push(("distance_to_half_lfl_high_m", reach(half, |r| r.high.value)));
    all.push((
        "notional_diameter_m",
        number(jet.map(|j| j.jet.diameter.value)),
    ));
    all.push((
        "notional_velocity_m_s",
        number(jet.map(|j| j.jet.velocity.value)),
    ));
    all.push((
        "momentum_until_m",
        number(jet.and_then(|j| j.momentum_until).map(|x| x.value)),
    ));
    all.push((
        "release_characteristic_m3_s",
        number(does.characteristic.map(|q| q.value)),
    ));
    all.push(("makes_pool", json!(does.pool)));
    let fire = does.fire.as_ref();
    all.push(("heat_w", number(fire.map(|f| f.heat.value))));
    all.push(("flame_length_m", number(fire.map(|f| f.length.value))));
    all.push(("radiation", fire.map_or(Json::Null, radiation_json)));
    let room = does.room.as_ref();
    let time = |t: Option<Time>| number(t.map(|t| t.value));
    all.push((
        "time_to_quarter_lfl_s",
        time(room.and_then(|r| r.quarter_limit)),
    ));
    all.push(("time_to_lfl_s", time(room.and_then(|r| r.lower_limit))));
    all.push(("steady_mole_fraction", number(room.map(|r| r.steady.value))));
    all.push((
        "ventilation_needed_m3_s",
        number(room.and_then(|r| r.ventilation_needed).map(|q| q.value)),
    ));
    all.push(("clears_in_s", time(room.and_then(|r| r.clears_in))));
    all.push(("steady_oxygen", number(room.map(|r| r.oxygen.value))));
    all.push((
        "time_to_low_oxygen_s",
        time(room.and_then(|r| r.oxygen_low)),
    ));
    let reaches = match (room, fuel.limits) {
        (Some(room), Some(_)) => json!(room.quarter_limit.is_some()),
        _ => Json::Null,
    };
    all.push(("reaches_quarter_lfl", reaches));
    all.into_iter().map(|(k, v)| (k.to_owned(), v)).collect()
}

fn radiation_json(fire: &JetFire) -> Json {
    fire.distances
        .iter()
        .map(|d| {
            json!({
                "level_w_m2": d.threshold.level_w_m2,
                "meaning": d.threshold.meaning,
                "from_flame_m": number(d.from_flame.value),
                "from_hole_m": number(d.from_hole.value),
                "low_m": number(d.low.value),
                "high_m": number(d.high.value),
            })
        })
        .collect()
}

/// An emptying with its course.
pub(in crate::report) fn decay_json(decay: &Decay) -> Json {
    json!({
        "inside_kg": number(decay.inside.value),
        "half_flow_s": number(decay.half_flow.map(|t| t.value)),
        "empty_s": number(decay.empty.map(|t| t.value)),
        "ended_by": decay.ended_by,
        "series": Json::Array(decay.course.iter().map(|m| json!({
            "time_s": number(m.time.value),
            "pressure_pa": number(m.pressure.pascals()),
            "temperature_k": number(m.temperature.value),
            "release_rate_kg_s": number(m.flow.value),
            "released_kg": number(m.left.value),
        })).collect()),
    })
}
