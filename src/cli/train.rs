//! `train`: pressure and temperature from tank to injector at every duty, the throttle, and a shut-off.

use super::context::Context;
use super::error::CliError;
use super::progress::searching;
use super::rig;
use super::save::{Target, drawing};
use crate::audit::solution::train_with_curve;
use crate::audit::{Group, audit, audit_of_and};
use crate::remedy::ranges;
use crate::report::mark::FileKind;
use crate::report::{Report, Topic, diagram, train as write};
use std::path::PathBuf;

const EXAMPLES: &str = "\
Examples:
  fuelwright train examples/coupon-soak-rig.toml
  fuelwright train examples/coupon-soak-rig.toml --diagram coupon-soak-rig.svg
  fuelwright train examples/coupon-soak-rig.toml --ranges

`fuelwright audit RIG` holds the whole rig against rules; this shows its train, with the sums behind it.";

/// Points of the throttle curve.
const CURVE_POINTS: u32 = 20;

/// Groups of the rules that read the solved train.
const JUDGED_BY: [Group; 4] = [Group::Regulator, Group::Train, Group::Valve, Group::Liquid];
/// Rules of other groups that look at what is left after a shut-off, and at how long that takes.
const SHUT_OFF: [&str; 2] = ["LEK020", "SHU008"];

/// Flags of `train`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct TrainArgs {
    /// Rig file.
    #[arg(value_name = "RIG")]
    pub rig: PathBuf,
    /// File to draw the line diagram in, for review: symbols, sizes, ratings, readings at the largest duty, findings.
    #[arg(long, value_name = "FILE.svg")]
    pub diagram: Option<PathBuf>,
    /// Find which sizes and settings would do: throttle, regulators, lines, tank, each by itself.
    #[arg(long)]
    pub ranges: bool,
}

/// Walks the train of a rig.
///
/// # Errors
/// A rig file with mistakes, holes that are not known, no state of the fuel in the tank, or a file that cannot be written.
pub fn run(args: &TrainArgs, context: &Context) -> Result<Report, CliError> {
    let target = match args.diagram.as_deref() {
        Some(path) => {
            drawing("diagram", path)?;
            Some(Target::new(path, FileKind::Diagram)?)
        }
        None => None,
    };
    let loaded = rig::load(&args.rig, context)?;
    let solution = rig::solve(&loaded, context)?;
    if let Err(why) = &solution.injector {
        return Err(CliError::NoInjector { why: why.clone() });
    }
    let planned =
        train_with_curve(&solution, CURVE_POINTS).map_err(|why| CliError::NoTrain { why })?;
    let title = format!("Train of {}", loaded.rig.name);
    let mut report = Report::new(Topic::Train, title);
    write::plan(&mut report, &context.library, &solution, &planned);
    for sentence in &solution.assumptions {
        report.assume(sentence.as_str());
    }
    if args.ranges {
        let count = ranges::count(&loaded);
        let found = searching(context, count, "sizes and settings searched", |search| {
            ranges::ranges(search, &loaded)
        });
        crate::report::ranges::ranges(&mut report, &found.unwrap_or_default());
    }
    let found = audit_of_and(&solution, &JUDGED_BY, &SHUT_OFF);
    rig::findings(&mut report, &loaded, &solution, &found);
    Context::model(&mut report, solution.fluid.as_ref());
    if let Some(target) = target {
        let digest = loaded.digest();
        let begins = digest.get(..16).unwrap_or(&digest);
        let from = format!("SHA-256 begins {begins}, rig file {}", loaded.path);
        let wrote = format!(
            "Wrote {}, with every finding of the rig: have it reviewed.",
            target.path.display()
        );
        target.write(diagram::file(&solution, &audit(&solution), &from))?;
        report.paragraph("Line diagram", wrote);
    }
    Ok(report)
}
