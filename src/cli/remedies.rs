//! `remedies`: the smallest changes of a rig file that clear its findings.

use super::context::Context;
use super::error::{CliError, FlagProblem};
use super::progress::searching;
use super::rig;
use super::save::{free, write_new};
use crate::audit::audit;
use crate::input::Loaded;
use crate::quantity::suggest::nearest;
use crate::remedy::{changed_text, remedies};
use crate::report::remedies::{Change, Remedies, remedies as write};
use crate::report::{Report, Topic};
use std::path::PathBuf;

const EXAMPLES: &str = "\
Examples:
  fuelwright remedies my-rig.toml
  fuelwright remedies my-rig.toml TRN001 INJ004
  fuelwright remedies my-rig.toml --apply 2 --write changed.toml
  fuelwright remedies my-rig.toml --apply set --write changed.toml

Only sizes and settings are changed: what can be bought or set anew. Each change is the smallest that clears its finding \
with its own band to spare, and the whole rig was audited with it. Ratings, papers and answers to \"is there one\" are \
listed as work and never written. Ctrl-C ends the search and shows what was found.";

/// What of the answer is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Apply {
    /// The remedy of this number.
    One(usize),
    /// The set that clears all that is grave.
    Set,
}

/// Flags of `remedies`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct RemediesArgs {
    /// Rig file.
    #[arg(value_name = "RIG")]
    pub rig: PathBuf,
    /// Rules whose findings are searched; all if left out.
    #[arg(value_name = "ID")]
    pub ids: Vec<String>,
    /// Remedy to write, by its number; or `set` for the set that clears every DANGER and WARNING it can.
    #[arg(long, value_name = "N", value_parser = which, requires = "write")]
    pub apply: Option<Apply>,
    /// Rig file to write, with comments and order kept; one that is there stays.
    #[arg(long, value_name = "NEW.toml", requires = "apply")]
    pub write: Option<PathBuf>,
}

fn which(text: &str) -> Result<Apply, String> {
    match text.trim() {
        "set" => Ok(Apply::Set),
        number => number
            .parse()
            .map(Apply::One)
            .map_err(|_| "write the number of a remedy, or `set`".to_owned()),
    }
}

/// Searches a rig whose audit found so much.
///
/// # Errors
/// No property model for its fuel.
pub fn of(
    loaded: &Loaded,
    ids: &[String],
    found: usize,
    context: &Context,
) -> Result<Remedies, CliError> {
    let found = searching(context, found, "findings searched", |search| {
        remedies(search, loaded.clone(), ids)
    });
    found.ok_or(CliError::NoRemedies)
}

/// Searches, and writes what is asked for.
///
/// # Errors
/// A rig file with mistakes, a rule that finds nothing here, a number that no remedy has, a file that is there.
pub fn run(args: &RemediesArgs, context: &Context) -> Result<Report, CliError> {
    if let Some(path) = &args.write {
        free(path)?;
    }
    let loaded = rig::load(&args.rig, context)?;
    let solution = rig::solve(&loaded, context)?;
    let audit = audit(&solution);
    let known: Vec<&str> = audit.findings.iter().map(|f| f.id).collect();
    let is = |id: &str, other: &str| id.eq_ignore_ascii_case(other);
    if let Some(id) = args.ids.iter().find(|id| !known.iter().any(|k| is(k, id))) {
        return Err(CliError::NotFound {
            id: id.clone(),
            suggestion: nearest(&id.to_uppercase(), known).map(str::to_owned),
        });
    }
    let asked = |k: &&&str| args.ids.is_empty() || args.ids.iter().any(|id| is(k, id));
    let count = known.iter().filter(asked).count();
    let found = of(&loaded, &args.ids, count, context)?;
    let mut title = format!("Remedies for {}", loaded.rig.name);
    if let Some(n) = found.stopped_after {
        title = format!("{title}: search stopped after {n} findings");
    }
    let mut report = Report::new(Topic::Remedies, title);
    crate::report::audit::digest(&mut report, &loaded.digest());
    write(&mut report, &found);
    if let (Some(apply), Some(path)) = (args.apply, &args.write) {
        let changes = chosen(apply, &found)?;
        write_new(path, &changed_text(&loaded, changes))?;
        report.remark(format!(
            "Wrote {}: audit it, and make the change on the rig too.",
            path.display()
        ));
        report.key("path", path.display().to_string());
    }
    rig::findings(&mut report, &loaded, &solution, &audit);
    Context::model(&mut report, solution.fluid.as_ref());
    Ok(report)
}

fn chosen(apply: Apply, found: &Remedies) -> Result<&[Change], CliError> {
    let (changes, given) = match apply {
        Apply::Set => (Some(&found.set), "set".to_owned()),
        Apply::One(n) => {
            let remedy = n.checked_sub(1).and_then(|i| found.remedies.get(i));
            (remedy.map(|r| &r.changes), n.to_string())
        }
    };
    let changes = changes.filter(|changes| !changes.is_empty());
    changes.map(Vec::as_slice).ok_or(CliError::Flag {
        flag: "apply",
        problem: FlagProblem::NoRemedy {
            given,
            count: found.remedies.len(),
        },
    })
}
