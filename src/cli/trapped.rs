//! `trapped`: the pressure that trapped liquid reaches when it warms; in a rig, every section it can be in.

use super::context::Context;
use super::error::CliError;
use super::flags::quantity;
use super::rig;
use crate::audit::{Group, audit_of};
use crate::quantity::{PressureLevel, TemperatureInterval, ThermodynamicTemperature};
use crate::report::{Report, Topic, trapped as write};
use crate::tank::trapped::trapped_liquid;
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "\
Examples:
  fuelwright trapped --fuel propane --temperature \"10 degC\" --pressure \"8 bar(a)\" --rise \"15 K\"
  fuelwright trapped examples/coupon-soak-rig.toml";

const USAGE: &str = "\
fuelwright trapped [OPTIONS] RIG
       fuelwright trapped [OPTIONS] --fuel <F> --temperature <T> --pressure <P> --rise <DT>";

/// Why a flag is there.
const ASKED: &str = "clap asks for the four flags where there is no rig";

/// Flags whose matter a rig file gives.
const RIG_SAYS: [&str; 4] = ["fuel", "temperature", "pressure", "rise"];

/// Flags of `trapped`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES, override_usage = USAGE)]
pub struct TrappedArgs {
    /// Rig file: every section that its closed valves can isolate, instead of the flags.
    #[arg(value_name = "RIG", conflicts_with_all = RIG_SAYS)]
    pub rig: Option<PathBuf>,
    /// Fuel or blend.
    #[arg(long, value_name = "F", required_unless_present = "rig")]
    pub fuel: Option<String>,
    /// Temperature when the section is closed.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>, required_unless_present = "rig")]
    pub temperature: Option<ThermodynamicTemperature>,
    /// Pressure when the section is closed, gauge or absolute.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>, required_unless_present = "rig")]
    pub pressure: Option<PressureLevel>,
    /// Temperature rise.
    #[arg(long, value_name = "DT", value_parser = quantity::<TemperatureInterval>, required_unless_present = "rig")]
    pub rise: Option<TemperatureInterval>,
}

/// Heats the trapped liquid.
///
/// # Errors
/// No liquid there, no rise, unknown fuel, out of range; a rig file with mistakes.
///
/// # Panics
/// Never from a command line: clap asks for the four flags where there is no rig.
pub fn run(args: &TrappedArgs, context: &Context) -> Result<Report, CliError> {
    if let Some(path) = &args.rig {
        return of_rig(path, context);
    }
    heated(
        context,
        args.fuel.as_deref().expect(ASKED),
        args.temperature.expect(ASKED),
        args.pressure.expect(ASKED),
        args.rise.expect(ASKED),
    )
}

/// Every section of a rig that closed valves can isolate.
fn of_rig(path: &Path, context: &Context) -> Result<Report, CliError> {
    let loaded = rig::load(path, context)?;
    let solution = rig::solve(&loaded, context)?;
    let sections = solution.trapped().as_ref();
    let sections = sections.map_err(|why| CliError::NoSupplyState { why: why.clone() })?;
    let title = format!("Liquid that valves can trap in {}", loaded.rig.name);
    let mut report = Report::new(Topic::Trapped, title);
    write::sections(&mut report, &loaded.rig, sections, false);
    let found = audit_of(&solution, &[Group::Trapped]);
    rig::findings(&mut report, &loaded, &solution, &found);
    Context::model(&mut report, solution.fluid.as_ref());
    Ok(report)
}

/// One section, closed full and warmed.
fn heated(
    context: &Context,
    fuel: &str,
    temperature: ThermodynamicTemperature,
    pressure: PressureLevel,
    rise: TemperatureInterval,
) -> Result<Report, CliError> {
    let p = context.absolute("pressure", pressure)?;
    let fluid = context.fluid(fuel)?;
    let trapped = trapped_liquid(fluid.as_ref(), p, temperature, rise)?;
    let title = format!(
        "{} trapped between two closures",
        fluid.composition().label()
    );
    let mut report = Report::new(Topic::Trapped, title);
    write::warmed(&mut report, &trapped, context.ambient);
    if trapped.taken_as_saturated {
        report.assume("the pressure stated is the bubble pressure within its digits: taken as saturated liquid");
    }
    report.assume("the walls are rigid and the section is completely full of liquid");
    Context::model(&mut report, fluid.as_ref());
    Ok(report)
}
