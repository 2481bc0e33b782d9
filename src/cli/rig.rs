//! Reading and solving the rig of a command, and what rules find in it.

use super::context::Context;
use super::error::CliError;
use crate::audit::{Audit, Solution, solution};
use crate::input::{self, Loaded};
use crate::report::{Report, audit};
use std::path::Path;

/// Reads a rig file.
///
/// # Errors
/// Every mistake in it.
pub fn load(path: &Path, context: &Context) -> Result<Loaded, CliError> {
    let mut loaded = input::load(path, &context.library)?;
    loaded.rig.today = context.today;
    Ok(loaded)
}

/// Solves a rig.
///
/// # Errors
/// If there is no property model for its fuel.
pub fn solve<'a>(loaded: &'a Loaded, context: &Context) -> Result<Solution<'a>, CliError> {
    Ok(solution::solve(
        &loaded.rig,
        &context.library,
        context.units,
    )?)
}

/// Adds what rules found, each finding with its line of the file.
pub fn findings(report: &mut Report, loaded: &Loaded, solution: &Solution<'_>, found: &Audit) {
    let line = |at: &str| loaded.line(at).map(|(line, _)| line);
    audit::findings(report, solution, found, &line);
}
