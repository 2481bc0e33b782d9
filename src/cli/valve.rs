//! `valve`: flow coefficient from flow, or flow from it, by IEC 60534-2-1.

use super::context::Context;
use super::error::{CliError, FlagProblem};
use super::flags::positive;
use super::flags::quantity;
use crate::eos::{Backend, Phase, State};
use crate::flow::regulator::let_down;
use crate::flow::valve::{
    Feed, Mounting, Passage, Style, ValveError, valve_coefficient, valve_flow,
};
use crate::quantity::parse::number_and_unit;
use crate::quantity::show::Show;
use crate::quantity::{
    AbsolutePressure, FlowCoefficient, Length, MassRate, PressureLevel, ThermodynamicTemperature,
};
use crate::report::properties::{self, Valve};
use crate::report::{Report, Topic};

const EXAMPLES: &str = "\
Examples:
  fuelwright valve --fuel propane --upstream \"3 bar(g)\" --upstream-temperature \"20 degC\" \\
    --downstream \"2 bar(g)\" --flow \"1 g/s\"
  fuelwright valve --fuel propane --upstream \"3 bar(g)\" --upstream-temperature \"20 degC\" \\
    --downstream \"0 bar(g)\" --kv 0.05 --bore \"6 mm\"";

/// Flags of `valve`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
#[command(group(clap::ArgGroup::new("wanted").required(true).args(["flow", "kv"])))]
pub struct ValveArgs {
    /// Fuel or blend.
    #[arg(long, value_name = "F")]
    pub fuel: String,
    /// Pressure before the valve, gauge or absolute.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>)]
    pub upstream: PressureLevel,
    /// Temperature before the valve.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>)]
    pub upstream_temperature: ThermodynamicTemperature,
    /// Pressure behind the valve, gauge or absolute.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>)]
    pub downstream: PressureLevel,
    /// Mass flow, to find the flow coefficient.
    #[arg(long, value_name = "M", value_parser = quantity::<MassRate>)]
    pub flow: Option<MassRate>,
    /// Flow coefficient, to find the flow: Kv in m³/h as a number or "0.06 m3/h", or with its name, such as "0.07 Cv".
    #[arg(long, value_name = "K", value_parser = flow_coefficient)]
    pub kv: Option<FlowCoefficient>,
    /// Pressure ratio factor xT of the valve (gas).
    #[arg(long, value_name = "X")]
    pub xt: Option<f64>,
    /// Pressure recovery factor FL of the valve.
    #[arg(long, value_name = "F")]
    pub fl: Option<f64>,
    /// Style modifier Fd of the valve; counts in small or viscous flows.
    #[arg(long, value_name = "F", requires = "bore")]
    pub fd: Option<f64>,
    /// Bore of the valve: switches on the corrections for small flows and for fittings.
    #[arg(long, value_name = "D", value_parser = quantity::<Length>)]
    pub bore: Option<Length>,
    /// Bore of the line on both sides, if it is not that of the valve.
    #[arg(long, value_name = "D", value_parser = quantity::<Length>, requires = "bore")]
    pub line_bore: Option<Length>,
}

/// A bare number is Kv, since the flag says so, and m³/h is its unit.
fn flow_coefficient(text: &str) -> Result<FlowCoefficient, crate::quantity::QuantityError> {
    match number_and_unit(text) {
        Some((kv, "" | "m3/h" | "m³/h")) if kv.is_finite() => Ok(FlowCoefficient::from_kv(kv)),
        _ => quantity(text),
    }
}

/// Sizes the valve or finds its flow.
///
/// # Errors
/// Downstream not below upstream, two phases at the inlet, unknown fuel, out of range.
pub fn run(args: &ValveArgs, context: &Context) -> Result<Report, CliError> {
    let (p1, p2) = context.falling(args.upstream, args.downstream)?;
    if let Some(flow) = args.flow {
        positive("flow", flow.value, flow.show(context.units))?;
    }
    if let Some(kv) = args.kv {
        positive("kv", kv.kv(), kv.kv().to_string())?;
        if let Some(bore) = args.bore
            && kv > FlowCoefficient::beyond(bore)
        {
            return Err(CliError::Flag {
                flag: "kv",
                problem: FlagProblem::Contradicts {
                    given: format!("{} Kv", kv.kv()),
                    relation: "is more than any valve passes with",
                    other: "bore",
                    other_given: bore.show(context.units),
                },
            });
        }
    }
    let fluid = context.fluid(&args.fuel)?;
    let inlet = fluid.state_pt(p1.pascals(), args.upstream_temperature.value)?;
    let passage = passage(args, fluid.as_ref(), &inlet, p2)?;
    let outlet = let_down(fluid.as_ref(), &inlet, p2)?;
    Ok(report(
        args,
        context,
        fluid.as_ref(),
        &inlet,
        &outlet,
        &passage,
    ))
}

fn style(args: &ValveArgs) -> Style {
    Style {
        fl: args.fl.unwrap_or(Style::GLOBE.fl),
        xt: args.xt.unwrap_or(Style::GLOBE.xt),
        fd: args.fd.unwrap_or(Style::GLOBE.fd),
    }
}

fn passage(
    args: &ValveArgs,
    fluid: &dyn Backend,
    inlet: &State,
    p2: AbsolutePressure,
) -> Result<Passage, CliError> {
    let style = style(args);
    let mounting = args.bore.map(|bore| {
        let line = args.line_bore.unwrap_or(bore);
        Mounting {
            bore,
            inlet: line,
            outlet: line,
        }
    });
    let mounting = mounting.as_ref();
    let kv = args.kv.unwrap_or(FlowCoefficient::from_kv(f64::NAN));
    if inlet.phase == Phase::TwoPhase {
        let two_phase = ValveError::TwoPhaseInlet {
            p_pa: inlet.pressure_pa,
            t_k: inlet.temperature_k,
        };
        return Err(two_phase.into());
    }
    let feed = Feed::of(fluid, inlet)?;
    Ok(match args.flow {
        Some(flow) => valve_coefficient(feed, p2, flow, &style, mounting)?,
        None => valve_flow(feed, p2, kv, &style, mounting)?,
    })
}

fn report(
    args: &ValveArgs,
    context: &Context,
    fluid: &dyn Backend,
    inlet: &State,
    outlet: &State,
    through: &Passage,
) -> Report {
    let title = format!(
        "valve for {} from {} to {}",
        fluid.composition().label(),
        context.pressure_text(args.upstream),
        context.pressure_text(args.downstream),
    );
    let mut report = Report::new(Topic::Valve, title);
    let valve = Valve {
        passage: through,
        style: style(args),
        inlet,
        outlet,
        sized: args.flow.is_some(),
    };
    properties::valve(&mut report, &valve);
    defaults(args, &mut report, inlet, outlet);
    Context::model(&mut report, fluid);
    report.cite(&context.library, "iec60534-2-1");
    report
}

/// What was taken for granted.
fn defaults(args: &ValveArgs, report: &mut Report, inlet: &State, outlet: &State) {
    let style = Style::GLOBE;
    if args.xt.is_none() && inlet.phase != Phase::Liquid {
        report.assume(format!("xT = {}, as of a globe valve; give --xt", style.xt));
    }
    if args.fl.is_none() && (inlet.phase == Phase::Liquid || args.bore.is_some()) {
        report.assume(format!("FL = {}, as of a globe valve; give --fl", style.fl));
    }
    match args.bore {
        None => report.assume(
            "no --bore: flow is taken as turbulent and the line as wide as the valve; a small needle passes less",
        ),
        Some(_) if args.fd.is_none() => {
            report.assume(format!("Fd = {}, as of a globe valve; give --fd", style.fd));
        }
        Some(_) => {}
    }
    if inlet.phase == Phase::Liquid && outlet.phase == Phase::TwoPhase {
        report.assume(
            "the liquid flashes in the valve: the line behind it carries liquid and vapour",
        );
    }
}
