//! `pipe`: a run of pipe, tube or hose: its outlet pressure, its flow or its bore.

use super::context::Context;
use super::error::{CliError, FlagProblem};
use super::feed::{FeedArgs, left_out, some_flow, some_length};
use super::flags::quantity;
use crate::eos::{Backend, State};
use crate::flow::fittings::{STEEL_ROUGHNESS_M, Tp410Fitting, rough_factor, tp410};
use crate::flow::line::{
    Friction, Line, LineError, LineFlow, WallHeat, line_bore, line_flow, line_outlet,
};
use crate::mass::tube_sizes::{TubeSize, tube_sizes};
use crate::quantity::sentence::{length, sentence};
use crate::quantity::show::{Show, Units, show};
use crate::quantity::suggest::nearest;
use crate::quantity::{
    AbsolutePressure, HeatTransfer, Kind, Length, MassRate, PressureLevel,
    ThermodynamicTemperature, kelvin, metres, pascals_absolute, watts_per_square_metre_kelvin,
};
use crate::report::{Report, Topic, pipe as write};

const EXAMPLES: &str = "\
Of --flow, --downstream and --bore leave out the one to be found.

Examples:
  fuelwright pipe --fuel propane --upstream \"37 mbar(g)\" --upstream-temperature \"15 degC\" \\
    --bore \"8 mm\" --length \"3 m\" --fittings elbow:4,ball-valve:1 --flow \"0.5 g/s\"
  fuelwright pipe --fuel propane --upstream \"37 mbar(g)\" --upstream-temperature \"15 degC\" \\
    --length \"3 m\" --flow \"0.5 g/s\" --downstream \"35 mbar(g)\"

Fittings: elbow, elbow-45, tee-run, tee-branch, ball-valve, gate-valve, globe-valve, \
swing-check-valve, lift-check-valve, angled-check-valve.";

/// Roughness of drawn tube, m.
const DRAWN_M: f64 = 1.5e-6;
/// Coefficient of still air on the outside of a line, W/(m² K). Common practice, no source.
const STILL_AIR_W_M2_K: f64 = 10.0;
/// Outlet over inlet pressure at which a line that chokes passes the most.
const LEAST_RATIO: f64 = 1e-3;
/// Sizes of tube that are shown.
const TUBES: usize = 3;

/// Flags of `pipe`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct PipeArgs {
    /// The fuel at the inlet.
    #[command(flatten)]
    pub feed: FeedArgs,
    /// Pressure at the outlet, gauge or absolute.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>)]
    pub downstream: Option<PressureLevel>,
    /// Mass flow.
    #[arg(long, value_name = "M", value_parser = quantity::<MassRate>)]
    pub flow: Option<MassRate>,
    /// Inside diameter.
    #[arg(long, value_name = "D", value_parser = quantity::<Length>)]
    pub bore: Option<Length>,
    /// Length along the pipe.
    #[arg(long, value_name = "L", value_parser = quantity::<Length>)]
    pub length: Length,
    /// Fittings and valves with their numbers, as elbow:4,ball-valve:1.
    #[arg(long, value_name = "LIST", value_parser = fittings)]
    pub fittings: Option<Fittings>,
    /// Loss coefficient of all else, on the velocity in the pipe.
    #[arg(long, value_name = "K")]
    pub loss_coefficient: Option<f64>,
    /// Height of the roughness of its wall; 0.0015 mm, drawn tube, if left out.
    #[arg(long, value_name = "E", value_parser = quantity::<Length>)]
    pub roughness: Option<Length>,
    /// Height of the outlet above the inlet; negative below.
    #[arg(long, value_name = "H", value_parser = quantity::<Length>)]
    pub rise: Option<Length>,
    /// Temperature around it, which warms or cools the fuel; insulated if left out.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>)]
    pub ambient: Option<ThermodynamicTemperature>,
    /// Heat transfer coefficient on its outside; 10 W/(m2 K), still air, if left out.
    #[arg(long, value_name = "U", value_parser = quantity::<HeatTransfer>, requires = "ambient")]
    pub heat_transfer: Option<HeatTransfer>,
}

/// Fittings, each with its number.
#[derive(Debug, Clone, PartialEq)]
pub struct Fittings(Vec<(Tp410Fitting, f64)>);

/// Reads a list of fittings.
fn fittings(text: &str) -> Result<Fittings, String> {
    let each = text.split(',').map(|piece| {
        let (name, count) = piece.split_once(':').unwrap_or((piece, "1"));
        let name = name.trim();
        let names = Tp410Fitting::NAMED.map(|(n, _)| n);
        let found = Tp410Fitting::NAMED.iter().find(|(n, _)| *n == name);
        let Some((_, fitting)) = found else {
            let meant = nearest(name, names).map(|n| format!(", did you mean `{n}`?"));
            let all = || format!("; there are {}", names.join(", "));
            return Err(format!(
                "there is no fitting `{name}`{}",
                meant.unwrap_or_else(all)
            ));
        };
        match count.trim().parse::<u16>() {
            Ok(n) => Ok((*fitting, f64::from(n))),
            Err(_) => Err(format!("`{piece}` does not say how many, as in `{name}:2`")),
        }
    });
    each.collect::<Result<_, _>>().map(Fittings)
}

/// Walks the pipe.
///
/// # Errors
/// It chokes before its end, downstream not below upstream, unknown fuel, too much or too little given.
pub fn run(args: &PipeArgs, context: &Context) -> Result<Report, CliError> {
    let found = left_out([
        ("flow", args.flow.is_some()),
        ("downstream", args.downstream.is_some()),
        ("bore", args.bore.is_some()),
    ])?;
    some_flow(args.flow, context)?;
    some_length("bore", args.bore, context)?;
    some_length("length", Some(args.length), context)?;
    let p1 = context.absolute("upstream", args.feed.upstream)?;
    let p2 = match args.downstream {
        Some(level) => Some(context.falling(args.feed.upstream, level)?.1),
        None => None,
    };
    if let (Some(roughness), Some(bore)) = (args.roughness, args.bore)
        && roughness.value > 0.05 * bore.value
    {
        return Err(CliError::Flag {
            flag: "roughness",
            problem: FlagProblem::Contradicts {
                given: roughness.show(context.units),
                relation: "is more than a twentieth of",
                other: "bore",
                other_given: bore.show(context.units),
            },
        });
    }
    let fluid = context.fluid(&args.feed.fuel)?;
    let inlet = args.feed.state(fluid.as_ref(), p1)?;
    let case = Case {
        args,
        fluid: fluid.as_ref(),
        inlet: &inlet,
        ambient: args.ambient.unwrap_or(kelvin(inlet.temperature_k)),
    };
    let walked = case.walk(args.flow, p2, args.bore);
    let (bore, walked) = walked.map_err(|why| case.with_most(why))?;
    let line = case.line(bore)?;
    let tubes = if found == "bore" {
        case.tubes(bore, walked.flow)
    } else {
        Vec::new()
    };
    let title = format!(
        "pipe of {} for {}",
        args.length.show(context.units),
        fluid.composition().label()
    );
    let mut report = Report::new(Topic::Pipe, title);
    let run = write::Run {
        inlet: &inlet,
        line: &line,
        walked: &walked,
        outlet: p2
            .filter(|_| found == "bore")
            .unwrap_or(walked.outlet_pressure),
        found,
        tubes: &tubes,
        air: context.ambient,
        units: context.units,
    };
    write::run(&mut report, &run);
    case.assumptions(&mut report, context.units);
    Context::model(&mut report, fluid.as_ref());
    report.cite(&context.library, "colebrook1939");
    Ok(report)
}

struct Case<'a> {
    args: &'a PipeArgs,
    fluid: &'a dyn Backend,
    inlet: &'a State,
    ambient: ThermodynamicTemperature,
}

impl Case<'_> {
    fn line(&self, bore: Length) -> Result<Line, LineError> {
        let args = self.args;
        let mut loss = args.loss_coefficient.unwrap_or(0.0);
        if let Some(Fittings(each)) = &args.fittings {
            let f = rough_factor(bore)?;
            loss += each
                .iter()
                .map(|(fitting, n)| n * tp410(*fitting, f))
                .sum::<f64>();
        }
        let coefficient = args
            .heat_transfer
            .unwrap_or(watts_per_square_metre_kelvin(STILL_AIR_W_M2_K));
        Ok(Line {
            bore,
            outside_diameter: None,
            length: args.length,
            friction: Friction::Roughness(args.roughness.unwrap_or(metres(DRAWN_M))),
            loss_coefficient: loss,
            rise: args.rise.unwrap_or_default(),
            heat: match args.ambient {
                None => WallHeat::Insulated,
                Some(_) => WallHeat::OuterSurface(coefficient),
            },
        })
    }

    fn walk(
        &self,
        flow: Option<MassRate>,
        outlet: Option<AbsolutePressure>,
        bore: Option<Length>,
    ) -> Result<(Length, LineFlow), LineError> {
        let (fluid, inlet, around) = (self.fluid, self.inlet, self.ambient);
        match (flow, outlet, bore) {
            (Some(flow), None, Some(bore)) => {
                let walked = line_outlet(fluid, inlet, flow, &self.line(bore)?, around)?;
                Ok((bore, walked))
            }
            (None, Some(outlet), Some(bore)) => {
                let walked = line_flow(fluid, inlet, outlet, &self.line(bore)?, around)?;
                Ok((bore, walked))
            }
            (Some(flow), Some(outlet), _) => {
                line_bore(fluid, inlet, (flow, outlet), |d| self.line(d), around)
            }
            _ => unreachable!("one of three is left out"),
        }
    }

    /// Why a line chokes, with the most that it passes.
    fn with_most(&self, why: LineError) -> CliError {
        let LineError::Choked { .. } = why else {
            return why.into();
        };
        let outlet = pascals_absolute(LEAST_RATIO * self.inlet.pressure_pa);
        match self.walk(None, Some(outlet), self.args.bore) {
            Ok((_, most)) => CliError::Chokes {
                why,
                most_kg_s: most.flow.value,
            },
            Err(_) => why.into(),
        }
    }

    /// The next sizes of tube, with what each does at the flow.
    fn tubes(&self, bore: Length, flow: MassRate) -> Vec<(TubeSize, LineFlow)> {
        let mut sizes: Vec<TubeSize> = tube_sizes();
        sizes.retain(|size| size.bore() >= bore);
        sizes.sort_by(|a, b| a.bore().value.total_cmp(&b.bore().value));
        let walked = sizes.into_iter().filter_map(|size| {
            let (_, walked) = self.walk(Some(flow), None, Some(size.bore())).ok()?;
            Some((size, walked))
        });
        walked.take(TUBES).collect()
    }

    fn assumptions(&self, report: &mut Report, units: Units) {
        let args = self.args;
        if args.roughness.is_none() {
            report.assume(sentence!(
                "its wall is as smooth as drawn tube, {}; give --roughness (steel pipe: {})",
                length(DRAWN_M).fixed("mm", 1e-3, 4),
                length(STEEL_ROUGHNESS_M).fixed("mm", 1e-3, 3)
            ));
        }
        match (args.ambient, args.heat_transfer) {
            (None, _) => report.assume("insulated: no heat reaches the fuel; give --ambient"),
            (Some(_), None) => report.assume(format!(
                "{} on its bore, as in still air; give --heat-transfer",
                show(Kind::HeatTransfer, STILL_AIR_W_M2_K, units)
            )),
            _ => {}
        }
        if args.fittings.is_none() && args.loss_coefficient.is_none() {
            report.assume("no fittings; give --fittings or --loss-coefficient");
        }
        if args.rise.is_none() {
            report.assume("level; give --rise");
        }
        report.assume("pressures are those in the pipe: out of a tank or a wide main it takes 1.57 velocity heads more to enter (--loss-coefficient)");
    }
}
