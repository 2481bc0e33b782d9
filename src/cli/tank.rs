//! `tank`: draw a tank down, and what it can keep up; of a rig its schedule, limits, filling and remedies.

use super::context::Context;
use super::error::CliError;
use super::flags::{quantity, whole};
use super::rig;
use crate::audit::solution::{Asked, FIRST_COIL_BORE_M, tank_study};
use crate::audit::{Group, audit_of};
use crate::combustion::Stoichiometry;
use crate::quantity::show::{Show, fixed, show};
use crate::quantity::{
    Kind, Length, Mass, MassRate, PressureLevel, Ratio, SpecificHeatCapacity, ThermalConductance,
    ThermalConductivity, ThermodynamicTemperature, Time, Velocity, Volume, kelvin_difference,
    metres, metres_per_second, ratio,
};
use crate::report::{self, Report, Topic};
use crate::tank::TankError;
use crate::tank::answer::{self, CoilAsked, Hottest, Question};
use crate::tank::heat_gain::{Air, FrostLayer, HeatGain};
use crate::tank::schedule::{Drawn, Schedule, Step};
use crate::tank::shell::{Attitude, PAINTED_EMISSIVITY, Shell};
use crate::tank::vessel::{Charge, Tank};
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "\
Examples:
  fuelwright tank --fuel propane --volume \"27.2 L\" --fill \"11 kg\" --tank-temperature \"15 degC\" \\
    --ambient \"15 degC\" --draw \"0.4 g/s\" --duration \"2 h\" --wall-mass \"12 kg\" \\
    --wall-specific-heat \"480 J/(kg K)\" --conductance \"5 W/K\"
  The same from its shape instead of --conductance:
    --diameter \"300 mm\" --length \"450 mm\" --attitude upright
  The tank of a rig with its run plan, what each duty needs, when it first fails, what would help:
    fuelwright tank examples/greenhouse-frost-guard.toml";

const USAGE: &str = "\
fuelwright tank [OPTIONS] RIG
       fuelwright tank [OPTIONS] --fuel <F> --volume <V> --fill <M> --tank-temperature <T> --ambient <T> --draw <M> --duration <t> --wall-mass <M> --wall-specific-heat <C> <--conductance <UA>|--diameter <D> --length <L>>";

/// Why a flag is there.
const ASKED: &str = "clap asks for it where there is no rig";

/// Flags whose matter a rig file gives.
const RIG_SAYS: [&str; 26] = [
    "fuel",
    "volume",
    "fill",
    "tank_temperature",
    "ambient",
    "draw",
    "duration",
    "wall_mass",
    "wall_specific_heat",
    "conductance",
    "lowest_pressure",
    "line_pressure",
    "liquid",
    "rest",
    "repeats",
    "diameter",
    "length",
    "attitude",
    "emissivity",
    "wind",
    "humidity",
    "frost_thickness",
    "frost_conductivity",
    "water_bath",
    "hottest",
    "relief",
];

/// Rows of a series where no interval is asked for.
const ROWS: f64 = 10.0;
/// Most rows of a series, the last apart: more fill files and memory, and a run changes little from one to the next.
const MOST_ROWS: f64 = 10_000.0;

/// Flags of `tank`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES, override_usage = USAGE)]
#[command(group(clap::ArgGroup::new("heat").required(true).args(["rig", "conductance", "diameter"])))]
pub struct TankArgs {
    /// Rig file: its tank with its run plan, instead of the flags.
    #[arg(value_name = "RIG", conflicts_with_all = RIG_SAYS, conflicts_with = "rating")]
    pub rig: Option<PathBuf>,
    /// Fuel or blend, as the tank is filled with it.
    #[arg(long, value_name = "F", required_unless_present = "rig")]
    pub fuel: Option<String>,
    /// Inner volume of the tank (water capacity).
    #[arg(long, value_name = "V", value_parser = quantity::<Volume>, required_unless_present = "rig")]
    pub volume: Option<Volume>,
    /// Mass of fuel in it, liquid and vapour together.
    #[arg(long, value_name = "M", value_parser = quantity::<Mass>, required_unless_present = "rig")]
    pub fill: Option<Mass>,
    /// Temperature of tank and fuel at the start.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>, required_unless_present = "rig")]
    pub tank_temperature: Option<ThermodynamicTemperature>,
    /// Temperature round the tank.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>, required_unless_present = "rig")]
    pub ambient: Option<ThermodynamicTemperature>,
    /// Mass flow drawn; zero for a tank that is left alone.
    #[arg(long, value_name = "M", value_parser = quantity::<MassRate>, required_unless_present = "rig")]
    pub draw: Option<MassRate>,
    /// How long it is drawn.
    #[arg(long, value_name = "t", value_parser = quantity::<Time>, required_unless_present = "rig")]
    pub duration: Option<Time>,
    /// Mass of the tank's wall.
    #[arg(long, value_name = "M", value_parser = quantity::<Mass>, required_unless_present = "rig")]
    pub wall_mass: Option<Mass>,
    /// Specific heat of the wall.
    #[arg(long, value_name = "C", value_parser = quantity::<SpecificHeatCapacity>, required_unless_present = "rig")]
    pub wall_specific_heat: Option<SpecificHeatCapacity>,
    /// Heat flow from the surroundings per kelvin.
    #[arg(long, value_name = "UA", value_parser = quantity::<ThermalConductance>)]
    pub conductance: Option<ThermalConductance>,
    /// Time between rows; the first row is at 0. A tenth of the duration if left out.
    /// Of more than 10000 rows one in so many is kept.
    #[arg(long, value_name = "t", value_parser = quantity::<Time>)]
    pub every: Option<Time>,
    /// Lowest tank pressure that still feeds the duty; that of the air if left out.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>)]
    pub lowest_pressure: Option<PressureLevel>,
    /// Pressure of the gas line, for the dew point of what is drawn.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>)]
    pub line_pressure: Option<PressureLevel>,
    /// Draw liquid through a dip tube instead of vapour.
    #[arg(long)]
    pub liquid: bool,
    /// Rest after the draw.
    #[arg(long, value_name = "t", value_parser = quantity::<Time>)]
    pub rest: Option<Time>,
    /// How many times draw and rest are run through.
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = |text: &str| whole::<u32>(text, &1))]
    pub repeats: u32,
    /// Temperature at which the run ends.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>)]
    pub floor: Option<ThermodynamicTemperature>,
    /// Shape of the tank and air or bath round it.
    #[command(flatten)]
    pub shape: ShapeArgs,
    /// The hottest day.
    #[command(flatten)]
    pub hot: HotArgs,
    /// The coil of a vaporiser.
    #[command(flatten)]
    pub coil: CoilArgs,
}

/// The coil of a vaporiser, for liquid that is drawn or should be.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "Coil of a vaporiser")]
pub struct CoilArgs {
    /// Temperature its wall is held at: asks for a first length.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>)]
    pub coil_wall: Option<ThermodynamicTemperature>,
    /// Bore of its tube [default: 6 mm].
    #[arg(long, value_name = "D", value_parser = quantity::<Length>, requires = "coil_wall")]
    pub coil_bore: Option<Length>,
}

/// Shape of the tank and what is round it, in place of a conductance.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "Heat from the tank's shape")]
pub struct ShapeArgs {
    /// Outside diameter of the tank.
    #[arg(long, value_name = "D", value_parser = quantity::<Length>, requires = "length")]
    pub diameter: Option<Length>,
    /// Overall length (or height) of the tank.
    #[arg(long, value_name = "L", value_parser = quantity::<Length>, requires = "diameter")]
    pub length: Option<Length>,
    /// How it stands: upright or lying.
    #[arg(long, value_enum, default_value_t = Stands::Upright, hide_possible_values = true)]
    pub attitude: Stands,
    /// Emissivity of its surface [default: 0.9, paint].
    #[arg(long, value_name = "X", value_parser = quantity::<Ratio>, requires = "diameter")]
    pub emissivity: Option<Ratio>,
    /// Wind across it.
    #[arg(long, value_name = "W", value_parser = quantity::<Velocity>, requires = "diameter")]
    pub wind: Option<Velocity>,
    /// Relative humidity of the air, for dew and frost.
    #[arg(long, value_name = "X", value_parser = quantity::<Ratio>, requires = "diameter")]
    pub humidity: Option<Ratio>,
    /// Thickness of a layer of frost to count.
    #[arg(long, value_name = "D", value_parser = quantity::<Length>, requires = "frost_conductivity")]
    pub frost_thickness: Option<Length>,
    /// Conductivity of that frost: 0.05 to 0.2 W/(m K) loose, 0.5 dense.
    #[arg(long, value_name = "K", value_parser = quantity::<ThermalConductivity>, requires = "frost_thickness")]
    pub frost_conductivity: Option<ThermalConductivity>,
    /// The tank stands in still water at the ambient temperature.
    #[arg(long, requires = "diameter", conflicts_with_all = ["wind", "humidity", "frost_thickness"])]
    pub water_bath: bool,
}

/// How hot the tank may get and what it stands.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "The hottest day")]
pub struct HotArgs {
    /// Highest temperature of the tank, sun included.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>)]
    pub hottest: Option<ThermodynamicTemperature>,
    /// Set pressure of its relief.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>, requires = "hottest")]
    pub relief: Option<PressureLevel>,
    /// Pressure it is rated for.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>, requires = "hottest")]
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

/// Draws the tank down, or studies that of a rig.
///
/// # Errors
/// A tank, charge or schedule that cannot be run, unknown fuel, out of range; a rig file with mistakes or
/// without a tank that boils.
pub fn run(args: &TankArgs, context: &Context) -> Result<Report, CliError> {
    match &args.rig {
        Some(path) => of_rig(args, path, context),
        None => from_flags(args, context),
    }
}

/// The tank of a rig.
fn of_rig(args: &TankArgs, path: &Path, context: &Context) -> Result<Report, CliError> {
    if let Some(every) = args.every {
        super::flags::positive(
            "every",
            every.value,
            show(Kind::Time, every.value, context.units),
        )?;
    }
    let loaded = rig::load(path, context)?;
    let solution = rig::solve(&loaded, context)?;
    let mut report = Report::new(Topic::Tank, format!("Tank of {}", loaded.rig.name));
    let whole = loaded.rig.timetable.as_ref().map(|table| {
        let steps = table.steps.iter().map(|s| s.duration);
        let cycle = steps.fold(Time::default(), |a, b| a + b);
        cycle * f64::from(table.repeats)
    });
    let asked = Asked {
        every: args.every.map(|every| match whole {
            Some(whole) => interval(every, whole, context, &mut report),
            None => every,
        }),
        floor: args.floor,
        coil: coil(args, &mut report),
    };
    let (tank, study) = tank_study(&solution, &asked).map_err(|why| CliError::NoTank { why })?;
    report::tank::of_rig(
        &mut report,
        &context.library,
        &solution,
        tank,
        &study,
        args.every.is_some(),
    );
    let found = audit_of(&solution, &[Group::Supply, Group::Tank]);
    rig::findings(&mut report, &loaded, &solution, &found);
    // what the draws rest on; those of the holes have no part in it
    let of_train = solution.train().iter().flat_map(|plan| &plan.assumptions);
    for sentence in &solution.rig.assumptions {
        report.assume(sentence);
    }
    for sentence in of_train {
        report.assume(sentence.as_str());
    }
    Context::model(&mut report, solution.fluid.as_ref());
    Ok(report)
}

fn coil(args: &TankArgs, report: &mut Report) -> Option<CoilAsked> {
    let wall = args.coil.coil_wall?;
    let bore = args.coil.coil_bore.unwrap_or_else(|| {
        report.assume("no --coil-bore: the coil has a bore of 6 mm");
        metres(FIRST_COIL_BORE_M)
    });
    Some(CoilAsked { wall, bore })
}

fn from_flags(args: &TankArgs, context: &Context) -> Result<Report, CliError> {
    let mut report = Report::new(Topic::Tank, String::new());
    let coil = coil(args, &mut report);
    let question = question(args, coil, context, &mut report)?;
    let answer = answer::answer(&question)?;
    let step = &question.schedule.steps[0];
    let of = |kind, si| show(kind, si, context.units);
    report.title = format!(
        "{} of {} in {}, {} drawn for {}",
        of(Kind::Mass, question.charge.mass.value),
        question.tank.backend.composition().label(),
        of(Kind::Volume, question.tank.volume.value),
        step.draw.show(context.units),
        of(Kind::Time, step.duration.value),
    );
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
    Context::model(&mut report, question.tank.backend.as_ref());
    Ok(report)
}

/// The interval between rows; where that makes more rows than are kept, so many times as long.
fn interval(every: Time, whole: Time, context: &Context, report: &mut Report) -> Time {
    let rows = (whole / every).value;
    // less the rounding of the quotient
    let nth = (rows / MOST_ROWS - 1e-9).ceil();
    if nth <= 1.0 {
        return every;
    }
    let shown = |t: Time| show(Kind::Time, t.value, context.units);
    report.remark(format!(
        "A row every {} makes {} of them, and {} at most are kept: one in {}, every {}.",
        shown(every),
        fixed(rows, 0),
        fixed(MOST_ROWS, 0),
        fixed(nth, 0),
        shown(every * nth)
    ));
    every * nth
}

fn question(
    args: &TankArgs,
    coil: Option<CoilAsked>,
    context: &Context,
    report: &mut Report,
) -> Result<Question, CliError> {
    let duration = args.duration.expect(ASKED);
    super::flags::positive(
        "duration",
        duration.value,
        show(Kind::Time, duration.value, context.units),
    )?;
    let every = args.every.unwrap_or(duration / ROWS);
    super::flags::positive(
        "every",
        every.value,
        show(Kind::Time, every.value, context.units),
    )?;
    let cycle = duration + args.rest.unwrap_or_default();
    let every = interval(every, cycle * f64::from(args.repeats), context, report);
    let backend = context.fluid(args.fuel.as_deref().expect(ASKED))?;
    let absolute =
        |flag, level: Option<PressureLevel>| level.map(|p| context.absolute(flag, p)).transpose();
    let mut steps = vec![Step {
        phase: if args.liquid {
            Drawn::Liquid
        } else {
            Drawn::Vapour
        },
        line_pressure: absolute("line-pressure", args.line_pressure)?,
        ..Step::vapour("draw", args.draw.expect(ASKED), duration)
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
        number: 1,
        coil,
        charge: Charge {
            mass: args.fill.expect(ASKED),
            temperature: args.tank_temperature.expect(ASKED),
        },
        schedule: Schedule {
            steps,
            repeats: args.repeats,
        },
        lowest: absolute("lowest-pressure", args.lowest_pressure)?.unwrap_or(context.ambient),
        every: Some(every),
        floor: args.floor,
        hottest,
        superheat: kelvin_difference(10.0),
        heating_value,
        tank: Tank {
            backend,
            volume: args.volume.expect(ASKED),
            wall: args.wall_mass.expect(ASKED) * args.wall_specific_heat.expect(ASKED),
            heat_gain: heat_gain(args, context)?,
        },
    })
}

fn heat_gain(args: &TankArgs, context: &Context) -> Result<HeatGain, CliError> {
    let s = &args.shape;
    let ambient = args.ambient.expect(ASKED);
    let (Some(diameter), Some(length)) = (s.diameter, s.length) else {
        return Ok(HeatGain::Conductance {
            conductance: args.conductance.unwrap_or_default(),
            ambient,
        });
    };
    let attitude = match s.attitude {
        Stands::Upright => Attitude::Upright,
        Stands::Lying => Attitude::Lying,
    };
    let emissivity = s.emissivity.unwrap_or(ratio(PAINTED_EMISSIVITY));
    let shell = Shell::new(diameter, length, attitude, emissivity)?;
    let (volume, outside) = (args.volume.expect(ASKED), shell.outside_volume());
    if volume > outside {
        return Err(TankError::LargerInside {
            volume_m3: volume.value,
            outside_m3: outside.value,
        }
        .into());
    }
    if s.water_bath {
        return Ok(HeatGain::WaterBath {
            shell,
            temperature: ambient,
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
            temperature: ambient,
            pressure: context.ambient,
            wind: s.wind.unwrap_or(metres_per_second(0.0)),
            relative_humidity: s.humidity,
        },
        frost,
    })
}
