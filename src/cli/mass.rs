//! `mass`: what every part of a rig weighs, and what lighter ones would save.

use super::error::CliError;
use super::{Context, rig};
use crate::audit::solution::{holes, needs};
use crate::mass::lighter::{Asked, lighter_choices};
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
    let inventory = solution.inventory();
    match (&solution.injector, solution.train()) {
        (Ok(injector), Ok(train)) => {
            let question = Asked {
                rig: &loaded.rig,
                fuel: solution.fluid.as_ref(),
                holes: holes(injector),
                needs: &needs(&solution),
                now: &train.duties,
            };
            let choices = lighter_choices(&question);
            write::rig(&mut report, &loaded.rig, &inventory, &train.duties);
            write::lighter(&mut report, &context.library, &choices);
        }
        (Err(why), _) | (_, Err(why)) => {
            report.remark(format!("The train is not solved: {why}."));
            write::rig(&mut report, &loaded.rig, &inventory, &[]);
        }
    }
    context.model(&mut report, solution.fluid.as_ref());
    Ok(report)
}
