//! `state`: properties of a fuel at a temperature and pressure.

use super::context::Context;
use super::error::CliError;
use super::flags::{WantedPhase, quantity};
use crate::eos::{Backend, State};
use crate::quantity::show::Show;
use crate::quantity::{PressureLevel, ThermodynamicTemperature};
use crate::report::{Report, Topic, properties};

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
    /// Phase required, gas or liquid: any other is an error.
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
    properties::state(&mut report, fluid, state);
    Context::model(&mut report, fluid);
    properties::viscosity_sources(&mut report, &context.library, fluid);
    report
}
