//! A switch to a gas, for machines.

use super::number;
use crate::combustion::CombustionError;
use crate::combustion::gas_quality::GasQuality;
use crate::convert::ToGas;
use crate::convert::gas::Burns;
use crate::convert::through::HolesOnGas;
use crate::convert::through::ThroughTrain;
use crate::quantity::AbsolutePressure;
use crate::report::Report;
use serde_json::{Value as Json, json};

/// Adds the keys.
pub(super) fn keys(report: &mut Report, plan: &ToGas) {
    report.key("kind", "to-gas");
    report.key(
        "wobbe",
        json!({
            "ratio": number(plan.wobbe.ratio()),
            "old": plan.wobbe.from.as_ref().map(quality),
            "new": quality(&plan.wobbe.to),
        }),
    );
    let holes = plan.holes.iter().map(|h| {
        json!({
            "name": h.duty,
            "old_holes": on_gas(&h.old_holes),
            "new_holes": h.new_holes.as_ref().map(on_gas),
            "train": h.train.as_ref().map(through_train),
        })
    });
    report.key("holes", holes.collect::<Vec<_>>());
    let redrill = plan.redrill.as_ref().ok().map(|r| {
        let drills = r.drills.iter().map(|d| {
            json!({
                "name": d.drill.name, "diameter_m": number(d.drill.diameter.value),
                "flow_error": number(d.flow_error.value),
            })
        });
        json!({
            "duty": r.duty,
            "upstream_pressure_pa": number(r.pressure.pascals()),
            "upstream_pressure_from": r.pressure_from,
            "upstream_pressure_asked_pa": number(r.not_at.map(AbsolutePressure::pascals)),
            "holes": r.number,
            "hole_diameter_m": number(r.exact.value),
            "drill": r.drill.map(|d| d.name.as_str()),
            "drills": drills.collect::<Vec<_>>(),
        })
    });
    report.key("new_holes", json!(redrill));
    let side = plan.side_holes.iter().map(|s| {
        json!({
            "outlet": s.outlet,
            "hole_diameter_now_m": number(s.now.value),
            "hole_diameter_m": number(s.then.value),
        })
    });
    report.key("side_holes", side.collect::<Vec<_>>());
    report.key("burning_old", burns(&plan.burns.0));
    report.key("burning_new", burns(&plan.burns.1));
    let s = &plan.supply;
    report.key(
        "supply",
        json!({
            "endurance_s": number(s.endurance.value),
            "mean_flow_kg_s": number(s.mean_flow.value),
            "fuel_kg": number(s.fuel.value),
            "cylinder_volume_m3": number(s.volume.map(|v| v.value)),
            "liquefied": s.liquefied,
            "vapour_pressure_coldest_pa": number(s.coldest.map(AbsolutePressure::pascals)),
            "vapour_pressure_hottest_pa": number(s.hottest.map(AbsolutePressure::pascals)),
            "highest_pressure_pa": number(s.highest.known().map(AbsolutePressure::pascals)),
            "highest_pressure_at_least_pa": number(s.highest.at_least().map(AbsolutePressure::pascals)),
            "highest_pressure_from": s.highest.basis(),
            "coldest_feeding_k": number(s.coldest_feeding.map(|t| t.value)),
            "coldest_limited_by": s.coldest_limited_by,
        }),
    );
}

fn quality(q: &Result<GasQuality, CombustionError>) -> Json {
    match q {
        Ok(q) => json!({
            "wobbe_gross_j_m3": number(q.wobbe_gross_j_m3),
            "wobbe_net_j_m3": number(q.wobbe_net_j_m3),
            "gross_j_m3": number(q.gross_j_m3),
            "net_j_m3": number(q.net_j_m3),
            "relative_density": number(q.relative_density),
        }),
        Err(why) => json!({"error": why.to_string()}),
    }
}

fn on_gas(h: &Result<HolesOnGas, String>) -> Json {
    match h {
        Ok(h) => json!({
            "upstream_pressure_pa": number(h.pressure.pascals()),
            "stiffness": number(h.stiffness.value),
            "choked": h.choked,
            "superheat_k": number(h.superheat.map(|t| t.value)),
        }),
        Err(why) => json!({"error": why}),
    }
}

fn through_train(through: &Result<ThroughTrain, String>) -> Json {
    match through {
        Ok(t) => json!({
            "fed": t.why_not.is_none(),
            "why_not": t.why_not,
            "lowest_pressure_pa": number(t.least.as_ref().map(|(p, _)| p.pascals())),
            "limited_by": t.least.as_ref().map(|(_, part)| part),
            "coldest_tank_k": number(t.coldest.map(|t| t.value)),
        }),
        Err(why) => json!({"error": why}),
    }
}

fn burns(b: &Burns) -> Json {
    json!({
        "burning_velocity_m_s": number(b.velocity_m_s),
        "quenching_distance_m": number(b.quenching_m),
        "relative_density": number(b.relative_density),
    })
}
