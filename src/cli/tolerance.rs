//! `tolerance`: what the bands of a rig make of its duties, by Monte-Carlo.

use super::context::Context;
use super::error::CliError;
use super::flags::whole;
use super::progress::progress;
use super::rig;
use crate::report::{Report, Topic, tolerance as write};
use crate::tolerance::sampling::{FEWEST, MOST};
use crate::tolerance::{Sampling, tolerance};
use std::path::PathBuf;

const EXAMPLES: &str = "\
Example:
  fuelwright tolerance examples/coupon-soak-rig.toml --samples 10000 --seed 1

The bands are those of `[tolerance]` in the rig file, of the discharge coefficient's model, and of the drilled \
holes. The same seed gives the same figures, whatever the number of threads.";

/// Flags of `tolerance`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct ToleranceArgs {
    /// Rig file.
    #[arg(value_name = "RIG")]
    pub rig: PathBuf,
    /// Samples, 100 to 1000000.
    #[arg(long, value_name = "N", default_value_t = 10_000, value_parser = samples)]
    pub samples: usize,
    /// Seed of the random numbers, a whole number from 0 up.
    #[arg(long, value_name = "S", default_value_t = 1, value_parser = |text: &str| whole::<u64>(text, &0))]
    pub seed: u64,
    /// Solve the whole train for every sample, not a surface fitted to it; takes minutes.
    #[arg(long)]
    pub whole: bool,
}

/// Too few or too many are refused with the reason later; here only what is no such number.
fn samples(text: &str) -> Result<usize, String> {
    text.trim()
        .parse()
        .map_err(|_| format!("write a whole number from {FEWEST} to {MOST}"))
}

/// Runs the samples.
///
/// # Errors
/// A number of samples out of range, a rig file with mistakes, holes that are not known.
pub fn run(args: &ToleranceArgs, context: &Context) -> Result<Report, CliError> {
    let sampling = Sampling::new(args.samples, args.seed)?;
    let loaded = rig::load(&args.rig, context)?;
    let solution = rig::solve(&loaded, context)?;
    let progress = progress(context.progress, args.samples, "samples");
    let found = tolerance(&solution, sampling, args.whole, &mut |done| {
        progress.set_position(done as u64);
    })?;
    drop(progress);
    let title = format!(
        "Tolerance of {}: {} samples, seed {}",
        loaded.rig.name, args.samples, args.seed
    );
    let mut report = Report::new(Topic::Tolerance, title);
    write::tolerance(&mut report, &context.library, &solution, &found);
    for sentence in &solution.assumptions {
        report.assume(sentence.as_str());
    }
    Context::model(&mut report, solution.fluid.as_ref());
    Ok(report)
}
