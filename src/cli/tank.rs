//! `tank`: draw a tank down, and what it can keep up.

use super::Context;
use super::args::quantity;
use super::error::CliError;
use crate::combustion::Stoichiometry;
use crate::quantity::show::{Show, show};
use crate::quantity::{
    Kind, Length, Mass, MassRate, PressureLevel, Ratio, SpecificHeatCapacity, ThermalConductance,
    ThermalConductivity, ThermodynamicTemperature, Time, Velocity, Volume, kelvin_difference,
    metres_per_second, ratio,
};
use crate::report::{self, Report, Topic};
use crate::tank::answer::{self, Hottest, Question};
use crate::tank::heat_gain::{Air, FrostLayer, HeatGain};
use crate::tank::schedule::{Drawn, Schedule, Step};
use crate::tank::shell::{Attitude, PAINTED_EMISSIVITY, Shell};
use crate::tank::vessel::{Charge, Tank};

const EXAMPLES: &str = "\
Examples:
  fuelwright tank --fuel propane --volume \"27.2 L\" --fill \"11 kg\" --tank-temperature \"15 degC\" \\
    --ambient \"15 degC\" --draw \"0.4 g/s\" --duration \"2 h\" --wall-mass \"12 kg\" \\
    --wall-specific-heat \"480 J/(kg K)\" --conductance \"5 W/K\"
  (from its shape: --diameter \"300 mm\" --length \"450 mm\" --attitude upright instead of --conductance)";

/// Rows of a series where no interval is asked for.
const ROWS: f64 = 10.0;

/// Flags of `tank`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
#[command(group(clap::ArgGroup::new("heat").required(true).args(["conductance", "diameter"])))]
pub struct TankArgs {
    /// Fuel or blend, as the tank is filled with it.
    #[arg(long, value_name = "F")]
    pub fuel: String,
    /// Inner volume of the tank (water capacity).
    #[arg(long, value_name = "V", value_parser = quantity::<Volume>, allow_hyphen_values = true)]
    pub volume: Volume,
    /// Mass of fuel in it, liquid and vapour together.
    #[arg(long, value_name = "M", value_parser = quantity::<Mass>, allow_hyphen_values = true)]
    pub fill: Mass,
    /// Temperature of tank and fuel at the start.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>, allow_hyphen_values = true)]
    pub tank_temperature: ThermodynamicTemperature,
    /// Temperature round the tank.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>, allow_hyphen_values = true)]
    pub ambient: ThermodynamicTemperature,
    /// Mass flow drawn; zero for a tank that is left alone.
    #[arg(long, value_name = "M", value_parser = quantity::<MassRate>, allow_hyphen_values = true)]
    pub draw: MassRate,
    /// How long it is drawn.
    #[arg(long, value_name = "t", value_parser = quantity::<Time>, allow_hyphen_values = true)]
    pub duration: Time,
    /// Mass of the tank's wall.
    #[arg(long, value_name = "M", value_parser = quantity::<Mass>, allow_hyphen_values = true)]
    pub wall_mass: Mass,
    /// Specific heat of the wall.
    #[arg(long, value_name = "C", value_parser = quantity::<SpecificHeatCapacity>, allow_hyphen_values = true)]
    pub wall_specific_heat: SpecificHeatCapacity,
    /// Heat flow from the surroundings a kelvin.
    #[arg(long, value_name = "UA", value_parser = quantity::<ThermalConductance>, allow_hyphen_values = true)]
    pub conductance: Option<ThermalConductance>,
    /// Time between rows; the first row is at 0. A tenth of the duration if not given.
    #[arg(long, value_name = "t", value_parser = quantity::<Time>, allow_hyphen_values = true)]
    pub every: Option<Time>,
    /// Lowest tank pressure that still feeds the duty; that of the air if not given.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>, allow_hyphen_values = true)]
    pub lowest_pressure: Option<PressureLevel>,
    /// Draw liquid through a dip tube instead of vapour.
    #[arg(long)]
    pub liquid: bool,
    /// Rest after the draw.
    #[arg(long, value_name = "t", value_parser = quantity::<Time>, allow_hyphen_values = true)]
    pub rest: Option<Time>,
    /// How many times draw and rest are run through.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub repeats: u32,
    /// Temperature at which the run ends.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>, allow_hyphen_values = true)]
    pub floor: Option<ThermodynamicTemperature>,
    /// Shape of the tank and air or bath round it.
    #[command(flatten)]
    pub shape: ShapeArgs,
    /// The hottest day.
    #[command(flatten)]
    pub hot: HotArgs,
}

/// Shape of the tank and what is round it, in place of a conductance.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "Heat from the tank's shape")]
pub struct ShapeArgs {
    /// Outside diameter of the tank.
    #[arg(long, value_name = "D", value_parser = quantity::<Length>, allow_hyphen_values = true, requires = "length")]
    pub diameter: Option<Length>,
    /// Overall length (or height) of the tank.
    #[arg(long, value_name = "L", value_parser = quantity::<Length>, allow_hyphen_values = true, requires = "diameter")]
    pub length: Option<Length>,
    /// How it stands: upright or lying.
    #[arg(long, value_enum, default_value_t = Stands::Upright, hide_possible_values = true)]
    pub attitude: Stands,
    /// Emissivity of its surface [default: 0.9, paint].
    #[arg(long, value_name = "X", value_parser = quantity::<Ratio>, requires = "diameter")]
    pub emissivity: Option<Ratio>,
    /// Wind across it.
    #[arg(long, value_name = "W", value_parser = quantity::<Velocity>, allow_hyphen_values = true, requires = "diameter")]
    pub wind: Option<Velocity>,
    /// Relative humidity of the air, for dew and frost.
    #[arg(long, value_name = "X", value_parser = quantity::<Ratio>, requires = "diameter")]
    pub humidity: Option<Ratio>,
    /// Thickness of a layer of frost to count.
    #[arg(long, value_name = "D", value_parser = quantity::<Length>, allow_hyphen_values = true, requires = "frost_conductivity")]
    pub frost_thickness: Option<Length>,
    /// Conductivity of that frost: 0.05 to 0.2 W/(m K) loose, 0.5 dense.
    #[arg(long, value_name = "K", value_parser = quantity::<ThermalConductivity>, allow_hyphen_values = true, requires = "frost_thickness")]
    pub frost_conductivity: Option<ThermalConductivity>,
    /// The tank stands in still water at the ambient temperature.
    #[arg(long, requires = "diameter", conflicts_with_all = ["wind", "humidity", "frost_thickness"])]
    pub water_bath: bool,
}

/// How hot the tank may get and what it stands.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "The hottest day")]
pub struct HotArgs {
    /// Hottest the tank may get, sun included.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>, allow_hyphen_values = true)]
    pub hottest: Option<ThermodynamicTemperature>,
    /// Set pressure of its relief.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>, allow_hyphen_values = true, requires = "hottest")]
    pub relief: Option<PressureLevel>,
    /// Pressure it is rated for.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>, allow_hyphen_values = true, requires = "hottest")]
    pub rating: Option<PressureLevel>,
}

/// How a tank stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Stands {
    /// Axis vertical.
    Upright,
    /// Axis horizontal.
    Lying,
}

/// Draws the tank down.
///
/// # Errors
/// A tank, charge or schedule that cannot be run, unknown fuel, out of range.
pub fn run(args: &TankArgs, context: &Context) -> Result<Report, CliError> {
    let question = question(args, context)?;
    let answer = answer::answer(&question)?;
    let of = |kind, si| show(kind, si, context.units);
    let title = format!(
        "{} of {} in {}, {} drawn for {}",
        of(Kind::Mass, args.fill.value),
        question.tank.backend.composition().label(),
        of(Kind::Volume, args.volume.value),
        args.draw.show(context.units),
        of(Kind::Time, args.duration.value),
    );
    let mut report = Report::new(Topic::Tank, title);
    report::tank::tank(
        &mut report,
        &context.library,
        context.units,
        &question,
        &answer,
    );
    if args.lowest_pressure.is_none() {
        report.assume("no --lowest-pressure: the duty counts as fed down to the pressure of the air; a regulator needs more");
    }
    context.model(&mut report, question.tank.backend.as_ref());
    Ok(report)
}

fn question(args: &TankArgs, context: &Context) -> Result<Question, CliError> {
    super::positive(
        "duration",
        args.duration.value,
        show(Kind::Time, args.duration.value, context.units),
    )?;
    let backend = context.fluid(&args.fuel)?;
    let absolute =
        |flag, level: Option<PressureLevel>| level.map(|p| context.absolute(flag, p)).transpose();
    let mut steps = vec![Step {
        phase: if args.liquid {
            Drawn::Liquid
        } else {
            Drawn::Vapour
        },
        ..Step::vapour("draw", args.draw, args.duration)
    }];
    steps.extend(args.rest.map(Step::rest));
    let hottest = match args.hot.hottest {
        Some(temperature) => Some(Hottest {
            temperature,
            relief: absolute("relief", args.hot.relief)?,
            rating: absolute("rating", args.hot.rating)?,
        }),
        None => None,
    };
    let heating_value = Stoichiometry::of(backend.composition())
        .ok()
        .map(|s| s.lower_heating_value);
    Ok(Question {
        charge: Charge {
            mass: args.fill,
            temperature: args.tank_temperature,
        },
        schedule: Schedule {
            steps,
            repeats: args.repeats,
        },
        lowest: absolute("lowest-pressure", args.lowest_pressure)?.unwrap_or(context.ambient),
        every: Some(args.every.unwrap_or(args.duration / ROWS)),
        floor: args.floor,
        hottest,
        superheat: kelvin_difference(10.0),
        heating_value,
        tank: Tank {
            backend,
            volume: args.volume,
            wall: args.wall_mass * args.wall_specific_heat,
            heat_gain: heat_gain(args, context)?,
        },
    })
}

fn heat_gain(args: &TankArgs, context: &Context) -> Result<HeatGain, CliError> {
    let s = &args.shape;
    let (Some(diameter), Some(length)) = (s.diameter, s.length) else {
        return Ok(HeatGain::Conductance {
            conductance: args.conductance.unwrap_or_default(),
            ambient: args.ambient,
        });
    };
    let attitude = match s.attitude {
        Stands::Upright => Attitude::Upright,
        Stands::Lying => Attitude::Lying,
    };
    let emissivity = s.emissivity.unwrap_or(ratio(PAINTED_EMISSIVITY));
    let shell = Shell::new(diameter, length, attitude, emissivity)?;
    if s.water_bath {
        return Ok(HeatGain::WaterBath {
            shell,
            temperature: args.ambient,
        });
    }
    let frost = s
        .frost_thickness
        .zip(s.frost_conductivity)
        .map(|(thickness, conductivity)| FrostLayer {
            thickness,
            conductivity,
        });
    Ok(HeatGain::Air {
        shell,
        air: Air {
            temperature: args.ambient,
            pressure: context.ambient,
            wind: s.wind.unwrap_or(metres_per_second(0.0)),
            relative_humidity: s.humidity,
        },
        frost,
    })
}
