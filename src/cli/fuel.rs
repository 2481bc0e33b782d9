//! `fuel`: what a fuel or blend is.

use super::context::Context;
use super::error::CliError;
use super::flags::quantity;
use crate::eos::{self, EosError};
use crate::quantity::ThermodynamicTemperature;
use crate::report::{Report, Topic, fuel as sections};

const EXAMPLES: &str = "\
Examples:
  fuelwright fuel propane
  fuelwright fuel propane:70,n-butane:30 --temperature \"-10 degC\"
  fuelwright fuel lpg-propane --units us";

/// Flags of `fuel`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct FuelArgs {
    /// Fuel or blend.
    pub fuel: String,
    /// Temperature of the saturation data.
    #[arg(long, value_name = "T", default_value = "15 degC", value_parser = quantity::<ThermodynamicTemperature>)]
    pub temperature: ThermodynamicTemperature,
}

/// Shows the fuel.
///
/// # Errors
/// Unknown fuel, or a temperature outside the range of its equation of state.
pub fn run(args: &FuelArgs, context: &Context) -> Result<Report, CliError> {
    let composition = context.composition(&args.fuel)?;
    let mut report = Report::new(Topic::Fuel, format!("Fuel {}", composition.label()));
    sections::identity(&mut report, &context.library, &composition);
    sections::combustion(&mut report, &context.library, &composition);
    sections::gas_quality(&mut report, &context.library, &composition);
    sections::flammability(&mut report, &context.library, &composition);
    match eos::backend(&context.library, &composition) {
        Ok(fluid) => {
            sections::saturation(&mut report, fluid.as_ref(), args.temperature, context.units)?;
            Context::model(&mut report, fluid.as_ref());
        }
        Err(e @ EosError::NotAvailable { .. }) => {
            sections::no_saturation(&mut report, "Saturation", &e.to_string());
        }
        Err(e) => return Err(e.into()),
    }
    Ok(report)
}
