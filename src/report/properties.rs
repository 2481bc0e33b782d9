//! Properties of a fuel at a state, and what becomes of it behind a regulator or in a valve.

use super::Report;
use super::record::record;
use crate::eos::transport::BLEND_RULES;
use crate::eos::{Backend, EosError, Phase, State};
use crate::flow::valve::{Passage, Style};
use crate::fuel::Library;
use crate::quantity::show::short;

/// Freezing point of water at atmospheric pressure, K.
const WATER_FREEZES_K: f64 = 273.15;

record! {
    /// What the properties rest on.
    ModelOf(fluid: &dyn Backend) {
        /// The fuel, as it was read.
        fuel: Text = fluid.composition().label();
        /// Model of its properties.
        model: Text = fluid.model(), "Properties";
    }

    /// What is said of liquid and vapour together.
    Wet(state: &State) {
        (vapour): Ratio = state.vapour_mass_fraction, "Vapour, by mass";
        (response): Number = None::<f64>, "Heat capacities, speed of sound" [dash], note TWO_PHASES;
    }

    /// Properties at a state.
    StateOf(fluid: &dyn Backend, state: &State)
    with {
        response = state.response;
        gas = match fluid.composition().parts() {
            [only] if state.phase == Phase::Gas => only.fuel.equation.as_ref(),
            _ => None,
        };
        viscosity = fluid.viscosity_pa_s(state);
        viscosity_note = match &viscosity {
            Ok(_) => fluid.viscosity_uncertainty(state).map(percent),
            Err(EosError::TwoPhase { .. }) => Some(TWO_PHASES.to_owned()),
            Err(e) => Some(e.to_string()),
        };
        viscosity_source = viscosity.as_ref().ok().and_then(|_| viscosity_source(fluid, state));
    }
    {
        /// Temperature.
        temperature_k: Temperature = state.temperature_k;
        /// Pressure.
        pressure_pa: AbsolutePressure = state.pressure_pa;
        phase: Text = state.phase.name(), "Phase";
        density_kg_m3: Density = state.density_kg_m3, "Density",
            note gas.map(|e| percent(e.uncertainty_density)), source gas.map(|e| &e.source);
        (compressibility): Number = state.compressibility(fluid.molar_mass_kg_mol()), "Compressibility factor";
        /// Share of the mass that is vapour.
        vapour_mass_fraction: Ratio = state.vapour_mass_fraction;
        cp_j_kg_k: SpecificHeat = response.map(|r| r.cp_j_kg_k), "Heat capacity cp";
        cv_j_kg_k: SpecificHeat = response.map(|r| r.cv_j_kg_k), "Heat capacity cv";
        (gamma): Number = response.map(|r| r.cp_j_kg_k / r.cv_j_kg_k), "Ratio cp/cv";
        speed_of_sound_m_s: Velocity = response.map(|r| r.speed_of_sound_m_s), "Speed of sound";
        joule_thomson_k_pa: JouleThomson = response.map(|r| r.joule_thomson_k_pa), "Joule-Thomson coefficient";
        ..wet: Row(Wet) = response.is_none().then(|| Wet::row(state));
        viscosity_pa_s: DynamicViscosity = viscosity.as_ref().ok().copied(), "Viscosity" [dash],
            note viscosity_note, source viscosity_source;
    }

    /// A fuel let down at constant enthalpy.
    LetDown(before: &State, inlet_phase: Phase, after: &State)
    with { freezing = after.temperature_k < WATER_FREEZES_K; }
    {
        outlet_temperature_k: Temperature = after.temperature_k, "Outlet temperature",
            note freezing.then_some("below the freezing point of water");
        outlet_phase: Text = after.phase.name(), "Outlet phase";
        outlet_vapour_mass_fraction: Ratio = after.vapour_mass_fraction, "Vapour, by mass";
        outlet_density_kg_m3: Density = after.density_kg_m3, "Outlet density";
        inlet_density_kg_m3: Density = before.density_kg_m3, "Inlet density";
        inlet_phase: Text = inlet_phase.name(), "Inlet phase";
        upstream_temperature_k: Temperature = before.temperature_k, "Inlet temperature";
        (change): TemperatureDifference = after.temperature_k - before.temperature_k, "Temperature change";
        /// Share of the mass that is vapour before it.
        inlet_vapour_mass_fraction: Ratio = before.vapour_mass_fraction;
        /// Pressure before it.
        upstream_pressure_pa: AbsolutePressure = before.pressure_pa;
        /// Pressure behind it.
        downstream_pressure_pa: AbsolutePressure = after.pressure_pa;
    }

    /// A fuel through a valve.
    ThroughValve(v: &Valve<'_>)
    with {
        p = v.passage;
        compressible = v.inlet.phase != Phase::Liquid;
        choked = if p.choked { "yes: a lower downstream pressure passes no more" } else { "no" };
    }
    {
        kv_m3_h: Number = p.kv, "Flow coefficient Kv, m³/h",
            note v.sized.then_some("the next larger valve, so that it never needs to stand fully open");
        cv_us: Number = p.kv.cv(), "Flow coefficient Cv, US";
        mass_flow_kg_s: MassRate = p.flow, "Mass flow";
        choked: Flag = p.choked, "Choked" => Text = choked;
        inlet_phase: Text = v.inlet.phase.name(), "Inlet phase";
        /// Density before it.
        inlet_density_kg_m3: Density = v.inlet.density_kg_m3;
        /// Pressure before it.
        upstream_pressure_pa: AbsolutePressure = v.inlet.pressure_pa;
        /// Pressure behind it.
        downstream_pressure_pa: AbsolutePressure = v.outlet.pressure_pa;
        outlet_temperature_k: Temperature = v.outlet.temperature_k, "Outlet temperature";
        outlet_phase: Text = v.outlet.phase.name(), "Outlet phase";
        /// Share of the mass that is vapour behind it.
        outlet_vapour_mass_fraction: Ratio = v.outlet.vapour_mass_fraction;
        expansion_factor: Number = p.expansion_factor, "Expansion factor Y"
            => Number = compressible.then_some(p.expansion_factor);
        piping_factor: Number = p.piping_factor, "Piping factor FP" => Number = p.reynolds.map(|_| p.piping_factor);
        reynolds_factor: Number = p.reynolds_factor, "Reynolds factor FR"
            => Number = p.reynolds.map(|_| p.reynolds_factor);
        valve_reynolds: Number = p.reynolds, "Valve Reynolds number";
        /// Pressure ratio factor.
        xt: Number = v.style.xt;
        /// Pressure recovery factor.
        fl: Number = v.style.fl;
    }
}

/// Why there is no heat capacity.
const TWO_PHASES: &str = "not defined for liquid and vapour together";

/// A valve with what flows through it.
#[derive(Debug, Clone, Copy)]
pub struct Valve<'a> {
    /// What it passes.
    pub passage: &'a Passage,
    /// Its factors.
    pub style: Style,
    /// Fuel before it.
    pub inlet: &'a State,
    /// Fuel behind it.
    pub outlet: &'a State,
    /// Whether its flow coefficient was asked for.
    pub sized: bool,
}

/// Adds the model of the properties.
pub fn model(report: &mut Report, heading: &str, fluid: &dyn Backend) {
    let row = ModelOf::row(fluid);
    report.keys(&row);
    report.facts(heading, row.facts());
}

/// Adds the properties at a state.
pub fn state(report: &mut Report, fluid: &dyn Backend, state: &State) {
    let row = StateOf::row(fluid, state);
    report.keys(&row);
    report.facts("State", row.facts());
}

/// Names the sources of the viscosity.
pub fn viscosity_sources(report: &mut Report, library: &Library, fluid: &dyn Backend) {
    let parts = fluid.composition().parts();
    for viscosity in parts.iter().filter_map(|p| p.fuel.viscosity.as_ref()) {
        report.cite(library, &viscosity.source);
    }
    if parts.len() > 1 {
        for rule in BLEND_RULES {
            report.cite(library, rule);
        }
    }
}

/// Adds a fuel let down.
pub fn let_down(report: &mut Report, before: &State, inlet_phase: Phase, after: &State) {
    let row = LetDown::row(before, inlet_phase, after);
    report.keys(&row);
    let facts = [
        "inlet_phase",
        "upstream_temperature_k",
        "outlet_temperature_k",
        "change",
        "outlet_phase",
        "outlet_vapour_mass_fraction",
        "inlet_density_kg_m3",
        "outlet_density_kg_m3",
    ];
    report.facts("Result", row.facts_of(&facts));
}

/// Adds a valve.
pub fn valve(report: &mut Report, valve: &Valve<'_>) {
    let row = ThroughValve::row(valve);
    report.keys(&row);
    let facts = [
        "kv_m3_h",
        "cv_us",
        "mass_flow_kg_s",
        "choked",
        "inlet_phase",
        "outlet_temperature_k",
        "outlet_phase",
        "expansion_factor",
        "valve_reynolds",
        "reynolds_factor",
        "piping_factor",
    ];
    report.facts("Result", row.facts_of(&facts));
}

/// Source of a viscosity; of a blend that of the rule.
fn viscosity_source(fluid: &dyn Backend, state: &State) -> Option<String> {
    let [only] = fluid.composition().parts() else {
        let by_rules = state.phase == Phase::Liquid && fluid.validity().source == "ideal-mixing";
        return Some(if by_rules { "astm-d7152" } else { "ely1981" }.to_owned());
    };
    let correlated = only.fuel.correlation.as_ref().map(|c| &c.viscosity.source);
    let correlated = correlated.filter(|_| state.phase == Phase::Liquid);
    let own = only.fuel.viscosity.as_ref().map(|v| &v.source);
    own.or(correlated).cloned()
}

fn percent(fraction: f64) -> String {
    format!("within {} %", short(100.0 * fraction))
}
