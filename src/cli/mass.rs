//! `mass`: what every part of a rig weighs, and what lighter ones would save.

use super::context::Context;
use super::convert::{duties_now, input, target};
use super::error::CliError;
use super::rig;
use crate::audit::Solution;
use crate::convert::{Conversion, ConvertInput, Keep, Wishes, plan};
use crate::mass::side_by_side;
use crate::report::side_by_side::both as beside_gas;
use crate::report::{Report, Topic, mass as write};
use std::path::PathBuf;

const EXAMPLES: &str = "\
Examples:
  fuelwright mass examples/coupon-soak-rig.toml
  fuelwright mass examples/greenhouse-frost-guard.toml --to kerosene

With `--to FUEL`, or `[switch]` in the rig file, the system for a liquid stands beside \
that for the gas. Parts without a mass are listed; tube is estimated from its size.";

/// Flags of `mass`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct MassArgs {
    /// Rig file.
    #[arg(value_name = "RIG")]
    pub rig: PathBuf,
    /// Liquid to compare with; that of `[switch]` if left out.
    #[arg(long, value_name = "FUEL")]
    pub to: Option<String>,
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
    beside(&mut report, args, context, &solution)?;
    Context::model(&mut report, solution.fluid.as_ref());
    Ok(report)
}

/// Puts the liquid system beside the gas system, where a liquid is named.
fn beside(
    report: &mut Report,
    args: &MassArgs,
    context: &Context,
    solution: &Solution<'_>,
) -> Result<(), CliError> {
    let Some(to) = target(args.to.as_deref(), solution, context)? else {
        return Ok(());
    };
    let fluid = crate::eos::backend(&context.library, &to)?;
    let wishes = Wishes::of_rig(Keep::HeatRelease, solution.rig.switch.as_ref(), &to);
    let duties = duties_now(solution);
    let input = ConvertInput {
        // what the holes would do with a liquid is no matter of mass
        holes: None,
        ..input(solution, fluid.as_ref(), &duties, wishes, context)
    };
    match plan(&input)? {
        Conversion::ToLiquid(plan) => match side_by_side(&input, &plan, &solution.inventory())? {
            Some(both) => beside_gas(report, to.label(), &both),
            None => report.remark(
                "No comparison with a liquid: the gas comes from a main, or mass and charge of its tank are not known."
                    .to_owned(),
            ),
        },
        Conversion::ToGas(_) => {
            report.remark(format!(
                "No comparison: {0} is fed as a gas, and only a liquid stands beside the gas system; \
                 `fuelwright convert RIG --to {0}` plans that switch.",
                to.label()
            ));
        }
    }
    Ok(())
}
