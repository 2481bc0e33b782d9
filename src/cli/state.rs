//! `state`: properties of a fuel at a temperature and pressure.

use super::context::Context;
use super::error::CliError;
use super::flags::{WantedPhase, quantity};
use crate::eos::transport::BLEND_RULES;
use crate::eos::{Backend, EosError, Phase, State};
use crate::quantity::show::{Show, short};
use crate::quantity::{Kind, PressureLevel, ThermodynamicTemperature};
use crate::report::{Fact, Report, Topic, Value};

const EXAMPLES: &str = "\
Examples:
  fuelwright state propane --temperature \"15 degC\" --pressure \"3 bar(a)\"
  fuelwright state propane:70,n-butane:30 --temperature \"59 degF\" --pressure \"20 psig\" \\
    --units us";

/// Flags of `state`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct StateArgs {
    /// Fuel or blend.
    pub fuel: String,
    /// Temperature.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>)]
    pub temperature: ThermodynamicTemperature,
    /// Pressure, gauge or absolute.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>)]
    pub pressure: PressureLevel,
    /// Refuse any other phase: gas or liquid.
    #[arg(long, value_name = "PHASE", value_enum, hide_possible_values = true)]
    pub phase: Option<WantedPhase>,
}

/// Gives the state.
///
/// # Errors
/// Unknown fuel, or out of the range of its equation.
pub fn run(args: &StateArgs, context: &Context) -> Result<Report, CliError> {
    let p = context.absolute("pressure", args.pressure)?;
    let fluid = context.fluid(&args.fuel)?;
    let state = fluid.state_pt(p.pascals(), args.temperature.value)?;
    context.expect_phase(fluid.as_ref(), &state, args.phase)?;
    Ok(report(context, fluid.as_ref(), &state))
}

fn report(context: &Context, fluid: &dyn Backend, state: &State) -> Report {
    let title = format!(
        "{} at {} and {}",
        fluid.composition().label(),
        crate::quantity::kelvin(state.temperature_k).show(context.units),
        crate::quantity::pascals_absolute(state.pressure_pa).show(context.units),
    );
    let mut report = Report::new(Topic::State, title);
    let viscosity = fluid.viscosity_pa_s(state);
    report.key("temperature_k", state.temperature_k);
    report.key("pressure_pa", state.pressure_pa);
    report.key("phase", state.phase.name());
    report.number("density_kg_m3", state.density_kg_m3);
    report.number("vapour_mass_fraction", state.vapour_mass_fraction);
    let mut facts = vec![
        Fact::text("Phase", state.phase.name()),
        density(fluid, state),
        Fact::plain(
            "Compressibility factor",
            state.compressibility(fluid.molar_mass_kg_mol()),
        ),
    ];
    let response = state.response;
    report.number("cp_j_kg_k", response.map(|r| r.cp_j_kg_k));
    report.number("cv_j_kg_k", response.map(|r| r.cv_j_kg_k));
    report.number("speed_of_sound_m_s", response.map(|r| r.speed_of_sound_m_s));
    report.number("joule_thomson_k_pa", response.map(|r| r.joule_thomson_k_pa));
    report.number("viscosity_pa_s", viscosity.as_ref().ok().copied());
    if let Some(r) = response {
        facts.extend([
            Fact::of("Heat capacity cp", Kind::SpecificHeat, r.cp_j_kg_k),
            Fact::of("Heat capacity cv", Kind::SpecificHeat, r.cv_j_kg_k),
            Fact::plain("Ratio cp/cv", r.cp_j_kg_k / r.cv_j_kg_k),
            Fact::of("Speed of sound", Kind::Velocity, r.speed_of_sound_m_s),
            Fact::of(
                "Joule-Thomson coefficient",
                Kind::JouleThomson,
                r.joule_thomson_k_pa,
            ),
        ]);
    } else {
        facts.push(Fact::of(
            "Vapour, by mass",
            Kind::Ratio,
            state.vapour_mass_fraction,
        ));
        facts.push(
            Fact::new("Heat capacities, speed of sound", Value::Absent)
                .note("not defined for liquid and vapour together"),
        );
    }
    facts.push(match viscosity {
        Ok(mu) => viscosity_fact(fluid, state, mu),
        Err(e) => Fact::new("Viscosity", Value::Absent).note(reason(&e)),
    });
    report.facts("State", facts);
    context.model(&mut report, fluid);
    for part in fluid.composition().parts() {
        if let Some(viscosity) = &part.fuel.viscosity {
            report.cite(&context.library, &viscosity.source);
        }
    }
    if fluid.composition().parts().len() > 1 {
        for rule in BLEND_RULES {
            report.cite(&context.library, rule);
        }
    }
    report
}

/// Density, with the uncertainty that the paper states for a pure gas.
fn density(fluid: &dyn Backend, state: &State) -> Fact {
    let fact = Fact::of("Density", Kind::Density, state.density_kg_m3);
    match fluid.composition().parts() {
        [only] if state.phase == Phase::Gas => match &only.fuel.equation {
            Some(e) => fact
                .note(percent(e.uncertainty_density))
                .from_source(&e.source),
            None => fact,
        },
        _ => fact,
    }
}

/// Viscosity, with the uncertainty of its model; of a blend that of the worst component and of the rule.
fn viscosity_fact(fluid: &dyn Backend, state: &State, mu_pa_s: f64) -> Fact {
    let mut fact = Fact::of("Viscosity", Kind::DynamicViscosity, mu_pa_s);
    if let Some(uncertainty) = fluid.viscosity_uncertainty(state) {
        fact = fact.note(percent(uncertainty));
    }
    let [only] = fluid.composition().parts() else {
        return fact.from_source("ely1981");
    };
    if let Some(v) = &only.fuel.viscosity {
        return fact.from_source(&v.source);
    }
    match &only.fuel.correlation {
        Some(c) if state.phase == Phase::Liquid => fact.from_source(&c.viscosity.source),
        _ => fact,
    }
}

fn percent(fraction: f64) -> String {
    format!("within {} %", short(100.0 * fraction))
}

/// Why there is no number, for a remark beside the dash.
fn reason(e: &EosError) -> String {
    match e {
        EosError::TwoPhase { .. } => "not defined for liquid and vapour together".to_owned(),
        other => other.to_string(),
    }
}
