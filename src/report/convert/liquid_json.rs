//! A switch to a liquid, for machines.

use super::number;
use crate::convert::evaporation::{DutyEvaporation, InZone};
use crate::convert::feed::Band;
use crate::convert::nozzle::{DropsAt, NozzleOption};
use crate::convert::{ConvertInput, LiquidSystem, SuctionLimit, ToLiquid};
use crate::quantity::PressureDifference;
use crate::report::Report;
use serde_json::{Value as Json, json};

fn band<T: Copy>(b: &Band<T>, si: impl Fn(T) -> f64) -> Json {
    json!({"value": number(si(b.value)), "low": number(si(b.low)), "high": number(si(b.high))})
}

/// Adds the keys.
pub(super) fn keys(
    report: &mut Report,
    input: &ConvertInput<'_>,
    plan: &ToLiquid,
    system: &LiquidSystem,
) {
    super::spray::second(report, input);
    report.key("kind", "to-liquid");
    report.number("feed_pressure_pa", plan.feed_pressure.pascals());
    report.key("tank", tank(plan));
    report.key("pump", pump(plan));
    report.key("lines", lines(plan));
    report.key("valve", valve(plan));
    report.key(
        "nozzles",
        plan.nozzles.options.iter().map(nozzle).collect::<Vec<_>>(),
    );
    report.key("proposed_nozzle", json!(plan.nozzles.proposed));
    let evaporated = plan.evaporation.iter().map(|e| match e {
        Ok(e) => evaporation(e),
        Err(why) => json!({"error": why}),
    });
    report.key("evaporation", evaporated.collect::<Vec<_>>());
    report.key("vaporiser", vaporiser(plan));
    report.key("light_off", light_off(plan));
    report.key("suction", suction(plan));
    report.key("gas_holes", gas_holes(plan));
    let hazards = plan.hazards.iter();
    report.key(
        "hazards",
        hazards
            .map(|h| json!({"gained": h.gained, "what": h.what}))
            .collect::<Vec<_>>(),
    );
    report.key("masses", masses(system));
}

fn tank(plan: &ToLiquid) -> Json {
    let t = &plan.tank;
    json!({
        "endurance_s": number(t.endurance.value),
        "endurance_from": t.endurance_from,
        "mean_flow_kg_s": number(t.mean_flow.value),
        "fuel_burnt_kg": number(t.burnt(t.endurance).value),
        "fuel_filled_kg": number(t.filled(t.endurance).value),
        "volume_m3": number(t.volume(t.endurance).value),
        "dry_mass_kg": band(&t.dry_mass(t.endurance), |m| m.value),
    })
}

fn pump(plan: &ToLiquid) -> Json {
    let Ok(p) = &plan.pump else { return Json::Null };
    let battery = plan.battery.as_ref().ok();
    json!({
        "flow_m3_s": number(p.flow.value),
        "outlet_pressure_pa": number(p.outlet.pascals()),
        "pressure_rise_pa": number(p.rise.pascals()),
        "head_m": number(p.head.value),
        "hydraulic_power_w": number(p.hydraulic.value),
        "efficiency": band(&p.efficiency, |e| e.value),
        "electric_power_w": band(&p.electric, |e| e.value),
        "mass_kg": band(&p.mass, |m| m.value),
        "battery_energy_j": number(battery.map(|b| b.energy.value)),
        "battery_mass_kg": battery.map(|b| band(&b.mass, |m| m.value)),
    })
}

fn lines(plan: &ToLiquid) -> Json {
    let options = plan.lines.options.iter().enumerate().map(|(i, o)| {
        json!({
            "outside_diameter_m": number(o.outside.value),
            "bore_m": number(o.bore.value),
            "pressure_loss_pa": number(o.loss.pascals()),
            "pressure_loss_coldest_pa": number(o.cold_loss.as_ref().ok().map(|p| p.pascals())),
            "velocity_m_s": number(o.velocity.value),
            "volume_m3": number(o.holds.value),
            "fill_time_s": number(o.fills_in.value),
            "mass_kg": number(o.mass.value),
            "taken": plan.lines.chosen == Some(i),
        })
    });
    json!({"length_m": number(plan.lines.length.value), "options": options.collect::<Vec<_>>()})
}

fn valve(plan: &ToLiquid) -> Json {
    let Some(v) = &plan.valve else {
        return Json::Null;
    };
    let duties = v.duties.iter().map(|(name, p)| {
        let p = p.as_ref().ok();
        json!({
            "name": name,
            "kv_m3_h": number(p.map(|p| p.kv.kv())),
            "outlet_pressure_pa": number(p.map(|p| p.outlet.pascals())),
            "choked": p.map(|p| p.choked),
        })
    });
    json!({"pressure_drop_pa": number(v.drop.pascals()), "duties": duties.collect::<Vec<_>>()})
}

fn nozzle(o: &NozzleOption) -> Json {
    json!({
        "kind": o.kind.name(),
        "number": o.number,
        "exit_diameter_m": number(o.exit.value),
        "smallest_passage_m": number(o.passage.value),
        "made_with": o.making.name(),
        "drill": o.drill.map(|d| d.name.as_str()),
        "drill_diameter_m": number(o.drill.map(|d| d.diameter.value)),
        "flow_error": number(o.flow_error.map(|e| e.value)),
        "discharge_coefficient": number(o.discharge.0),
        "discharge_coefficient_low": number(o.discharge.1),
        "discharge_coefficient_high": number(o.discharge.2),
        "filter_mesh_m": number(o.filter_mesh().value),
        "duties": o.drops.iter().map(drops).collect::<Vec<_>>(),
    })
}

fn drops(d: &DropsAt) -> Json {
    let sizes = d.sizes.as_ref().ok();
    let each = sizes.map(|s| {
        let list = s.each.iter().map(|e| {
            json!({
                "correlation": e.correlation, "source": e.source_key,
                "sauter_mean_diameter_m": number(e.mean.value),
                "low_m": number(e.low.value), "high_m": number(e.high.value),
            })
        });
        list.collect::<Vec<_>>()
    });
    json!({
        "name": d.duty,
        "pressure_drop_pa": number(d.drop.pascals()),
        "sauter_mean_diameter_m": number(sizes.map(|s| s.mean.value)),
        "low_m": number(sizes.map(|s| s.low.value)),
        "high_m": number(sizes.map(|s| s.high.value)),
        "correlations": each,
        "error": d.sizes.as_ref().err().map(ToString::to_string),
    })
}

fn evaporation(e: &DutyEvaporation) -> Json {
    let zones = e.zones.iter().map(|z| match z {
        Ok(z) => zone(z),
        Err(why) => json!({"error": why}),
    });
    json!({
        "name": e.duty,
        "sauter_mean_diameter_m": number(e.mean.value),
        "tenth_above_m": number(e.large.value),
        "heat_to_vaporise_w": number(e.heat.value),
        "share_of_heat_release": number(e.share.value),
        "zones": zones.collect::<Vec<_>>(),
    })
}

fn zone(z: &InZone) -> Json {
    json!({
        "name": z.zone.name,
        "gas_temperature_k": number(z.zone.gas.value),
        "transfer_number": number(z.transfer_number.value),
        "evaporation_constant_m2_s": number(z.constant.square_metres_per_second()),
        "mean_life_s": number(z.mean_life.value),
        "mean_life_low_s": number(z.life_band.0.value),
        "mean_life_high_s": number(z.life_band.1.value),
        "large_life_s": number(z.large_life.value),
        "residence_time_s": number(z.zone.residence.map(|t| t.value)),
        "gas_velocity_m_s": number(z.zone.velocity.map(|u| u.value)),
        "mean_length_m": number(z.mean_length.map(|l| l.value)),
        "large_length_m": number(z.large_length.map(|l| l.value)),
        "largest_drop_gone_m": number(z.largest_gone.map(|l| l.value)),
        "liquid_left": number(z.liquid_left.map(|l| l.value)),
    })
}

fn vaporiser(plan: &ToLiquid) -> Json {
    let Ok(v) = &plan.vaporiser else {
        return Json::Null;
    };
    let ring = v.through_ring.as_ref().and_then(|r| r.as_ref().ok());
    json!({
        "number": v.number,
        "outside_diameter_m": number(v.outside.value),
        "bore_m": number(v.bore.value),
        "boiling_temperature_k": number(v.volatility.boiling.value),
        "heat_to_vaporise_j_kg": number(v.volatility.heat.value),
        "heat_to_vaporise_band": number(v.volatility.band),
        "surrogate": v.volatility.surrogate,
        "heat_w": number(v.heat.value),
        "heat_transfer_coefficient_w_m2_k": number(v.coefficient.map(|h| h.value)),
        "length_m": number(v.length.map(|l| l[0].value)),
        "length_low_m": number(v.length.map(|l| l[1].value)),
        "length_high_m": number(v.length.map(|l| l[2].value)),
        "vapour_velocity_m_s": number(v.vapour_velocity.value),
        "metering_jet_diameter_m": number(v.jet.as_ref().ok().map(|j| j.0.value)),
        "ring_pressure_on_vapour_pa": number(ring.map(|r| r.pressure.pascals())),
        "ring_dew_temperature_k": number(ring.map(|r| r.dew.value)),
    })
}

fn light_off(plan: &ToLiquid) -> Json {
    let l = &plan.light_off;
    let flash = l.flash_points.iter().map(|f| {
        json!({"fuel": f.fuel, "temperature_k": number(f.temperature.value), "source": f.source})
    });
    let standing = l.standing.iter().map(|s| {
        let liquid = s.liquid.as_ref().ok();
        json!({
            "when": s.when,
            "temperature_k": number(s.temperature.value),
            "above_flash_k": number(s.above_flash.map(|t| t.value)),
            "vapour_mole_fraction": number(s.vapour.as_ref().ok().map(|y| y.value)),
            "tank_vapour": s.ullage.map(crate::convert::light_off::Ullage::name),
            "kinematic_viscosity_m2_s": number(liquid.map(|l| l.kinematic_viscosity().value)),
            "density_kg_m3": number(liquid.map(|l| l.density.value)),
        })
    });
    json!({
        "flash_points": flash.collect::<Vec<_>>(),
        "autoignition_k": number(l.autoignition.map(|t| t.value)),
        "preheat_w": number(l.preheat.map(|p| p.value)),
        "standing": standing.collect::<Vec<_>>(),
    })
}

fn suction(plan: &ToLiquid) -> Json {
    let s = &plan.suction;
    let rows = s.rows.iter().filter_map(|r| r.as_ref().ok()).map(|r| {
        json!({
            "place": r.place,
            "air_pressure_pa": number(r.air.pascals()),
            "temperature_k": number(r.temperature.value),
            "vapour_pressure_pa": number(r.vapour.pascals()),
            "head_available_m": number(r.available.value),
            "margin_m": number(r.margin.value),
        })
    });
    let hot = s.hot_line.as_ref().ok();
    json!({
        "lift_m": number(s.lift.value),
        "head_required_m": number(s.required.value),
        "friction_m": number(s.friction.value),
        "rows": rows.collect::<Vec<_>>(),
        "limit_temperature_k": number(match s.limit {
            SuctionLimit::At(t) => Some(t.value),
            _ => None,
        }),
        "suction_bore_m": number(s.bore.map(|b| b.value)),
        "hot_line_temperature_k": number(hot.map(|h| h.0.value)),
        "hot_line_vapour_pressure_pa": number(hot.map(|h| h.1.pascals())),
    })
}

fn gas_holes(plan: &ToLiquid) -> Json {
    let duties = plan
        .gas_holes
        .iter()
        .filter_map(|h| h.as_ref().ok())
        .map(|h| {
            json!({
                "name": h.duty,
                "pressure_drop_pa": number(h.drop.pascals()),
                "fuel_column_m": number(h.column.value),
                "stiffness": number(h.stiffness.value),
                "jet_velocity_m_s": number(h.velocity.value),
                "weber_number": number(h.weber),
                "discharge_coefficient": number(h.discharge),
            })
        });
    let against = plan.against.as_ref();
    json!({
        "duties": duties.collect::<Vec<_>>(),
        "head_across_ring_pa": number(against.and_then(|a| a.across_ring).map(PressureDifference::pascals)),
        "capillary_pressure_pa": number(against.map(|a| a.capillary.pascals())),
        "area_over_nozzles": number(against.and_then(|a| a.area_over_nozzles).map(|a| a.value)),
    })
}

fn masses(system: &LiquidSystem) -> Json {
    let items = system.items.iter().map(|i| {
        json!({
            "name": i.name, "group": i.group.name(),
            "mass_kg": i.mass.map(|m| band(&m, |m| m.value)),
            "how": i.how,
        })
    });
    let (total, missing) = system.total();
    json!({
        "items": items.collect::<Vec<_>>(),
        "total_kg": band(&total, |m| m.value),
        "missing": missing,
    })
}
