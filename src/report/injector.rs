//! An injector for people and machines: holes, flow with its band, margins, drills.

use super::Report;
use super::record::{record, table_of};
use crate::combustion::Stoichiometry;
use crate::eos::Phase;
use crate::fuel::Library;
use crate::injector::drills::DrillCheck;
use crate::injector::size::{CountChoice, DrillChoice, InjectorResult, Unknown};
use crate::quantity::show::signed;
use crate::quantity::{AbsolutePressure, MassRate, ThermodynamicTemperature, pascals_absolute};

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
    fn equivalence_ratio(&self, fuel: MassRate) -> Option<f64> {
        let needed = self.stoichiometry.as_ref()?.air_fuel_ratio.value;
        Some(fuel.value * needed / self.air?.value)
    }

    /// Heat of a fuel flow, W.
    fn heat_w(&self, fuel: MassRate) -> Option<f64> {
        let s = self.stoichiometry.as_ref()?;
        Some(s.lower_heating_value.value * fuel.value)
    }
}

record! {
    /// A rig file that was written of the flags.
    Written(path: &str) {
        /// The rig file written, if one was asked for.
        [path]: Text = path;
    }

    /// A number of holes near the exact one.
    CountOf(c: &CountChoice, fire: &Fire) {
        holes: Count = c.holes, "holes";
        mass_flow_kg_s: MassRate = c.flow, "flow";
        flow_error: Ratio = c.flow_error, "flow error";
        (equivalence_ratio): Number = fire.equivalence_ratio(c.flow), "eq. ratio";
    }

    /// A drill near the diameter.
    DrillNear(c: &DrillChoice, fire: &Fire) {
        name: Text = &c.drill.name, "drill";
        diameter_m: Length = c.drill.diameter, "diameter" 7;
        flow_error: Ratio = c.flow_error, "error";
        /// Series it belongs to.
        series: Text = c.drill.series.name();
        /// Whether its size is from memory, not confirmed.
        size_from_memory: Flag = c.drill.check == DrillCheck::Memory;
        mass_flow_kg_s: MassRate = c.flow.value, "flow";
        mass_flow_low_kg_s: MassRate = c.flow.low, "low" [optional];
        mass_flow_high_kg_s: MassRate = c.flow.high, "high" [optional];
        /// Discharge coefficient of its hole.
        discharge_coefficient: Number = c.coefficient;
        /// Equivalence ratio; null where air or heat is not known.
        equivalence_ratio: Number = fire.equivalence_ratio(c.flow.value), "eq. ratio";
    }

    /// The air that the fuel burns in.
    AirOf(r: &InjectorResult, fire: &Fire, air: MassRate)
    with { phi = |fuel: MassRate| fire.equivalence_ratio(fuel); }
    {
        air_flow_kg_s: MassRate = air, "Air flow";
        air_fuel_ratio: Number = air / r.flow.value, "Air by mass of fuel";
        equivalence_ratio: Number = phi(r.flow.value), "Equivalence ratio", band (phi(r.flow.low), phi(r.flow.high));
    }

    /// An injector.
    InjectorOf(
        r: &InjectorResult,
        fire: &Fire,
        ambient: AbsolutePressure,
        tank: Option<ThermodynamicTemperature>,
    )
    with {
        found = |which: Unknown| (r.unknown == which).then_some("found");
        supply = pascals_absolute(r.supply.pressure_pa);
        wanted = (r.unknown == Unknown::Holes).then_some(r.wanted);
        counts = r.counts.iter().map(|c| CountOf::row(c, fire));
        from_tank = tank.filter(|_| r.supply.phase != Phase::Liquid);
    }
    {
        /// What was asked for: `diameter`, `holes`, `pressure` or `flow`.
        found: Text = r.unknown.name();
        mass_flow_kg_s: MassRate = r.flow.value, "Fuel flow",
            note found(Unknown::Flow).unwrap_or("all holes"), band (r.flow.low, r.flow.high);
        /// Least fuel flow: smallest hole of the tolerance, lowest coefficient.
        mass_flow_low_kg_s: MassRate = r.flow.low;
        /// Most fuel flow: largest hole, highest coefficient.
        mass_flow_high_kg_s: MassRate = r.flow.high;
        (wanted): MassRate = wanted, "Fuel flow wanted";
        hole_diameter_m: Length = r.diameter, "Diameter", note found(Unknown::Diameter);
        hole_length_m: Length = r.length, "Length";
        holes: Count = r.holes, "Number", note found(Unknown::Holes);
        /// Number of holes that would pass exactly the flow wanted.
        exact_holes: Number = r.exact_holes;
        mass_flux_kg_m2_s: MassFlux = r.flux, "Ideal mass flux", note "before the discharge coefficient";
        discharge_coefficient: Number = r.coefficient.value, "Discharge coefficient",
            note r.coefficient.models.join(", "), band (r.coefficient.low, r.coefficient.high);
        /// Lowest that it may be.
        discharge_coefficient_low: Number = r.coefficient.low;
        /// Highest that it may be.
        discharge_coefficient_high: Number = r.coefficient.high;
        choked: Flag = r.choked, "Choked";
        throat_pressure_pa: AbsolutePressure = r.throat.pressure, "Throat pressure"
            => GaugePressure = r.throat.pressure.gauge(ambient);
        throat_temperature_k: Temperature = r.throat.temperature, "Throat temperature", note r.throat.phase.name();
        /// Phase in the throat.
        throat_phase: Text = r.throat.phase.name();
        /// Velocity in the throat.
        throat_velocity_m_s: Velocity = r.throat.velocity;
        throat_mach: Number = r.throat.mach, "Mach number in the throat";
        /// Pressure at which the expansion enters the two-phase region, at or above the throat.
        crosses_saturation_pa: AbsolutePressure = r.crosses_saturation;
        jet_velocity_m_s: Velocity = r.jet_velocity, "Jet velocity", note "ideal, expanded to the chamber";
        reynolds: Number = r.reynolds, "Reynolds number";
        upstream_pressure_pa: AbsolutePressure = supply, "Pressure before the holes"
            => GaugePressure = supply.gauge(ambient), note found(Unknown::Pressure);
        (air): AbsolutePressure = ambient, "Air, which gauges read from";
        upstream_temperature_k: Temperature = r.supply.temperature_k, "Temperature before the holes";
        upstream_phase: Text = supply_phase(r), "Phase before the holes";
        chamber_pressure_pa: AbsolutePressure = r.chamber, "Chamber pressure"
            => GaugePressure = r.chamber.gauge(ambient);
        stiffness: Ratio = r.stiffness, "Drop over chamber pressure";
        superheat_k: TemperatureDifference = r.superheat, "Above the dew point"
            => TemperatureDifference = r.superheat.map(|k| margin(k.value));
        subcooling_k: TemperatureDifference = r.subcooling, "Below the bubble point"
            => TemperatureDifference = r.subcooling.map(|k| margin(k.value));
        coldest_tank_temperature_k: Temperature = tank, "Coldest tank with this pressure"
            => Temperature = from_tank, note "no loss on the way";
        fuel_heat_w: Power = fire.heat_w(r.flow.value), "Heat",
            note "by the lower heating value", band (fire.heat_w(r.flow.low), fire.heat_w(r.flow.high));
        ..air: Row(AirOf) = fire.air.map(|air| AirOf::row(r, fire, air));
        /// Whole numbers of holes around the exact one, where their number is asked for.
        [hole_counts]: Rows(CountOf) = (!r.counts.is_empty()).then(|| counts.collect::<Vec<_>>());
        /// Drills around the diameter, by rising size.
        drills: Rows(DrillNear) = r.drills.iter().map(|c| DrillNear::row(c, fire)).collect::<Vec<_>>();
    }
}

/// Facts of the injector, section by section.
const SECTIONS: [(&str, &[&str]); 4] = [
    (
        "Holes",
        &[
            "hole_diameter_m",
            "holes",
            "hole_length_m",
            "upstream_pressure_pa",
            "air",
            "upstream_temperature_k",
            "upstream_phase",
            "chamber_pressure_pa",
        ],
    ),
    (
        "Flow",
        &[
            "mass_flow_kg_s",
            "wanted",
            "fuel_heat_w",
            "air_flow_kg_s",
            "air_fuel_ratio",
            "equivalence_ratio",
        ],
    ),
    (
        "In the hole",
        &[
            "mass_flux_kg_m2_s",
            "discharge_coefficient",
            "choked",
            "throat_pressure_pa",
            "throat_temperature_k",
            "throat_mach",
            "jet_velocity_m_s",
            "reynolds",
        ],
    ),
    (
        "Margins",
        &[
            "stiffness",
            "superheat_k",
            "subcooling_k",
            "coldest_tank_temperature_k",
        ],
    ),
];

/// Adds all of it to a report.
///
/// * `ambient` — what a gauge reads from
/// * `tank` — the coldest that keeps up the pressure
pub fn injector(
    report: &mut Report,
    library: &Library,
    found: &InjectorResult,
    fire: &Fire,
    ambient: AbsolutePressure,
    tank: Option<ThermodynamicTemperature>,
) {
    let row = InjectorOf::row(found, fire, ambient, tank);
    report.keys(&row);
    for (heading, keys) in SECTIONS {
        report.facts(heading, row.facts_of(keys));
    }
    let burns = fire.air.is_some() && fire.stoichiometry.is_some();
    let shown = |all: &[&'static str]| {
        let all = all
            .iter()
            .filter(|key| burns || **key != "equivalence_ratio");
        all.copied().collect::<Vec<&str>>()
    };
    let columns = shown(&["holes", "mass_flow_kg_s", "flow_error", "equivalence_ratio"]);
    report.table(
        "Numbers of holes",
        table_of(row.rows("hole_counts"), &columns),
    );
    let columns = shown(&[
        "name",
        "diameter_m",
        "mass_flow_kg_s",
        "flow_error",
        "mass_flow_low_kg_s",
        "mass_flow_high_kg_s",
        "equivalence_ratio",
    ]);
    report.table("Drills", table_of(row.rows("drills"), &columns));
    nearest_drill(report, found);
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

/// What is saturated has no margin; the rest of a subtraction is not shown as one.
fn margin(k: f64) -> f64 {
    if k < 1e-6 { 0.0 } else { k }
}

/// Phase before the holes; on the edge of the two-phase region, which edge.
fn supply_phase(r: &InjectorResult) -> &'static str {
    match r.supply.phase {
        Phase::TwoPhase if r.supply.vapour_mass_fraction < 1e-9 => "saturated liquid",
        Phase::TwoPhase if r.supply.vapour_mass_fraction > 1.0 - 1e-9 => "saturated vapour",
        phase => phase.name(),
    }
}

fn nearest_drill(report: &mut Report, r: &InjectorResult) {
    let nearest = r.nearest_drill();
    let Some(nearest) = nearest.filter(|_| r.unknown == Unknown::Diameter) else {
        return;
    };
    report.paragraph(
        "Drills",
        format!(
            "nearest in flow: {}, {} %; low and high are the band of drill tolerance and discharge coefficient",
            nearest.drill.name,
            signed(100.0 * nearest.flow_error.value)
        ),
    );
}
