//! `fuels`: the names that can be used, and what stands behind them.

use super::context::Context;
use super::error::CliError;
use crate::report::{Report, Topic, fuels as write};

/// Flags of `fuels`.
#[derive(Debug, clap::Args)]
pub struct FuelsArgs {}

/// Lists the library.
///
/// # Errors
/// A fuel file of the user's folder that cannot be read.
pub fn run(_args: &FuelsArgs, context: &Context) -> Result<Report, CliError> {
    let mut report = Report::new(Topic::Fuels, "Fuels of the library");
    let library = &context.library;
    let fuels = library.names().into_iter().map(|name| library.fuel(name));
    let fuels = fuels.collect::<Result<Vec<_>, _>>()?;
    write::fuels(&mut report, &fuels, library);
    Ok(report)
}
