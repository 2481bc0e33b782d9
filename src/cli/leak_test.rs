//! `leak-test`: joints of a rig, plan of its leak test, and the test on record judged.

use super::context::Context;
use super::error::CliError;
use super::rig;
use crate::audit::{Group, audit_of_and};
use crate::report::{Report, Topic, leak_test};
use std::path::PathBuf;

const EXAMPLES: &str = "\
Example:
  fuelwright leak-test examples/coupon-soak-rig.toml

Write each result into the rig file as [[leak_test]], with `from` and `to`, gauge step and both temperatures: it \
is judged here and in `audit`.";

/// Rules of other groups that a test is held against: its age and its pressure.
const TOO_LOW: [&str; 1] = ["REC002"];

/// Flags of `leak-test`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct LeakTestArgs {
    /// Rig file.
    #[arg(value_name = "RIG")]
    pub rig: PathBuf,
}

/// Plans the leak test of a rig.
///
/// # Errors
/// A rig file with mistakes, or no state of the fuel in the tank.
pub fn run(args: &LeakTestArgs, context: &Context) -> Result<Report, CliError> {
    let loaded = rig::load(&args.rig, context)?;
    let solution = rig::solve(&loaded, context)?;
    let title = format!("Leak test of {}", loaded.rig.name);
    let mut report = Report::new(Topic::LeakTest, title);
    let failed = |why: &String| CliError::NoSupplyState { why: why.clone() };
    let plan = solution.leak_test_plan().as_ref().map_err(failed)?;
    let joints = solution.joints().as_ref().map_err(failed)?;
    let judged = solution.judged_leak_tests();
    leak_test::records(&mut report, &loaded.rig, judged, solution.units);
    leak_test::plan(&mut report, &loaded.rig, plan);
    leak_test::joints(&mut report, &loaded.rig, joints);
    report.burns(&loaded.rig.fuel.composition);
    let found = audit_of_and(&solution, &[Group::Leak], &TOO_LOW);
    rig::findings(&mut report, &loaded, &solution, &found);
    Ok(report)
}
