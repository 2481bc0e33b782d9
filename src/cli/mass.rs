//! `mass`: what every part of a rig weighs, and what lighter ones would save.

use super::error::CliError;
use super::{Context, rig};
use crate::report::{Report, Topic, mass as write};
use std::path::PathBuf;

const EXAMPLES: &str = "\
Example:
  fuelwright mass examples/coupon-soak-rig.toml

Parts without a mass are listed; tube is estimated from its size.";

/// Flags of `mass`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct MassArgs {
    /// Rig file.
    #[arg(value_name = "RIG")]
    pub rig: PathBuf,
}

/// Weighs a rig.
///
/// # Errors
/// A rig file with mistakes, or no property model for its fuel.
pub fn run(args: &MassArgs, context: &Context) -> Result<Report, CliError> {
    let loaded = rig::load(&args.rig, context)?;
    let solution = rig::solve(&loaded, context)?;
    let mut report = Report::new(Topic::Mass, format!("Mass of {}", loaded.rig.name));
    write::solved(&mut report, &context.library, &solution);
    context.model(&mut report, solution.fluid.as_ref());
    Ok(report)
}
