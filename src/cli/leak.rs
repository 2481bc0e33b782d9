//! `leak`: what comes out of a hole, where it goes and what it does there; or every release of a rig.

use super::context::Context;
use super::error::{CliError, FlagProblem};
use super::feed::at_rest;
use super::flags::positive;
use super::flags::{Expansion, WantedPhase, quantity};
use super::rig;
use crate::audit::{Group, audit_of_and};
use crate::eos::Phase;
use crate::flow::orifice;
use crate::leak::decay::{Walls, empty_section};
use crate::leak::release::{BOUNDING, Hole, release};
use crate::leak::tank_decay::{LeakingTank, empty_tank};
use crate::leak::{LeakFuel, Room, Surroundings, consequences};
use crate::quantity::show::{Show, show};
use crate::quantity::{
    AbsolutePressure, Area, HeatCapacity, Kind, Length, Mass, PressureLevel, Ratio,
    SpecificHeatCapacity, ThermalConductance, ThermodynamicTemperature, Volume, VolumeRate,
    cubic_metres_per_second, joules_per_kelvin, seconds,
};
use crate::report::leak::{Emptying, Told};
use crate::report::{self, Report, Topic};
use crate::tank::heat_gain::HeatGain;
use crate::tank::schedule::Drawn;
use crate::tank::vessel::{Charge, Tank};
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "\
Examples:
  A hole in a gas line, in a room:
    fuelwright leak --fuel propane --pressure \"2 barg\" --temperature \"15 degC\" \\
      --hole-diameter \"1 mm\" --room \"30 m3\" --ventilation \"60 m3/h\"
  A line that is shut off and empties:
    fuelwright leak --fuel propane --pressure \"2 barg\" --temperature \"15 degC\" \\
      --hole-diameter \"1 mm\" --volume \"0.5 L\"
  A cylinder that empties through its open valve, and chills:
    fuelwright leak --fuel propane --volume \"27 L\" --fill \"11 kg\" --temperature \"15 degC\" \\
      --hole-diameter \"3 mm\" --wall-mass \"12 kg\" --wall-specific-heat \"480 J/(kg K)\" \\
      --conductance \"5 W/K\"
  Every release of a rig:
    fuelwright leak examples/coupon-soak-rig.toml";

const USAGE: &str = "\
fuelwright leak [OPTIONS] RIG
       fuelwright leak [OPTIONS] --fuel <F> --pressure <P> <--temperature <T>|--quality <Q>> <--hole-diameter <D>|--hole-area <A>>
       fuelwright leak [OPTIONS] --fuel <F> --volume <V> --fill <M> --temperature <T> <--hole-diameter <D>|--hole-area <A>>";

/// Flags whose matter a rig file gives.
const RIG_SAYS: [&str; 19] = [
    "fuel",
    "pressure",
    "temperature",
    "quality",
    "hole_diameter",
    "hole_area",
    "discharge_coefficient",
    "ambient",
    "room",
    "ventilation",
    "phase",
    "expansion",
    "volume",
    "fill",
    "liquid",
    "conductance",
    "wall_mass",
    "wall_specific_heat",
    "warm_walls",
];

/// Rules of other groups that look at what a regulator stuck open does.
const STUCK_OPEN: [&str; 2] = ["REG006", "REG008"];

/// Longest emptying that is looked at: three days.
const LONGEST_S: f64 = 259_200.0;
/// Temperatures at which the fuel's own is taken for that of the air where none is given, K.
const AIR_K: std::ops::RangeInclusive<f64> = 233.15..=323.15;
/// Temperature of the air otherwise, K: 15 °C.
const USUAL_AIR_K: f64 = 288.15;

/// Flags of `leak`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES, override_usage = USAGE)]
#[command(group = clap::ArgGroup::new("inside").required(true).args(["rig", "pressure", "fill"]))]
#[command(group = clap::ArgGroup::new("state").required(true).args(["rig", "temperature", "quality"]))]
#[command(group = clap::ArgGroup::new("hole").required(true).args(["rig", "hole_diameter", "hole_area"]))]
pub struct LeakArgs {
    /// Rig file: all its releases, instead of the flags.
    #[arg(value_name = "RIG", conflicts_with_all = RIG_SAYS)]
    pub rig: Option<PathBuf>,
    /// Fuel or blend.
    #[arg(long, value_name = "F", required_unless_present = "rig")]
    pub fuel: Option<String>,
    /// Pressure before the hole, gauge or absolute.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>)]
    pub pressure: Option<PressureLevel>,
    /// Temperature before the hole.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>)]
    pub temperature: Option<ThermodynamicTemperature>,
    /// Share of vapour by mass of a saturated fuel, instead of the temperature: 0 liquid, 1 vapour.
    #[arg(long, value_name = "Q", value_parser = quantity::<Ratio>, conflicts_with = "fill")]
    pub quality: Option<Ratio>,
    /// Diameter of the hole.
    #[arg(long, value_name = "D", value_parser = quantity::<Length>)]
    pub hole_diameter: Option<Length>,
    /// Area of the hole, instead of its diameter.
    #[arg(long, value_name = "A", value_parser = quantity::<Area>)]
    pub hole_area: Option<Area>,
    /// Discharge coefficient of the hole, instead of a model with a wide band.
    #[arg(long, value_name = "C", value_parser = quantity::<Ratio>)]
    pub discharge_coefficient: Option<Ratio>,
    /// Temperature of the air; that of the fuel if left out.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>)]
    pub ambient: Option<ThermodynamicTemperature>,
    /// Volume of the room it leaks into; none: the open.
    #[arg(long, value_name = "V", value_parser = quantity::<Volume>)]
    pub room: Option<Volume>,
    /// Fresh air into the room; none if left out.
    #[arg(long, value_name = "Q", value_parser = quantity::<VolumeRate>, requires = "room")]
    pub ventilation: Option<VolumeRate>,
    /// Phase required before the hole, gas or liquid: any other is an error.
    #[arg(long, value_name = "PHASE", value_enum, hide_possible_values = true)]
    pub phase: Option<WantedPhase>,
    /// How a liquid expands in the hole: bernoulli (no vapour, what bounds the release), equilibrium or blend;
    /// bernoulli if left out.
    #[arg(long, value_enum, hide_possible_values = true)]
    pub expansion: Option<Expansion>,
    /// The section or tank that empties.
    #[command(flatten)]
    pub emptying: EmptyingArgs,
}

/// The section or tank that empties.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "A section or tank that empties")]
pub struct EmptyingArgs {
    /// Volume of a closed section of gas, or with --fill of a tank.
    #[arg(long, value_name = "V", value_parser = quantity::<Volume>)]
    pub volume: Option<Volume>,
    /// The walls of the section hold the gas at its temperature.
    #[arg(long, requires = "volume", conflicts_with = "fill")]
    pub warm_walls: bool,
    /// Fuel in a tank, liquid and vapour together, instead of --pressure.
    #[arg(long, value_name = "M", value_parser = quantity::<Mass>, requires_all = ["volume", "temperature"], conflicts_with = "pressure")]
    pub fill: Option<Mass>,
    /// The hole is below the liquid in the tank.
    #[arg(long, requires = "fill")]
    pub liquid: bool,
    /// Heat flow into the tank per kelvin below the air.
    #[arg(long, value_name = "UA", value_parser = quantity::<ThermalConductance>, requires = "fill")]
    pub conductance: Option<ThermalConductance>,
    /// Mass of the tank's wall.
    #[arg(long, value_name = "M", value_parser = quantity::<Mass>, requires_all = ["fill", "wall_specific_heat"])]
    pub wall_mass: Option<Mass>,
    /// Specific heat of the wall.
    #[arg(long, value_name = "C", value_parser = quantity::<SpecificHeatCapacity>, requires = "wall_mass")]
    pub wall_specific_heat: Option<SpecificHeatCapacity>,
}

/// Computes a release, or all of a rig.
///
/// # Errors
/// Unknown fuel, pressure not above that of the air, wrong phase, out of range; mistakes of a rig file.
pub fn run(args: &LeakArgs, context: &Context) -> Result<Report, CliError> {
    match (&args.rig, &args.fuel) {
        (Some(path), _) => for_rig(path, context),
        (None, Some(fuel)) => from_flags(args, fuel, context),
        (None, None) => unreachable!("clap asks for a fuel where no rig is given"),
    }
}

/// Every release of a rig.
fn for_rig(path: &Path, context: &Context) -> Result<Report, CliError> {
    let loaded = rig::load(path, context)?;
    let solution = rig::solve(&loaded, context)?;
    let plan = match solution.leaks() {
        Ok(plan) => plan,
        Err(why) => return Err(CliError::NoLeaks { why: why.clone() }),
    };
    let mut report = Report::new(Topic::Leak, format!("Releases of {}", loaded.rig.name));
    report::leak_plan::plan(&mut report, &context.library, &solution, plan);
    let found = audit_of_and(&solution, &[Group::Leak], &STUCK_OPEN);
    rig::findings(&mut report, &loaded, &solution, &found);
    Context::model(&mut report, solution.fluid.as_ref());
    Ok(report)
}

fn from_flags(args: &LeakArgs, fuel: &str, context: &Context) -> Result<Report, CliError> {
    let fluid = context.fluid(fuel)?;
    let hole = hole(args, context)?;
    let around = Surroundings {
        pressure: context.ambient,
        temperature: ambient(args),
    };
    let room = room(args, context)?;
    let mut report = Report::new(Topic::Leak, String::new());
    let (told, title) =
        if let (Some(volume), Some(mass)) = (args.emptying.volume, args.emptying.fill) {
            from_tank(args, fluid.clone(), volume, mass, hole, &around, context)?
        } else {
            from_pressure(args, fluid.as_ref(), &hole, &around, context)?
        };
    let drawn = told.fluid.clone().unwrap_or(fluid);
    let fuel = LeakFuel::of(drawn.as_ref(), &around)?;
    let does = consequences(&told.release, &fuel, &around, room.as_ref())?;
    report.title = title;
    if args.emptying.liquid && told.upstream.phase != Phase::Liquid {
        report.remark(
            "--liquid: at this temperature the tank holds gas alone, and gas is what leaves it.",
        );
    }
    if args.expansion.is_some() && told.release.expanding.is_none() {
        report.remark("--expansion: the fuel before the hole is gas, which has one way to expand.");
    }
    report::leak::release(
        &mut report,
        &context.library,
        context.units,
        &Told {
            around,
            room,
            fuel: &fuel,
            upstream: &told.upstream,
            release: &told.release,
            does: &does,
            emptying: told.emptying.as_ref(),
        },
    );
    if args.ambient.is_none() {
        report.assume(if AIR_K.contains(&told.upstream.temperature_k) {
            "no --ambient: the air is as warm as the fuel".to_owned()
        } else {
            format!(
                "no --ambient: the air is taken at {}",
                show(Kind::Temperature, around.temperature.value, context.units)
            )
        });
    }
    Context::model(&mut report, drawn.as_ref());
    Ok(report)
}

/// What was found before it is told.
struct Found {
    fluid: Option<std::sync::Arc<dyn crate::eos::Backend>>,
    upstream: crate::eos::State,
    release: crate::leak::Release,
    emptying: Option<Emptying>,
}

fn from_pressure(
    args: &LeakArgs,
    fluid: &dyn crate::eos::Backend,
    hole: &Hole,
    around: &Surroundings,
    context: &Context,
) -> Result<(Found, String), CliError> {
    let level = args
        .pressure
        .expect("clap asks for a pressure where no fill is given");
    let p = context.absolute("pressure", level)?;
    above_air(p, level, context)?;
    let up = at_rest(fluid, p, args.temperature, args.quality)?;
    context.expect_phase(fluid, up.state(), args.phase)?;
    let found = release(&up, around.pressure, hole, expansion(args))?;
    let emptying = match args.emptying.volume {
        Some(volume) => {
            let walls = if args.emptying.warm_walls {
                Walls::Isothermal
            } else {
                Walls::Insulated
            };
            Some(Emptying {
                decay: empty_section(&up, volume, &found, walls)?,
                tank: false,
                walls: Some(walls),
            })
        }
        None => None,
    };
    let title = format!(
        "{} through {} from {}, {}",
        fluid.composition().label(),
        opening(hole, context),
        context.pressure_text(level),
        show(Kind::Temperature, up.state().temperature_k, context.units),
    );
    let found = Found {
        fluid: None,
        upstream: *up.state(),
        release: found,
        emptying,
    };
    Ok((found, title))
}

fn from_tank(
    args: &LeakArgs,
    fluid: std::sync::Arc<dyn crate::eos::Backend>,
    volume: Volume,
    mass: Mass,
    hole: Hole,
    around: &Surroundings,
    context: &Context,
) -> Result<(Found, String), CliError> {
    let temperature = args
        .temperature
        .expect("clap asks for a temperature with a fill");
    let e = &args.emptying;
    let wall: HeatCapacity = match (e.wall_mass, e.wall_specific_heat) {
        (Some(m), Some(c)) => m * c,
        _ => joules_per_kelvin(0.0),
    };
    let heat_gain =
        e.conductance
            .map_or(HeatGain::Insulated, |conductance| HeatGain::Conductance {
                conductance,
                ambient: around.temperature,
            });
    let label = fluid.composition().label().to_owned();
    let leaking = LeakingTank {
        tank: Tank {
            backend: fluid,
            volume,
            wall,
            heat_gain,
        },
        charge: Charge { mass, temperature },
        phase: if e.liquid {
            Drawn::Liquid
        } else {
            Drawn::Vapour
        },
        hole,
        outside: around.pressure,
        expansion: expansion(args),
    };
    let (drawn, state, first) = crate::leak::tank_decay::first_release(&leaking)?;
    context.expect_phase(drawn.as_ref(), &state, args.phase)?;
    let decay = empty_tank(&leaking, seconds(LONGEST_S))?;
    let title = format!(
        "{} through {} from {} in {} at {}",
        label,
        opening(&hole, context),
        show(Kind::Mass, mass.value, context.units),
        show(Kind::Volume, volume.value, context.units),
        show(Kind::Temperature, temperature.value, context.units),
    );
    let found = Found {
        fluid: Some(drawn),
        upstream: state,
        release: first,
        emptying: Some(Emptying {
            decay,
            tank: true,
            walls: None,
        }),
    };
    Ok((found, title))
}

fn expansion(args: &LeakArgs) -> orifice::Expansion {
    args.expansion.map_or(BOUNDING, orifice::Expansion::from)
}

fn opening(hole: &Hole, context: &Context) -> String {
    format!("a hole of {}", hole.diameter.show(context.units))
}

fn above_air(p: AbsolutePressure, level: PressureLevel, context: &Context) -> Result<(), CliError> {
    if p > context.ambient {
        return Ok(());
    }
    Err(CliError::Flag {
        flag: "pressure",
        problem: FlagProblem::Contradicts {
            given: context.pressure_text(level),
            relation: "is not above",
            other: "ambient-pressure",
            other_given: context.ambient.show(context.units),
        },
    })
}

fn hole(args: &LeakArgs, context: &Context) -> Result<Hole, CliError> {
    let mut hole = match (args.hole_diameter, args.hole_area) {
        (Some(d), _) => {
            positive("hole-diameter", d.value, d.show(context.units))?;
            Hole::of(d)
        }
        (None, Some(a)) => {
            positive(
                "hole-area",
                a.value,
                show(Kind::Area, a.value, context.units),
            )?;
            Hole::of_area(a)
        }
        (None, None) => unreachable!("clap asks for one of them where no rig is given"),
    };
    if let Some(c) = args.discharge_coefficient {
        positive("discharge-coefficient", c.value, c.value.to_string())?;
        hole.coefficient = Some(c);
    }
    Ok(hole)
}

fn ambient(args: &LeakArgs) -> ThermodynamicTemperature {
    let own = args.temperature.filter(|t| AIR_K.contains(&t.value));
    args.ambient
        .or(own)
        .unwrap_or(crate::quantity::kelvin(USUAL_AIR_K))
}

fn room(args: &LeakArgs, context: &Context) -> Result<Option<Room>, CliError> {
    let Some(volume) = args.room else {
        return Ok(None);
    };
    positive(
        "room",
        volume.value,
        show(Kind::Volume, volume.value, context.units),
    )?;
    Ok(Some(Room {
        volume,
        ventilation: args
            .ventilation
            .unwrap_or_else(|| cubic_metres_per_second(0.0)),
    }))
}
