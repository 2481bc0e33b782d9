//! `audit`: solve a rig and say what is wrong with it before it is lit.

use super::answer::Answer;
use super::context::Context;
use super::error::{CliError, FlagProblem};
use super::flags::Format;
use super::rig;
use crate::audit::audit;
use crate::input::Loaded;
use crate::report::{Report, Topic, audit as write, audit_supply, plan, shutdown, trapped};
use std::path::PathBuf;

const EXAMPLES: &str = "\
Examples:
  fuelwright audit examples/coupon-soak-rig.toml
  fuelwright audit my-rig.toml --watch

`fuelwright start NAME` writes a rig file to begin with; `fuelwright rules` lists what is checked.";

/// Flags of `audit`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct AuditArgs {
    /// Rig file.
    #[arg(value_name = "RIG")]
    pub rig: PathBuf,
    /// Stay, and at each save of the file say what was cleared and raised; Ctrl-C ends it.
    #[arg(long)]
    pub watch: bool,
}

/// Audits a rig, once or at each save.
///
/// # Errors
/// A rig file with mistakes, or no property model for its fuel.
pub fn run(args: &AuditArgs, context: &Context) -> Result<Answer, CliError> {
    if !args.watch {
        return Ok(of(&rig::load(&args.rig, context)?, context)?.into());
    }
    if context.format != Format::Text {
        return Err(CliError::Flag {
            flag: "watch",
            problem: FlagProblem::TextOnly,
        });
    }
    Ok(Answer::Watch(args.rig.clone()))
}

/// The audit of a rig that was read.
///
/// # Errors
/// No property model for its fuel.
pub fn of(loaded: &Loaded, context: &Context) -> Result<Report, CliError> {
    let solution = rig::solve(loaded, context)?;
    let found = audit(&solution);
    let title = format!("Audit of {}", loaded.rig.name);
    let mut report = Report::new(Topic::Audit, title);
    let library = &context.library;
    let line = |at: &str| loaded.line(at).map(|(line, _)| line);
    write::digest(&mut report, &loaded.digest());
    write::verdict(&mut report, &solution, &found);
    write::duties(&mut report, library, &solution);
    crate::report::flames::flames(&mut report, &solution);
    plan::plan(&mut report, library, &solution, false);
    audit_supply::train(&mut report, library, &solution);
    audit_supply::tank(&mut report, library, &solution);
    if let Ok(sections) = solution.trapped() {
        trapped::sections(&mut report, &loaded.rig, sections, true);
    }
    if !solution.failures().is_empty() {
        shutdown::failures(&mut report, solution.failures(), true);
    }
    write::mass(&mut report, &solution);
    write::findings(&mut report, &solution, &found, &line);
    Context::model(&mut report, solution.fluid.as_ref());
    Ok(report)
}
