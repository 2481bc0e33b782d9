//! `pump`: power, flow or pressure of a pump for liquid fuel, and whether its suction side keeps it from vapour lock.

use super::context::Context;
use super::error::{CliError, FlagProblem};
use super::feed::{left_out, some_flow, some_length};
use super::flags::{positive, quantity};
use crate::convert::liquid::liquid_at;
use crate::flow::pump::{Delivery, Draw, PumpWork, pump_work};
use crate::flow::pump::{SMALL_PUMP_EFFICIENCY, SMALL_PUMP_HEAD_M, SUCTION_MARGIN};
use crate::flow::suction::{SuctionLimit, suction_limit};
use crate::quantity::sentence::{length, sentence};
use crate::quantity::show::{Show, percent};
use crate::quantity::{
    Length, MassRate, Power, PressureLevel, Ratio, ThermodynamicTemperature, kelvin, metres, ratio,
};
use crate::report::{Report, Topic, pump as write};

const EXAMPLES: &str = "\
Of --flow, --discharge and --power leave out the one to be found.

Examples:
  fuelwright pump --fuel kerosene --temperature \"20 degC\" --flow \"1.2 g/s\" --discharge \"7 barg\" \\
    --lift \"0.5 m\" --suction-bore \"4 mm\" --suction-length \"1 m\"
  fuelwright pump --fuel propane --temperature \"15 degC\" --tank-pressure \"7 barg\" --flow \"5 g/s\" \\
    --discharge \"12 barg\" --lift \"-0.3 m\" --suction-head \"0.5 m\"";

/// Flags of `pump`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct PumpArgs {
    /// Fuel or blend.
    #[arg(long, value_name = "F")]
    pub fuel: String,
    /// Temperature of the liquid.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>)]
    pub temperature: ThermodynamicTemperature,
    /// Mass flow.
    #[arg(long, value_name = "M", value_parser = quantity::<MassRate>)]
    pub flow: Option<MassRate>,
    /// Pressure behind the pump, gauge or absolute.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>)]
    pub discharge: Option<PressureLevel>,
    /// Power that it takes.
    #[arg(long, value_name = "W", value_parser = quantity::<Power>)]
    pub power: Option<Power>,
    /// Efficiency of pump and motor together; 25 % if left out.
    #[arg(long, value_name = "X", value_parser = quantity::<Ratio>)]
    pub efficiency: Option<Ratio>,
    /// Pressure on the liquid in the tank; that of the air, or of its own vapour if that is more, if left out.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>)]
    pub tank_pressure: Option<PressureLevel>,
    /// Height of the pump above the lowest level of the liquid; negative below; 0 if left out.
    #[arg(long, value_name = "H", value_parser = quantity::<Length>)]
    pub lift: Option<Length>,
    /// Bore of the suction line; its friction is left out without.
    #[arg(long, value_name = "D", value_parser = quantity::<Length>, requires = "suction_length")]
    pub suction_bore: Option<Length>,
    /// Length of the suction line.
    #[arg(long, value_name = "L", value_parser = quantity::<Length>, requires = "suction_bore")]
    pub suction_length: Option<Length>,
    /// Loss coefficient of foot valve, strainer and bends before the pump.
    #[arg(long, value_name = "K", requires = "suction_bore")]
    pub suction_loss_coefficient: Option<f64>,
    /// Suction head that the pump needs (NPSH); 2 m if left out.
    #[arg(long, value_name = "H", value_parser = quantity::<Length>)]
    pub suction_head: Option<Length>,
}

/// Works the pump out.
///
/// # Errors
/// No liquid at the temperature, discharge not above the tank, unknown fuel, too much or too little given.
pub fn run(args: &PumpArgs, context: &Context) -> Result<Report, CliError> {
    let found = asked(args, context)?;
    let fluid = context.fluid(&args.fuel)?;
    let given = args
        .tank_pressure
        .map(|p| context.absolute("tank-pressure", p))
        .transpose()?;
    let t = args.temperature;
    let liquid = liquid_at(fluid.as_ref(), given.unwrap_or(context.ambient), t)?;
    let closed = given.is_none() && liquid.vapour_pressure > context.ambient;
    let tank = given.unwrap_or(if closed {
        liquid.vapour_pressure
    } else {
        context.ambient
    });
    let discharge = args
        .discharge
        .map(|p| context.absolute("discharge", p))
        .transpose()?;
    if let (Some(p), Some(level)) = (discharge, args.discharge)
        && p <= tank
    {
        return Err(CliError::Flag {
            flag: "discharge",
            problem: FlagProblem::Contradicts {
                given: context.pressure_text(level),
                relation: "is not above",
                other: "tank-pressure",
                other_given: tank.gauge(context.ambient).show(context.units),
            },
        });
    }
    if given.is_some_and(|p| p < liquid.vapour_pressure) {
        return Err(CliError::Flag {
            flag: "tank-pressure",
            problem: FlagProblem::BelowVapour {
                given: tank.show(context.units),
                vapour: liquid.vapour_pressure.show(context.units),
            },
        });
    }
    let draw = Draw {
        tank_pressure: tank,
        lift: args.lift.unwrap_or_default(),
        bore: args.suction_bore,
        length: args.suction_length.unwrap_or_default(),
        loss_coefficient: args.suction_loss_coefficient.unwrap_or(0.0),
    };
    let delivery = match (args.flow, discharge, args.power) {
        (Some(flow), Some(p), _) => Delivery::Power(flow, p),
        (None, Some(p), Some(power)) => Delivery::Flow(p, power),
        (Some(flow), None, Some(power)) => Delivery::Pressure(flow, power),
        _ => unreachable!("one of three is left out"),
    };
    let efficiency = args.efficiency.unwrap_or(ratio(SMALL_PUMP_EFFICIENCY));
    let work: PumpWork = pump_work(&liquid.into(), &draw, delivery, efficiency)?;
    let required = args.suction_head.unwrap_or(metres(SMALL_PUMP_HEAD_M));
    // the tank at the same pressure, the same flow
    let margin = |t_k: f64| -> Result<f64, CliError> {
        let warm = liquid_at(fluid.as_ref(), tank, kelvin(t_k))?;
        let power = Delivery::Power(work.flow, work.discharge);
        let at = pump_work(&warm.into(), &draw, power, efficiency)?;
        Ok(at.head_available.value - SUCTION_MARGIN * required.value)
    };
    let high_k = fluid
        .validity()
        .temperature_k
        .end()
        .min(0.98 * fluid.critical().0);
    let limit = if closed {
        SuctionLimit::NotKnown
    } else {
        suction_limit(margin, t.value, high_k)
    };
    let title = format!(
        "pump for {}, {} behind it",
        fluid.composition().label(),
        work.discharge.gauge(context.ambient).show(context.units)
    );
    let mut report = Report::new(Topic::Pump, title);
    write::pump(
        &mut report,
        &write::Told {
            work: &work,
            liquid: &liquid,
            draw: &draw,
            efficiency,
            required,
            limit,
            found,
            air: context.ambient,
            units: context.units,
        },
    );
    defaults(args, closed, &mut report);
    Context::model(&mut report, fluid.as_ref());
    report.cite(&context.library, "tp410");
    Ok(report)
}

/// The flag that is left out; the others are above zero.
fn asked(args: &PumpArgs, context: &Context) -> Result<&'static str, CliError> {
    let found = left_out([
        ("flow", args.flow.is_some()),
        ("discharge", args.discharge.is_some()),
        ("power", args.power.is_some()),
    ])?;
    some_flow(args.flow, context)?;
    some_length("suction-bore", args.suction_bore, context)?;
    some_length("suction-length", args.suction_length, context)?;
    some_length("suction-head", args.suction_head, context)?;
    if let Some(power) = args.power {
        positive("power", power.value, power.show(context.units))?;
    }
    Ok(found)
}

/// What was taken for granted.
fn defaults(args: &PumpArgs, closed: bool, report: &mut Report) {
    if args.efficiency.is_none() {
        report.assume(format!(
            "pump and motor together turn {} of the power into pressure, as small gear and vane pumps do (10 to 40 %); give --efficiency",
            percent(SMALL_PUMP_EFFICIENCY)
        ));
    }
    if args.suction_head.is_none() {
        report.assume(sentence!(
            "the pump needs {} of suction head, as small gear pumps do; give --suction-head",
            length(SMALL_PUMP_HEAD_M)
        ));
    }
    if closed {
        report.assume("a closed tank under its own vapour: nothing but its level above the pump keeps the liquid from boiling; give --tank-pressure if gas presses on it");
    } else if args.tank_pressure.is_none() {
        report.assume("a vented tank: the air presses on the liquid; give --tank-pressure");
    }
    if args.lift.is_none() {
        report.assume("the pump stands as high as the lowest level; give --lift");
    }
    if args.suction_bore.is_none() {
        report.assume(
            "nothing is lost in the suction line; give --suction-bore and --suction-length",
        );
    }
}
