//! `trapped`: the pressure that trapped liquid reaches when it warms.

use super::Context;
use super::args::quantity;
use super::error::CliError;
use crate::quantity::{Kind, PressureLevel, TemperatureInterval, ThermodynamicTemperature};
use crate::report::{Fact, Report, Topic};
use crate::tank::trapped::trapped_liquid;

const EXAMPLES: &str = "\
Examples:
  fuelwright trapped --fuel propane --temperature \"10 degC\" --pressure \"8 bar(a)\" --rise \"15 K\"";

/// Flags of `trapped`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct TrappedArgs {
    /// Fuel or blend.
    #[arg(long, value_name = "F")]
    pub fuel: String,
    /// Temperature when the section is closed.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>, allow_hyphen_values = true)]
    pub temperature: ThermodynamicTemperature,
    /// Pressure when the section is closed, gauge or absolute.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>, allow_hyphen_values = true)]
    pub pressure: PressureLevel,
    /// How much warmer it gets.
    #[arg(long, value_name = "DT", value_parser = quantity::<TemperatureInterval>, allow_hyphen_values = true)]
    pub rise: TemperatureInterval,
}

/// Heats the trapped liquid.
///
/// # Errors
/// No liquid there, no rise, unknown fuel, out of range.
pub fn run(args: &TrappedArgs, context: &Context) -> Result<Report, CliError> {
    let p = context.absolute("pressure", args.pressure)?;
    let fluid = context.fluid(&args.fuel)?;
    let trapped = trapped_liquid(fluid.as_ref(), p, args.temperature, args.rise)?;
    let title = format!(
        "{} trapped between two closures",
        fluid.composition().label()
    );
    let mut report = Report::new(Topic::Trapped, title);
    report.number("pressure_after_pa", trapped.pressure_after.pascals());
    report.number("pressure_rise_pa_per_k", trapped.rise_pa_k);
    report.number("pressure_before_pa", trapped.pressure_before.pascals());
    report.number("density_kg_m3", trapped.density.value);
    report.facts(
        "Result",
        vec![
            Fact::of(
                "Pressure before",
                Kind::AbsolutePressure,
                trapped.pressure_before.pascals(),
            ),
            Fact::of(
                "Pressure after",
                Kind::AbsolutePressure,
                trapped.pressure_after.pascals(),
            ),
            Fact::of("Rise", Kind::PressurePerTemperature, trapped.rise_pa_k)
                .note("average over the rise"),
            Fact::of(
                "Density of the liquid",
                Kind::Density,
                trapped.density.value,
            ),
        ],
    );
    if trapped.taken_as_saturated {
        report.assume("the pressure stated is the bubble pressure within its digits: taken as saturated liquid");
    }
    report.assume("the walls are rigid and the section is completely full of liquid");
    context.model(&mut report, fluid.as_ref());
    Ok(report)
}
