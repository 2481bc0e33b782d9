//! `regulator`: what comes out of a regulator.

use super::context::Context;
use super::error::CliError;
use super::feed::FeedArgs;
use super::flags::quantity;
use crate::eos::Phase;
use crate::flow::regulator::let_down;
use crate::quantity::PressureLevel;
use crate::report::{Report, Topic, properties};

const EXAMPLES: &str = "\
Example:
  fuelwright regulator --fuel propane --upstream \"7 bar(g)\" \\
    --upstream-temperature \"20 degC\" --downstream \"1.5 bar(g)\"";

/// Flags of `regulator`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct RegulatorArgs {
    #[command(flatten)]
    pub feed: FeedArgs,
    /// Pressure behind the regulator, gauge or absolute.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>)]
    pub downstream: PressureLevel,
}

/// Lets the fuel down at constant enthalpy.
///
/// # Errors
/// Downstream not below upstream, unknown fuel, out of range.
pub fn run(args: &RegulatorArgs, context: &Context) -> Result<Report, CliError> {
    let (p1, p2) = context.falling(args.feed.upstream, args.downstream)?;
    let fluid = context.fluid(&args.feed.fuel)?;
    let up = args.feed.at(fluid.as_ref(), p1)?;
    let before = *up.state();
    let inlet_phase = match before.phase {
        Phase::TwoPhase if up.is_gas() => Phase::Gas,
        Phase::TwoPhase if up.is_liquid() => Phase::Liquid,
        phase => phase,
    };
    let after = let_down(fluid.as_ref(), &before, p2)?;
    let title = format!(
        "{} expanded from {} to {}",
        fluid.composition().label(),
        context.pressure_text(args.feed.upstream),
        context.pressure_text(args.downstream),
    );
    let mut report = Report::new(Topic::Regulator, title);
    properties::let_down(&mut report, &before, inlet_phase, &after);
    if !up.is_gas() {
        report.remark("What enters is not gas: a regulator for gas is not made for liquid, which freezes and floods it and passes many times the fuel. Draw from the vapour space, or put a vaporiser before it.");
    } else if after.phase != Phase::Gas && after.phase != Phase::Supercritical {
        report.remark(
            "What leaves is wet: drops reach what is behind the regulator. Warm the gas before it.",
        );
    }
    report.assume("no heat is taken up in the regulator and the gas is slow before and behind it: enthalpy stays the same");
    Context::model(&mut report, fluid.as_ref());
    Ok(report)
}
