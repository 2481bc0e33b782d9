//! `fuel`: what a fuel or blend is.

use super::Context;
use super::args::quantity;
use super::error::CliError;
use crate::quantity::ThermodynamicTemperature;
use crate::report::{Report, Topic};

/// Flags of `fuel`.
#[derive(Debug, clap::Args)]
pub struct FuelArgs {
    /// Fuel or blend.
    pub fuel: String,
    /// Temperature of the saturation data.
    #[arg(long, value_name = "T", default_value = "15 degC", value_parser = quantity::<ThermodynamicTemperature>, allow_hyphen_values = true)]
    pub temperature: ThermodynamicTemperature,
}

/// Shows the fuel.
///
/// # Errors
/// Unknown fuel.
pub fn run(args: &FuelArgs, context: &Context) -> Result<Report, CliError> {
    let c = context.composition(&args.fuel)?;
    Ok(Report::new(Topic::Fuel, c.label()))
}
