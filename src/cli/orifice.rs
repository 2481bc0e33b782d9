//! `orifice`: an orifice plate by ISO 5167-2: its flow, its bore or its differential.

use super::context::Context;
use super::error::CliError;
use super::feed::{FeedArgs, left_out, some_flow, some_length};
use super::flags::{positive, quantity};
use crate::eos::Phase;
use crate::flow::discharge;
use crate::flow::metering::{MeterBy, MeterRun, Metered, MeteringError, metering};
use crate::flow::regulator::let_down;
use crate::quantity::show::Show;
use crate::quantity::{
    Length, MassRate, PressureDifference, kilograms_per_cubic_metre, pascal_seconds,
    pascals_absolute,
};
use crate::report::{Report, Topic, orifice as write};
use clap::ValueEnum;

const EXAMPLES: &str = "\
Of --flow, --bore and --differential leave out the one to be found.

Examples:
  fuelwright orifice --fuel methane --upstream \"0.5 barg\" --upstream-temperature \"15 degC\" \\
    --pipe-bore \"80 mm\" --bore \"32 mm\" --differential \"25 mbar\"
  fuelwright orifice --fuel methane --upstream \"0.5 barg\" --upstream-temperature \"15 degC\" \\
    --pipe-bore \"80 mm\" --flow \"40 g/s\" --differential \"25 mbar\" --taps flange";

/// Flags of `orifice`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct OrificeArgs {
    /// The fuel before the plate.
    #[command(flatten)]
    pub feed: FeedArgs,
    /// Bore of the pipe: 50 mm to 1 m.
    #[arg(long, value_name = "D", value_parser = quantity::<Length>)]
    pub pipe_bore: Length,
    /// Bore of the plate.
    #[arg(long, value_name = "D", value_parser = quantity::<Length>)]
    pub bore: Option<Length>,
    /// Pressure difference between the taps.
    #[arg(long, value_name = "DP", value_parser = quantity::<PressureDifference>)]
    pub differential: Option<PressureDifference>,
    /// Mass flow.
    #[arg(long, value_name = "M", value_parser = quantity::<MassRate>)]
    pub flow: Option<MassRate>,
    /// Taps: corner, flange, or d-and-half (one diameter before, half of one behind); corner if left out.
    #[arg(long, value_name = "TAPS", value_enum, hide_possible_values = true)]
    pub taps: Option<Taps>,
}

/// Where the taps sit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Taps {
    /// In the corners.
    Corner,
    /// 25.4 mm from each face.
    Flange,
    /// One pipe diameter before, half of one behind.
    DAndHalf,
}

impl From<Taps> for discharge::Taps {
    fn from(taps: Taps) -> Self {
        match taps {
            Taps::Corner => Self::Corner,
            Taps::Flange => Self::Flange,
            Taps::DAndHalf => Self::DiameterAndHalf,
        }
    }
}

/// Meters the flow.
///
/// # Errors
/// Outside the limits of the standard, two phases, unknown fuel, too much or too little given.
pub fn run(args: &OrificeArgs, context: &Context) -> Result<Report, CliError> {
    let found = left_out([
        ("flow", args.flow.is_some()),
        ("bore", args.bore.is_some()),
        ("differential", args.differential.is_some()),
    ])?;
    some_flow(args.flow, context)?;
    some_length("bore", args.bore, context)?;
    some_length("pipe-bore", Some(args.pipe_bore), context)?;
    if let Some(drop) = args.differential {
        positive("differential", drop.pascals(), drop.show(context.units))?;
    }
    let p = context.absolute("upstream", args.feed.upstream)?;
    let fluid = context.fluid(&args.feed.fuel)?;
    let state = args.feed.state(fluid.as_ref(), p)?;
    let Some(response) = state.response else {
        return Err(MeteringError::TwoPhase {
            p_pa: state.pressure_pa,
            t_k: state.temperature_k,
        }
        .into());
    };
    let gas = state.phase != Phase::Liquid;
    let before = Metered {
        pressure: p,
        density: kilograms_per_cubic_metre(state.density_kg_m3),
        viscosity: pascal_seconds(fluid.viscosity_pa_s(&state)?),
        kappa: gas
            .then(|| response.speed_of_sound_m_s.powi(2) * state.density_kg_m3 / state.pressure_pa),
    };
    let run = MeterRun {
        pipe: args.pipe_bore,
        taps: args.taps.unwrap_or(Taps::Corner).into(),
    };
    let by = match (args.flow, args.bore, args.differential) {
        (None, Some(bore), Some(drop)) => MeterBy::Flow(bore, drop),
        (Some(flow), None, Some(drop)) => MeterBy::Bore(flow, drop),
        (Some(flow), Some(bore), _) => MeterBy::Differential(flow, bore),
        _ => unreachable!("one of three is left out"),
    };
    let plate = metering(&before, &run, by)?;
    let title = format!(
        "orifice plate for {} in a pipe of {}",
        fluid.composition().label(),
        args.pipe_bore.show(context.units)
    );
    let mut report = Report::new(Topic::Orifice, title);
    write::plate(
        &mut report,
        &plate,
        &state,
        &before,
        (found, context.ambient),
    );
    let behind = pascals_absolute(p.pascals() - plate.differential.pascals());
    match let_down(fluid.as_ref(), &state, behind) {
        Ok(after) if after.phase == Phase::TwoPhase => report.remark(
            "Behind the plate there is liquid and vapour together: it meters one phase only. Keep a liquid under more pressure, a gas warmer, or take a smaller differential.",
        ),
        _ => {}
    }
    if args.taps.is_none() {
        report.assume("corner taps; give --taps");
    }
    report.assume("a plate, taps and straight pipe before and behind it as the standard has them; bores as they are at the temperature of the gas or liquid");
    report.assume("the uncertainty is that of coefficient and expansibility alone: density, differential and both bores add theirs");
    Context::model(&mut report, fluid.as_ref());
    report.cite(&context.library, "iso5167");
    Ok(report)
}
