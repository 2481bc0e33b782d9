//! `shutdown`: what stops the fuel of a rig when something fails, and what one stuck part does to that.

use super::context::Context;
use super::error::CliError;
use super::rig;
use crate::audit::{Group, audit_of};
use crate::report::{Report, Topic, shutdown};
use std::path::PathBuf;

const EXAMPLES: &str = "\
Example:
  fuelwright shutdown examples/greenhouse-frost-guard.toml";

/// Flags of `shutdown`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct ShutdownArgs {
    /// Rig file.
    #[arg(value_name = "RIG")]
    pub rig: PathBuf,
}

/// Lets everything fail, one thing at a time and in pairs.
///
/// # Errors
/// A rig file with mistakes, or no property model for its fuel.
pub fn run(args: &ShutdownArgs, context: &Context) -> Result<Report, CliError> {
    let loaded = rig::load(&args.rig, context)?;
    let solution = rig::solve(&loaded, context)?;
    let title = format!("What stops the fuel of {}", loaded.rig.name);
    let mut report = Report::new(Topic::Shutdown, title);
    if let Err(why) = solution.train() {
        report.remark(format!("The fuel that passes is not known: {why}."));
    }
    shutdown::failures(&mut report, solution.failures(), false);
    report.burns(&loaded.rig.fuel.composition);
    let found = audit_of(&solution, &[Group::Shutdown]);
    rig::findings(&mut report, &loaded, &solution, &found);
    for sentence in &solution.assumptions {
        report.assume(sentence.as_str());
    }
    Ok(report)
}
