//! An orifice plate for people and machines: flow, bore, differential, loss and uncertainty.

use super::Report;
use super::record::record;
use crate::eos::State;
use crate::flow::metering::{Metered, Metering};
use crate::quantity::AbsolutePressure;

record! {
    /// An orifice plate.
    PlateOf(m: &Metering, state: &State, before: &Metered, asked: &'static str, air: AbsolutePressure)
    with {
        found = |name: &str| if name == asked { Some("found") } else { None };
        spread = m.flow_uncertainty();
        within = |x: f64| (x * (1.0 - spread.value), x * (1.0 + spread.value));
        gas = before.kappa.is_some();
    }
    {
        /// What was asked for: `flow`, `bore` or `differential`.
        found: Text = asked;
        mass_flow_kg_s: MassRate = m.flow, "Mass flow", note found("flow"), band within(m.flow.value);
        plate_bore_m: Length = m.bore, "Bore of the plate", note found("bore");
        differential_pa: PressureDifference = m.differential, "Differential", note found("differential");
        pressure_loss_pa: PressureDifference = m.loss, "Pressure not recovered";
        flow_uncertainty: Ratio = spread, "Uncertainty of the flow", note "of coefficient and expansibility alone";
        diameter_ratio: Number = m.beta, "Bore over that of the pipe";
        reynolds: Number = m.reynolds, "Reynolds number of the pipe";
        discharge_coefficient: Number = m.coefficient, "Discharge coefficient",
            note "Reader-Harris/Gallagher", source "iso5167";
        /// Relative uncertainty of the discharge coefficient.
        discharge_coefficient_uncertainty: Ratio = m.coefficient_uncertainty;
        expansibility_factor: Number = m.expansibility, "Expansibility factor" => Number = gas.then_some(m.expansibility);
        /// Relative uncertainty of the expansibility factor.
        expansibility_factor_uncertainty: Ratio = m.expansibility_uncertainty;
        isentropic_exponent: Number = before.kappa, "Isentropic exponent";
        upstream_phase: Text = state.phase.name(), "Phase upstream";
        upstream_pressure_pa: AbsolutePressure = before.pressure, "Pressure upstream"
            => GaugePressure = before.pressure.gauge(air);
        upstream_temperature_k: Temperature = state.temperature_k, "Temperature upstream";
        upstream_density_kg_m3: Density = before.density, "Density upstream";
        upstream_viscosity_pa_s: DynamicViscosity = before.viscosity, "Viscosity upstream";
    }
}

/// Adds an orifice plate.
pub fn plate(
    report: &mut Report,
    plate: &Metering,
    state: &State,
    before: &Metered,
    (asked, air): (&'static str, AbsolutePressure),
) {
    let row = PlateOf::row(plate, state, before, asked, air);
    report.keys(&row);
    let mut first = ["mass_flow_kg_s", "plate_bore_m", "differential_pa"];
    match asked {
        "bore" => first.swap(0, 1),
        "differential" => first.swap(0, 2),
        _ => {}
    }
    let facts = [
        &first[..],
        &[
            "pressure_loss_pa",
            "flow_uncertainty",
            "diameter_ratio",
            "reynolds",
            "discharge_coefficient",
            "expansibility_factor",
        ],
    ];
    report.facts("Result", row.facts_of(&facts.concat()));
    let before = [
        "upstream_phase",
        "upstream_pressure_pa",
        "upstream_temperature_k",
        "upstream_density_kg_m3",
        "upstream_viscosity_pa_s",
        "isentropic_exponent",
    ];
    report.facts("Before the plate", row.facts_of(&before));
}
