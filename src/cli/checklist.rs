//! `checklist`: the list for a test day, from the rig and from what its audit found.

use super::context::Context;
use super::error::CliError;
use super::rig;
use crate::audit::checklist::checklist;
use crate::audit::{Signal, audit};
use crate::report::{Report, Topic, audit as write, checklist as list};
use std::path::PathBuf;

const EXAMPLES: &str = "\
Example:
  fuelwright checklist examples/coupon-soak-rig.toml

Print it, walk round the rig with it, and stop at the first line that cannot be ticked.";

/// Flags of `checklist`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct ChecklistArgs {
    /// Rig file.
    #[arg(value_name = "RIG")]
    pub rig: PathBuf,
}

/// Makes the list of a rig; what the audit found stands in its first lines.
///
/// # Errors
/// A rig file with mistakes, or no property model for its fuel.
pub fn run(args: &ChecklistArgs, context: &Context) -> Result<Report, CliError> {
    let loaded = rig::load(&args.rig, context)?;
    let solution = rig::solve(&loaded, context)?;
    let mut found = audit(&solution);
    let title = match &loaded.rig.records.test_day {
        Some(day) => format!("Test day of {}, {day}", loaded.rig.name),
        None => format!("Test day of {}", loaded.rig.name),
    };
    let mut report = Report::new(Topic::Checklist, title);
    let list_of_day = checklist(&solution, &found);
    list::checklist(&mut report, &list_of_day, solution.units);
    let counts = write::counts(&found);
    report.paragraph(
        write::VERDICT,
        format!(
            "{}{counts} `audit` says what, how far and what to do.",
            write::incomplete(&found)
        ),
    );
    write::open_questions(&mut report, &found);
    list::found(&mut report, &found);
    report.burns(&loaded.rig.fuel.composition);
    found.findings.retain(|f| f.signal <= Signal::Caution);
    let line = |at: &str| loaded.line(at).map(|(line, _)| line);
    write::findings(&mut report, &solution, &found, &line);
    Ok(report)
}
