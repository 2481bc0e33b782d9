//! What a run of a tank says to machines.

use crate::quantity::{PressureDifference, ThermodynamicTemperature};
use crate::report::{Report, json};
use crate::tank::answer::{Answer, Question};
use crate::tank::record::{Event, Row};
use crate::tank::remedies::{Bath, Remedies};
use serde_json::{Map, Value as Json, json};

/// Keys of a run.
pub(super) fn keys(report: &mut Report, q: &Question, a: &Answer) {
    let rows: Vec<Json> = a
        .run
        .rows
        .iter()
        .zip(&a.dew_points)
        .map(|(r, dew)| row_json(q, r, *dew))
        .collect();
    report.key("series", rows);
    let steady = a.sustainable.as_ref().ok();
    report.number("sustainable_draw_kg_s", steady.map(|s| s.draw.value));
    report.number(
        "sustainable_temperature_k",
        steady.map(|s| s.temperature.value),
    );
    report.number("sustainable_heat_w", steady.map(|s| s.heat.value));
    report.number(
        "largest_draw_kg_s",
        a.largest.as_ref().ok().map(|w| w.value),
    );
    report.number("largest_draw_for_s", a.largest_for.value);
    report.number("lowest_pressure_pa", q.lowest.pascals());
    report.number("liquid_full_temperature_k", a.liquid_full.map(|t| t.value));
    let limit = a.filling.limit().map(|(limit, _)| limit.value);
    report.number("filling_limit_kg", limit);
    report.number("drawn_kg", a.run.drawn.value);
    report.number("heat_j", a.run.heat.value);
    report.number("end_s", a.run.end.value);
    report.key("complete", a.run.complete);
    if let Some(why) = &a.run.stopped_by {
        report.key("stopped_by", why.as_str());
    }
    let dew = a.highest_dew_point().map(|(_, t)| t.value);
    report.number("highest_dew_point_k", dew);
    if let Some(found) = &a.coil {
        report.number("coil_heat_w", found.duty.heat().value);
        let length = found.coil.as_ref().ok().map(|c| c.length.map(|l| l.value));
        report.number("coil_length_m", length.map(|l| l[1]));
        report.number("coil_length_shortest_m", length.map(|l| l[0]));
        report.number("coil_length_longest_m", length.map(|l| l[2]));
    }
    let events: Vec<Json> = a.run.events.iter().map(event_json).collect();
    report.key("events", events);
    report.number("balance_error_species", a.run.balance.species);
    report.number("balance_error_energy", a.run.balance.energy);
    if let Some(r) = &a.remedies {
        report.key("remedies", remedies_json(r));
    }
    if let Some(why) = &a.remedies_given_up {
        report.key("remedies_given_up", why.to_string());
    }
    if let Some(v) = &a.vaporiser {
        report.number("vaporiser_heat_w", v.heat().value);
        report.number("vaporiser_outlet_temperature_k", v.outlet.value);
        report.number(
            "vaporiser_share_of_burner",
            v.share_of_burner.map(|s| s.value),
        );
    }
    if let Some(h) = &a.hottest {
        report.number("hottest_pressure_pa", h.pressure.pascals());
        report.number(
            "hottest_to_relief_pa",
            h.to_relief.map(PressureDifference::pascals),
        );
        report.number(
            "hottest_to_rating_pa",
            h.to_rating.map(PressureDifference::pascals),
        );
    }
}

pub(super) fn composition_json(q: &Question, x: &[f64]) -> Json {
    let parts = q.tank.backend.composition().parts();
    let map: Map<String, Json> = parts
        .iter()
        .zip(x)
        .map(|(p, x)| (p.fuel.name.clone(), json::number(*x)))
        .collect();
    Json::Object(map)
}

fn row_json(q: &Question, r: &Row, dew: Option<ThermodynamicTemperature>) -> Json {
    let c = &r.contents;
    json!({
        "time_s": json::number(r.time.value),
        "temperature_k": json::number(c.temperature.value),
        "pressure_pa": json::number(c.pressure.pascals()),
        "liquid_mass_kg": json::number(c.liquid.value),
        "total_mass_kg": json::number(c.mass().value),
        "vapour_composition": composition_json(q, &c.vapour_composition),
        "liquid_composition": c.liquid_composition.map_or(Json::Null, |x| composition_json(q, &x)),
        "liquid_volume_fraction": json::number(c.liquid_volume.value),
        "heat_w": json::number(r.heat.value),
        "step": r.step,
        "drawn_composition": r.drawn.map_or(Json::Null, |x| composition_json(q, &x)),
        "dew_point_k": dew.map_or(Json::Null, |t| json::number(t.value)),
    })
}

fn event_json(e: &Event) -> Json {
    json!({
        "what": e.what.text(),
        "time_s": json::number(e.time.value),
        "temperature_k": json::number(e.contents.temperature.value),
        "pressure_pa": json::number(e.contents.pressure.pascals()),
        "step": e.step,
        "repeat": e.repeat,
        "failure": e.what.is_failure(),
    })
}

fn remedies_json(r: &Remedies) -> Json {
    let optional = |x: Option<f64>| x.map_or(Json::Null, json::number);
    let (water, conductance) = match r.bath {
        Some(Bath::Water(t)) => (Some(t.value), None),
        Some(Bath::Conductance(ua)) => (None, Some(ua.value)),
        None => (None, None),
    };
    json!({
        "warmer_k": optional(r.warmer.map(|t| t.value)),
        "larger_by": optional(r.larger.map(|s| s.value)),
        "cylinders": r.cylinders,
        "water_bath_k": optional(water),
        "conductance_w_k": optional(conductance),
        "liquid_draw_vaporiser_w": optional(r.liquid_draw.map(|v| v.heat().value)),
    })
}
