//! `flame`: temperature and products of a flame, at an equivalence ratio or for a duty.

use super::context::Context;
use super::error::CliError;
use super::flags::positive;
use super::flags::{WantedPhase, quantity};
use crate::combustion::Air;
use crate::combustion::flame::fuel_feed::{STANDARD_TEMPERATURE_K, usual_phase};
use crate::combustion::flame::{AirFeed, Branch, Burner, Flame, FuelFeed, FuelTarget};
use crate::fuel::FedAs;
use crate::quantity::show::{Show, number};
use crate::quantity::{MassRate, Power, PressureLevel, Ratio, ThermodynamicTemperature, kelvin};
use crate::report::{Report, Topic, flame as sections};
use clap::ValueEnum;

const EXAMPLES: &str = "\
Examples:
  fuelwright flame --fuel propane --equivalence-ratio 0.8 --air-temperature \"15 degC\" \\
    --pressure \"1.1 bar(a)\"
  fuelwright flame --fuel kerosene --exit-temperature \"900 degC\" --air \"60 g/s\" \\
    --primary-share \"25 %\" --air-temperature \"60 degC\" --pressure \"0.2 bar(g)\"
  fuelwright flame --fuel ethanol --feed gas --fuel-temperature \"120 degC\" \\
    --equivalence-ratio 1 --air-temperature \"20 degC\" --pressure \"1 bar(a)\"";

/// Flags of `flame`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
#[command(group(clap::ArgGroup::new("target").required(true)
    .args(["equivalence_ratio", "exit_temperature", "heat_input", "fuel_flow"])))]
pub struct FlameArgs {
    /// Fuel or blend.
    #[arg(long, value_name = "F")]
    pub fuel: String,
    /// Equivalence ratio: below 1 lean, above 1 rich.
    #[arg(long, value_name = "X", value_parser = quantity::<Ratio>)]
    pub equivalence_ratio: Option<Ratio>,
    /// Exit temperature wanted.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>)]
    pub exit_temperature: Option<ThermodynamicTemperature>,
    /// Fuel flow times lower heating value.
    #[arg(long, value_name = "Q", value_parser = quantity::<Power>, requires = "air")]
    pub heat_input: Option<Power>,
    /// Fuel flow.
    #[arg(long, value_name = "M", value_parser = quantity::<MassRate>, requires = "air")]
    pub fuel_flow: Option<MassRate>,
    /// Side of the hottest flame for --exit-temperature: lean or rich.
    #[arg(long, value_name = "SIDE", value_enum, default_value_t = Side::Lean, hide_possible_values = true)]
    pub side: Side,
    /// Temperature of the air.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>)]
    pub air_temperature: ThermodynamicTemperature,
    /// Pressure of the flame, gauge or absolute.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>)]
    pub pressure: PressureLevel,
    /// Air flow; gives fuel flow and heat.
    #[arg(long, value_name = "M", value_parser = quantity::<MassRate>)]
    pub air: Option<MassRate>,
    /// Humidity of the air relative to saturation, at the air temperature and ambient pressure.
    #[arg(long, value_name = "RH", value_parser = quantity::<Ratio>, conflicts_with = "humidity_ratio")]
    pub relative_humidity: Option<Ratio>,
    /// Mass of water per mass of dry air, such as "7.5 g/kg"; for air that was compressed or heated.
    #[arg(long, value_name = "W", value_parser = quantity::<Ratio>)]
    pub humidity_ratio: Option<Ratio>,
    /// Phase the fuel is fed in, if not its usual one: gas or liquid.
    #[arg(long, value_name = "PHASE", value_enum, hide_possible_values = true)]
    pub feed: Option<WantedPhase>,
    /// Temperature of the fuel, if not 25 degC.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>)]
    pub fuel_temperature: Option<ThermodynamicTemperature>,
    /// Pressure of the fuel where it has that temperature, if not that of the flame.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>)]
    pub fuel_pressure: Option<PressureLevel>,
    /// Share of the heat released that the walls take.
    #[arg(long, value_name = "SHARE", value_parser = quantity::<Ratio>)]
    pub heat_loss: Option<Ratio>,
    /// Share of the air that enters the primary zone.
    #[arg(long, value_name = "SHARE", value_parser = quantity::<Ratio>)]
    pub primary_share: Option<Ratio>,
}

/// Side of the hottest flame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Side {
    /// Less fuel than the hottest flame has.
    Lean,
    /// More fuel.
    Rich,
}

/// Works out the flame.
///
/// # Errors
/// Unknown fuel, nothing burns, equivalence ratio or temperatures out of range, fuel not in the phase fed.
pub fn run(args: &FlameArgs, context: &Context) -> Result<Report, CliError> {
    let burner = burner(args, context)?;
    let flame = exit_flame(args, context, &burner)?;
    let title = format!(
        "Flame of {} at an equivalence ratio of {}",
        burner.fuel().composition().label(),
        number(flame.equivalence_ratio.value),
    );
    let mut report = Report::new(Topic::Flame, title);
    sections::flame(&mut report, &flame);
    if let Some(air) = args.air {
        let target = FuelTarget::EquivalenceRatio(flame.equivalence_ratio);
        sections::duty(&mut report, &burner.duty(air, target)?);
    }
    let exit = burner.warnings(&flame);
    match args.primary_share {
        None => sections::findings(&mut report, &[("flame", &exit)]),
        Some(share) => {
            let staged = burner.staged(flame.equivalence_ratio, share)?;
            sections::staged(&mut report, &staged);
            let primary = burner.warnings(&staged.primary);
            // the exit lies behind a flame that holds in the primary zone: its own limits do not count there
            let exit: Vec<_> = exit.into_iter().filter(|w| !w.is_flammability()).collect();
            sections::findings(&mut report, &[("primary zone", &primary), ("exit", &exit)]);
        }
    }
    sections::feeds(&mut report, &burner);
    sections::model(&mut report, &context.library, &burner);
    assumptions(args, &mut report);
    Ok(report)
}

fn exit_flame(args: &FlameArgs, context: &Context, burner: &Burner) -> Result<Flame, CliError> {
    if let Some(air) = args.air {
        positive("air", air.value, air.show(context.units))?;
        return Ok(burner.duty(air, target(args))?.flame);
    }
    Ok(match target(args) {
        FuelTarget::EquivalenceRatio(phi) => burner.flame(phi)?,
        FuelTarget::ExitTemperature(t, branch) => burner.flame_at_exit_temperature(t, branch)?,
        FuelTarget::HeatInput(_) | FuelTarget::FuelFlow(_) => {
            unreachable!("their flags require the air flow")
        }
    })
}

fn target(args: &FlameArgs) -> FuelTarget {
    let branch = match args.side {
        Side::Lean => Branch::Lean,
        Side::Rich => Branch::Rich,
    };
    let exit = args
        .exit_temperature
        .map(|t| FuelTarget::ExitTemperature(t, branch));
    let heat = args.heat_input.map(FuelTarget::HeatInput);
    let flow = args.fuel_flow.map(FuelTarget::FuelFlow);
    let phi = args.equivalence_ratio.map(FuelTarget::EquivalenceRatio);
    phi.or(exit)
        .or(heat)
        .or(flow)
        .expect("one target is required")
}

fn burner(args: &FlameArgs, context: &Context) -> Result<Burner, CliError> {
    let p = context.absolute("pressure", args.pressure)?;
    let composition = context.composition(&args.fuel)?;
    let usual = usual_phase(&composition);
    let phase = match args.feed {
        None => usual,
        Some(WantedPhase::Gas) => FedAs::Gas,
        Some(WantedPhase::Liquid) => FedAs::Liquid,
    };
    let fuel = if args.fuel_temperature.is_none() && args.fuel_pressure.is_none() && phase == usual
    {
        FuelFeed::usual(&composition)?
    } else {
        let t = args
            .fuel_temperature
            .unwrap_or_else(|| kelvin(STANDARD_TEMPERATURE_K));
        let p_fuel = match args.fuel_pressure {
            Some(level) => context.absolute("fuel-pressure", level)?,
            None => p,
        };
        FuelFeed::from_state(context.fluid(&args.fuel)?.as_ref(), p_fuel, t, phase)?
    };
    let t_air = args.air_temperature;
    let air = match (args.relative_humidity, args.humidity_ratio) {
        (Some(rh), _) => AirFeed::new(Air::humid(t_air, context.ambient, rh)?, t_air)?,
        (None, Some(w)) => AirFeed::with_humidity_ratio(t_air, w)?,
        (None, None) => AirFeed::dry(t_air)?,
    };
    let burner = Burner::new(fuel, air, p)?;
    Ok(match args.heat_loss {
        Some(share) => burner.with_heat_loss(share)?,
        None => burner,
    })
}

fn assumptions(args: &FlameArgs, report: &mut Report) {
    if args.fuel_temperature.is_none() {
        report.assume("the fuel enters at 25 degC");
    }
    if args.relative_humidity.is_none() && args.humidity_ratio.is_none() {
        report.assume("the air is dry");
    }
    if args.heat_loss.is_none() {
        report.assume("no heat is lost to the walls");
    }
    if args.exit_temperature.is_some() && args.side == Side::Lean {
        report.assume("the exit temperature is reached with an excess of air (lean)");
    }
}
