//! `second-opinion`: one rig by the program's own property model and by CoolProp.

use super::context::Context;
use super::error::CliError;
use super::{backend, rig};
use crate::audit::solution::solve;
use crate::fuel::PropertyCode;
use crate::report::measures::measures;
use crate::report::outcome::Outcome;
use crate::report::second_opinion::{Side, second_opinion};
use crate::report::{Report, Topic};
use std::path::PathBuf;

const EXAMPLES: &str = "\
Example:
  fuelwright second-opinion examples/coupon-soak-rig.toml

It needs a program built with the feature `coolprop`. `--backend coolprop` gives any other command its \
properties from that library.";

/// Flags of `second-opinion`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct SecondOpinionArgs {
    /// Rig file.
    #[arg(value_name = "RIG")]
    pub rig: PathBuf,
}

/// Audits a rig twice.
///
/// # Errors
/// A program without the second code, a rig file with mistakes, or no property model for its fuel.
pub fn run(args: &SecondOpinionArgs, context: &Context) -> Result<Report, CliError> {
    backend::ready("second-opinion")?;
    let loaded = rig::load(&args.rig, context)?;
    let libraries = [PropertyCode::Embedded, PropertyCode::CoolProp]
        .map(|code| context.library.clone().with_property_code(code));
    let [own, second] = libraries.each_ref().map(|library| {
        let solution = solve(&loaded.rig, library, context.units)?;
        let outcome = Outcome::of(&solution);
        let side = Side {
            measures: measures(&solution, &outcome),
            findings: outcome.findings,
            model: solution.fluid.model(),
        };
        Ok::<_, CliError>((side, solution))
    });
    let ((own, solution), (second, second_solution)) = (own?, second?);
    let title = format!("Second opinion on {}", loaded.rig.name);
    let mut report = Report::new(Topic::Audit, title);
    report.key("second_model", second.model.as_str());
    let sides = [own, second];
    second_opinion(&mut report, &sides, context.units);
    for sentence in second_solution.fluid.assumptions() {
        report.assume(sentence.as_str());
    }
    Context::model(&mut report, solution.fluid.as_ref());
    report.remark(format!("The second code: {}.", sides[1].model));
    Ok(report)
}
