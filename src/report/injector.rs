//! An injector for people and machines: holes, flow with its band, margins, drills.

use super::{Column, Fact, Report, Table, Value, json};
use crate::combustion::Stoichiometry;
use crate::eos::Phase;
use crate::fuel::Library;
use crate::injector::drills::DrillCheck;
use crate::injector::size::{CountChoice, DrillChoice, InjectorResult, Unknown};
use crate::quantity::show::signed;
use crate::quantity::{AbsolutePressure, Kind, MassRate};
use serde_json::{Value as Json, json};

/// Flow error beyond which no drill of the table is near; our choice.
const FAR_OFF: f64 = 0.2;

/// The air that the fuel of an injector burns in.
#[derive(Debug, Clone, PartialEq)]
pub struct Fire {
    /// Air and heat that the fuel needs and gives; `None` for what does not burn.
    pub stoichiometry: Option<Stoichiometry>,
    /// Air flow, where it is known.
    pub air: Option<MassRate>,
}

impl Fire {
    /// Equivalence ratio of a fuel flow.
    fn equivalence_ratio(&self, fuel_kg_s: f64) -> Option<f64> {
        let needed = self.stoichiometry.as_ref()?.air_fuel_ratio.value;
        Some(fuel_kg_s * needed / self.air?.value)
    }
}

/// Adds all of it to a report.
///
/// `ambient` is what a gauge reads from.
pub fn injector(
    report: &mut Report,
    library: &Library,
    found: &InjectorResult,
    fire: &Fire,
    ambient: AbsolutePressure,
) {
    keys(report, found, fire);
    report.facts("Holes", holes(found, ambient));
    report.facts("Flow", flow(found, fire));
    report.facts("In the hole", throat(found));
    report.facts("Margins", margins(found));
    counts(report, found, fire);
    drills(report, found, fire);
    for note in &found.notes {
        report.remark(note);
    }
    for sentence in &found.assumptions {
        report.assume(sentence);
    }
    let burning = fire.stoichiometry.iter().flat_map(|s| &s.sources);
    for key in found.sources.iter().chain(burning) {
        report.cite(library, key);
    }
}

fn keys(report: &mut Report, r: &InjectorResult, fire: &Fire) {
    let flow_kg_s = r.flow.value.value;
    report.key("found", r.unknown.name());
    report.number("mass_flow_kg_s", flow_kg_s);
    report.number("mass_flow_low_kg_s", r.flow.low.value);
    report.number("mass_flow_high_kg_s", r.flow.high.value);
    report.number("hole_diameter_m", r.diameter.value);
    report.number("hole_length_m", r.length.value);
    report.key("holes", r.holes);
    report.number("exact_holes", r.exact_holes);
    report.number("mass_flux_kg_m2_s", r.flux.value);
    report.number("discharge_coefficient", r.coefficient.value);
    report.number("discharge_coefficient_low", r.coefficient.low);
    report.number("discharge_coefficient_high", r.coefficient.high);
    report.key("choked", r.choked);
    report.number("throat_pressure_pa", r.throat.pressure.pascals());
    report.number("throat_temperature_k", r.throat.temperature.value);
    report.key("throat_phase", r.throat.phase.name());
    report.number("throat_velocity_m_s", r.throat.velocity.value);
    report.number("throat_mach", r.throat.mach);
    report.number(
        "crosses_saturation_pa",
        r.crosses_saturation.map(AbsolutePressure::pascals),
    );
    report.number("jet_velocity_m_s", r.jet_velocity.value);
    report.number("reynolds", r.reynolds);
    report.number("upstream_pressure_pa", r.supply.pressure_pa);
    report.number("upstream_temperature_k", r.supply.temperature_k);
    report.key("upstream_phase", supply_phase(r));
    report.number("chamber_pressure_pa", r.chamber.pascals());
    report.number("stiffness", r.stiffness.value);
    report.number("superheat_k", r.superheat.map(|t| t.value));
    report.number("subcooling_k", r.subcooling.map(|t| t.value));
    report.number(
        "coldest_tank_temperature_k",
        r.coldest_tank.map(|t| t.value),
    );
    let heat = fire
        .stoichiometry
        .as_ref()
        .map(|s| s.lower_heating_value.value * flow_kg_s);
    report.number("fuel_heat_w", heat);
    if let Some(air) = fire.air {
        report.number("air_flow_kg_s", air.value);
        report.number("air_fuel_ratio", air.value / flow_kg_s);
        report.number("equivalence_ratio", fire.equivalence_ratio(flow_kg_s));
    }
    let drill = |c: &DrillChoice| {
        let number = |x: Option<f64>| x.map_or(Json::Null, json::number);
        json!({
            "name": c.drill.name,
            "diameter_m": c.drill.diameter.value,
            "flow_error": c.flow_error.value,
            "series": c.drill.series.name(),
            "size_from_memory": c.drill.check == DrillCheck::Memory,
            "mass_flow_kg_s": c.flow.value.value,
            "mass_flow_low_kg_s": c.flow.low.value,
            "mass_flow_high_kg_s": c.flow.high.value,
            "discharge_coefficient": c.coefficient,
            "equivalence_ratio": number(fire.equivalence_ratio(c.flow.value.value)),
        })
    };
    let count = |c: &CountChoice| {
        json!({
            "holes": c.holes,
            "mass_flow_kg_s": c.flow.value,
            "flow_error": c.flow_error.value,
        })
    };
    if !r.counts.is_empty() {
        report.key(
            "hole_counts",
            r.counts.iter().map(count).collect::<Vec<Json>>(),
        );
    }
    report.key("drills", r.drills.iter().map(drill).collect::<Vec<Json>>());
}

fn holes(r: &InjectorResult, ambient: AbsolutePressure) -> Vec<Fact> {
    let mark = |fact: Fact, which| {
        if r.unknown == which {
            fact.note("found")
        } else {
            fact
        }
    };
    vec![
        mark(
            Fact::of("Diameter", Kind::Length, r.diameter.value),
            Unknown::Diameter,
        ),
        mark(
            Fact::new("Number", Value::Count(r.holes as usize)),
            Unknown::Holes,
        ),
        Fact::of("Length", Kind::Length, r.length.value),
        mark(
            Fact::of(
                "Pressure before the holes",
                Kind::AbsolutePressure,
                r.supply.pressure_pa,
            ),
            Unknown::Pressure,
        ),
        Fact::of(
            "By a gauge",
            Kind::GaugePressure,
            r.supply.pressure_pa - ambient.pascals(),
        ),
        Fact::of(
            "Temperature before the holes",
            Kind::Temperature,
            r.supply.temperature_k,
        ),
        Fact::text("Phase before the holes", supply_phase(r)),
        Fact::of(
            "Chamber pressure",
            Kind::AbsolutePressure,
            r.chamber.pascals(),
        ),
    ]
}

/// Phase before the holes; on the edge of the two-phase region, which edge.
fn supply_phase(r: &InjectorResult) -> &'static str {
    match r.supply.phase {
        Phase::TwoPhase if r.supply.vapour_mass_fraction < 1e-9 => "saturated liquid",
        Phase::TwoPhase if r.supply.vapour_mass_fraction > 1.0 - 1e-9 => "saturated vapour",
        phase => phase.name(),
    }
}

fn flow(r: &InjectorResult, fire: &Fire) -> Vec<Fact> {
    let flow_kg_s = r.flow.value.value;
    let mut facts = vec![
        Fact::of("Fuel flow", Kind::MassRate, flow_kg_s)
            .between(r.flow.low.value, r.flow.high.value)
            .note(if r.unknown == Unknown::Flow {
                "found"
            } else {
                "all holes"
            }),
    ];
    if r.unknown == Unknown::Holes {
        facts.push(Fact::of("Fuel flow wanted", Kind::MassRate, r.wanted.value));
    }
    if let Some(s) = &fire.stoichiometry {
        let heat = |kg_s: f64| s.lower_heating_value.value * kg_s;
        facts.push(
            Fact::of("Heat", Kind::Power, heat(flow_kg_s))
                .between(heat(r.flow.low.value), heat(r.flow.high.value))
                .note("by the lower heating value"),
        );
    }
    if let Some(air) = fire.air {
        facts.push(Fact::of("Air flow", Kind::MassRate, air.value));
        facts.push(Fact::plain("Air by mass of fuel", air.value / flow_kg_s));
        let phi = |m: MassRate| fire.equivalence_ratio(m.value);
        if let (Some(value), Some(low), Some(high)) =
            (phi(r.flow.value), phi(r.flow.low), phi(r.flow.high))
        {
            facts.push(Fact::plain("Equivalence ratio", value).between(low, high));
        }
    }
    facts
}

fn throat(r: &InjectorResult) -> Vec<Fact> {
    let mut facts = vec![
        Fact::of("Ideal mass flux", Kind::MassFlux, r.flux.value)
            .note("before the discharge coefficient"),
        Fact::plain("Discharge coefficient", r.coefficient.value)
            .between(r.coefficient.low, r.coefficient.high)
            .note(r.coefficient.models.join(", ")),
        Fact::new("Choked", Value::Flag(r.choked)),
        Fact::of(
            "Throat pressure",
            Kind::AbsolutePressure,
            r.throat.pressure.pascals(),
        ),
        Fact::of(
            "Throat temperature",
            Kind::Temperature,
            r.throat.temperature.value,
        )
        .note(r.throat.phase.name()),
    ];
    facts.extend(
        r.throat
            .mach
            .map(|mach| Fact::plain("Mach number in the throat", mach)),
    );
    facts.push(
        Fact::of("Jet velocity", Kind::Velocity, r.jet_velocity.value)
            .note("ideal, expanded to the chamber"),
    );
    facts.extend(r.reynolds.map(|re| Fact::plain("Reynolds number", re)));
    facts
}

fn margins(r: &InjectorResult) -> Vec<Fact> {
    let mut facts = vec![Fact::of(
        "Drop over chamber pressure",
        Kind::Ratio,
        r.stiffness.value,
    )];
    // What is saturated has no margin; the rest of a subtraction is not shown as one.
    let margin = |name: &str, k: f64| {
        Fact::of(
            name,
            Kind::TemperatureDifference,
            if k < 1e-6 { 0.0 } else { k },
        )
    };
    facts.extend(r.superheat.map(|k| margin("Above the dew point", k.value)));
    facts.extend(
        r.subcooling
            .map(|k| margin("Below the bubble point", k.value)),
    );
    let from_tank = r.coldest_tank.filter(|_| r.supply.phase != Phase::Liquid);
    facts.extend(from_tank.map(|t| {
        Fact::of(
            "Coldest tank with this pressure",
            Kind::Temperature,
            t.value,
        )
        .note("no loss on the way")
    }));
    facts
}

/// Whole numbers of holes around the exact one.
fn counts(report: &mut Report, r: &InjectorResult, fire: &Fire) {
    let mut table = Table::new(vec![
        Column::new("holes"),
        Column::of("flow", Kind::MassRate),
        Column::of("flow error", Kind::Ratio).digits(3),
        Column::new("eq. ratio"),
    ]);
    for choice in &r.counts {
        table.row(vec![
            Value::Count(choice.holes as usize),
            Value::of(Kind::MassRate, choice.flow.value),
            Value::of(Kind::Ratio, choice.flow_error.value),
            fire.equivalence_ratio(choice.flow.value)
                .map_or(Value::Absent, Value::Number),
        ]);
    }
    drop_empty_last(&mut table);
    report.table("Numbers of holes", table);
}

/// Drills around the diameter.
fn drills(report: &mut Report, r: &InjectorResult, fire: &Fire) {
    let mut table = Table::new(vec![
        Column::new("drill"),
        Column::of("diameter", Kind::Length),
        Column::of("flow", Kind::MassRate),
        Column::of("error", Kind::Ratio).digits(3),
        Column::of("low", Kind::MassRate).digits(3).optional(),
        Column::of("high", Kind::MassRate).digits(3).optional(),
        Column::new("eq. ratio"),
    ]);
    for choice in &r.drills {
        table.row(vec![
            choice.drill.name.as_str().into(),
            Value::of(Kind::Length, choice.drill.diameter.value),
            Value::of(Kind::MassRate, choice.flow.value.value),
            Value::of(Kind::Ratio, choice.flow_error.value),
            Value::of(Kind::MassRate, choice.flow.low.value),
            Value::of(Kind::MassRate, choice.flow.high.value),
            fire.equivalence_ratio(choice.flow.value.value)
                .map_or(Value::Absent, Value::Number),
        ]);
    }
    drop_empty_last(&mut table);
    report.table("Drills", table);
    let nearest = r.drills.iter().min_by(|a, b| {
        let size = |c: &DrillChoice| c.flow_error.value.abs();
        size(a).total_cmp(&size(b))
    });
    let Some(nearest) = nearest.filter(|_| r.unknown == Unknown::Diameter) else {
        return;
    };
    let error = nearest.flow_error.value;
    report.paragraph(
        "Drills",
        format!(
            "nearest in flow: {}, {} %; low and high are the band of drill tolerance and discharge coefficient",
            nearest.drill.name,
            signed(100.0 * error, 1)
        ),
    );
    if error.abs() > FAR_OFF {
        let way_out = if error > 0.0 {
            "fewer holes"
        } else {
            "more holes"
        };
        report.remark(format!(
            "no drill of the table comes near this hole: take {way_out}, another pressure, or another way to make them"
        ));
    }
}

/// Removes the last column if no row has anything in it.
fn drop_empty_last(table: &mut Table) {
    let empty = table
        .rows
        .iter()
        .all(|row| row.last() == Some(&Value::Absent));
    if empty {
        table.columns.pop();
        for row in &mut table.rows {
            row.pop();
        }
    }
}
