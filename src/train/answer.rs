//! What the walk through a train wrote down, as the solution that others read.

use super::Train;
use super::law::Node;
use super::records::{OutletRecord, Record, Records};
use super::solution::{OutletFlow, PartFlow, Solution, SourceFlow, Station};
use crate::flow::line::TwoPhaseBand;
use crate::quantity::{
    FlowCoefficient, joules_per_kilogram, kelvin, kilograms_per_cubic_metre, kilograms_per_second,
    metres_per_second, pascals_absolute, watts,
};
use std::f64::consts::PI;

fn station(node: &Node, area_m2: f64, m: f64) -> Station {
    let s = &node.state;
    let velocity = m / (area_m2 * s.density_kg_m3);
    Station {
        pressure: pascals_absolute(s.pressure_pa),
        temperature: kelvin(s.temperature_k),
        phase: s.phase,
        vapour_mass_fraction: s.vapour_mass_fraction,
        density: kilograms_per_cubic_metre(s.density_kg_m3),
        velocity: metres_per_second(velocity),
        mach: s.response.map(|r| velocity / r.speed_of_sound_m_s),
        total_enthalpy: joules_per_kilogram(node.h_total),
    }
}

fn part_flow(record: &Record, openings: &[(&str, f64, f64)]) -> PartFlow {
    let part = record.step.part;
    let area = part
        .kind
        .bore()
        .map_or(f64::INFINITY, |d| PI / 4.0 * d.value * d.value);
    let detail = &record.detail;
    let set = openings.iter().find(|(name, ..)| *name == part.name);
    PartFlow {
        part: part.name.clone(),
        kind: part.kind.name(),
        run: record.step.row.to_owned(),
        flow: kilograms_per_second(record.flow),
        inlet: station(&record.inlet, area, record.flow),
        outlet: station(&record.outlet, area, record.flow),
        choked: record.choked,
        opening: set
            .map(|(_, opening, _)| *opening)
            .or_else(|| part.kind.valve().map(|v| v.opening)),
        kv: detail.kv.map(FlowCoefficient::from_kv),
        wide_open: detail.wide_open,
        load: detail.load,
        reynolds: detail.reynolds,
        heat: watts(detail.heat_w),
        work: watts(detail.work_w),
        lift: watts(detail.lift_w),
        two_phase: detail.two_phase,
        band: detail.bounds_pa.map(|(vapour, liquid)| TwoPhaseBand {
            all_vapour: pascals_absolute(vapour.max(0.0)),
            all_liquid: pascals_absolute(liquid.max(0.0)),
        }),
    }
}

fn outlet_flow(record: &OutletRecord) -> OutletFlow {
    OutletFlow {
        outlet: record.outlet.name.clone(),
        flow: kilograms_per_second(record.flow),
        inlet: station(&record.inlet, f64::INFINITY, record.flow),
        chamber: pascals_absolute(record.chamber_pa),
        choked: record.choked,
    }
}

/// The solution that records tell.
pub(super) fn solution(train: &Train, tanks: &[Node], records: &Records) -> Solution {
    let flows = &records.source_flows;
    let sources = train
        .sources
        .iter()
        .zip(tanks)
        .enumerate()
        .map(|(i, (source, tank))| {
            let flow = flows.get(i).copied().unwrap_or(0.0);
            SourceFlow {
                source: source.name.clone(),
                flow: kilograms_per_second(flow),
                tank: station(tank, f64::INFINITY, flow),
                starved: flow <= 0.0 && records.flow > 0.0,
            }
        })
        .collect();
    Solution {
        flow: kilograms_per_second(records.flow),
        sources,
        parts: records
            .parts
            .iter()
            .map(|r| part_flow(r, &records.openings))
            .collect(),
        outlets: records.outlets.iter().map(outlet_flow).collect(),
    }
}
