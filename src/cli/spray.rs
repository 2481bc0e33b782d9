//! `spray`: nozzle and drop size of a liquid fuel, and how long its drops live.

use super::context::Context;
use super::error::{CliError, FlagProblem};
use super::feed::{left_out, some_flow, some_length};
use super::flags::{quantity, whole};
use crate::convert::evaporation::{constant_in, large_over_mean, liquid_left};
use crate::convert::liquid::{LiquidAt, liquid_at};
use crate::convert::nozzle::{Making, NozzleKind};
use crate::convert::volatility::Boiling;
use crate::eos::{Backend, EosError};
use crate::flow::air::DRY_AIR_KG_MOL;
use crate::flow::atomize::{
    AirStream, DropSizes, SwirlChamber, plain_jet_airblast, plain_orifice, pressure_swirl,
    swirl_discharge,
};
use crate::flow::film::air_viscosity_pa_s;
use crate::flow::orifice::Expansion;
use crate::injector::size::{HoleMake, InjectorInput, Supply, size};
use crate::quantity::range::in_range;
use crate::quantity::sentence::{sentence, temperature};
use crate::quantity::show::{Show, number};
use crate::quantity::{
    AbsolutePressure, GAS_CONSTANT_J_MOL_K, Length, MassDensity, MassRate, PressureLevel, Ratio,
    ThermodynamicTemperature, Time, Velocity, kelvin, kilograms_per_cubic_metre,
    kilograms_per_second, metres, pascal_seconds, pascals_absolute, pascals_difference,
    pascals_gauge, ratio, square_metres,
};
use crate::report::{Report, Topic, spray as write};
use clap::ValueEnum;
use std::f64::consts::FRAC_PI_4;

const EXAMPLES: &str = "\
Of --upstream, --diameter and --flow leave out the one to be found.

Examples:
  A pressure-swirl nozzle for a flow:
    fuelwright spray --fuel kerosene --temperature \"20 degC\" --upstream \"7 barg\" \\
      --flow \"1.2 g/s\"
  The same, with the life of its drops in hot gas:
    fuelwright spray --fuel kerosene --temperature \"20 degC\" --upstream \"7 barg\" \\
      --flow \"1.2 g/s\" --gas-temperature \"1200 degC\" --residence \"10 ms\"
  A drilled hole:
    fuelwright spray --fuel ethanol --temperature \"15 degC\" --nozzle plain --upstream \"10 barg\" \\
      --diameter \"0.3 mm\"";

/// Temperature of the air where none is given: 15 °C.
const AIR_K: f64 = 288.15;

/// Steps on the pressure before the nozzle, which the density of the liquid hardly goes by, and where they end.
const PRESSURE_STEPS: usize = 20;
const SETTLED: f64 = 1e-9;

/// Flags of `spray`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct SprayArgs {
    /// Fuel or blend.
    #[arg(long, value_name = "F")]
    pub fuel: String,
    /// Temperature of the liquid.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>)]
    pub temperature: ThermodynamicTemperature,
    /// Nozzle: swirl (pressure-swirl), plain (a drilled hole), or airblast (a drilled hole in fast air).
    #[arg(long, value_name = "KIND", value_enum, default_value_t = Nozzle::Swirl, hide_possible_values = true)]
    pub nozzle: Nozzle,
    /// Pressure before the nozzle, gauge or absolute.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>)]
    pub upstream: Option<PressureLevel>,
    /// Diameter of the exit hole.
    #[arg(long, value_name = "D", value_parser = quantity::<Length>)]
    pub diameter: Option<Length>,
    /// Fuel flow of all nozzles together.
    #[arg(long, value_name = "M", value_parser = quantity::<MassRate>)]
    pub flow: Option<MassRate>,
    /// Number of nozzles; 1 if left out.
    #[arg(long, value_name = "N", default_value_t = 1, hide_default_value = true, value_parser = |text: &str| whole::<u32>(text, &1))]
    pub number: u32,
    /// Pressure that it sprays into, gauge or absolute; that of the air if left out.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>)]
    pub chamber: Option<PressureLevel>,
    /// Temperature of the air that it sprays into; 15 degC if left out.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>)]
    pub air_temperature: Option<ThermodynamicTemperature>,
    /// Discharge coefficient of a swirl nozzle from its flow test.
    #[arg(long, value_name = "C", value_parser = quantity::<Ratio>)]
    pub discharge_coefficient: Option<Ratio>,
    /// Velocity of the air round an airblast nozzle.
    #[arg(long, value_name = "U", value_parser = quantity::<Velocity>, required_if_eq("nozzle", "airblast"))]
    pub air_velocity: Option<Velocity>,
    /// Atomizing air by mass of fuel, of an airblast nozzle.
    #[arg(long, value_name = "X", value_parser = quantity::<Ratio>, required_if_eq("nozzle", "airblast"))]
    pub air_liquid_ratio: Option<Ratio>,
    /// Temperature of the hot gas that the drops evaporate in.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>)]
    pub gas_temperature: Option<ThermodynamicTemperature>,
    /// Time that the drops have in the hot gas.
    #[arg(long, value_name = "t", value_parser = quantity::<Time>, requires = "gas_temperature")]
    pub residence: Option<Time>,
}

/// Kind of nozzle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Nozzle {
    /// A hole behind a swirl chamber.
    Swirl,
    /// A drilled hole.
    Plain,
    /// A drilled hole in fast air.
    Airblast,
}

impl Nozzle {
    fn kind(self) -> NozzleKind {
        match self {
            Self::Swirl => NozzleKind::PressureSwirl,
            Self::Plain | Self::Airblast => NozzleKind::PlainOrifice,
        }
    }
}

/// The nozzle found: exit, flow of all, pressure before, coefficient with its band.
struct Found {
    exit: Length,
    flow: MassRate,
    upstream: AbsolutePressure,
    coefficient: (f64, f64, f64),
}

/// Sizes the nozzle and its drops.
///
/// # Errors
/// No liquid at the temperature, chamber not below upstream, outside the correlations, unknown fuel, too much or too
/// little given.
pub fn run(args: &SprayArgs, context: &Context) -> Result<Report, CliError> {
    let found = left_out([
        ("upstream", args.upstream.is_some()),
        ("diameter", args.diameter.is_some()),
        ("flow", args.flow.is_some()),
    ])?;
    some_flow(args.flow, context)?;
    some_length("diameter", args.diameter, context)?;
    let air_level = args.chamber.unwrap_or(pascals_gauge(0.0).into());
    let chamber = context.absolute("chamber", air_level)?;
    let upstream = args
        .upstream
        .map(|p| context.absolute("upstream", p))
        .transpose()?;
    if let (Some(p), Some(level)) = (upstream, args.upstream)
        && p <= chamber
    {
        return Err(CliError::Flag {
            flag: "upstream",
            problem: FlagProblem::Contradicts {
                given: context.pressure_text(level),
                relation: "is not above",
                other: "chamber",
                other_given: context.pressure_text(air_level),
            },
        });
    }
    let fluid = context.fluid(&args.fuel)?;
    let (liquid, nozzle) = nozzle(args, fluid.as_ref(), upstream, chamber)?;
    let air = args.air_temperature.unwrap_or(kelvin(AIR_K));
    let drops = drops(args, &liquid, &nozzle, (chamber, air))?;
    let title = format!(
        "spray of {} at {}",
        fluid.composition().label(),
        args.temperature.show(context.units)
    );
    let mut report = Report::new(Topic::Spray, title);
    let boiling = Boiling::of(&context.library, fluid.as_ref())?;
    let life = args
        .gas_temperature
        .map(|gas| life(args, &boiling, chamber, gas, &drops));
    write::spray(
        &mut report,
        &write::Told {
            kind: args.nozzle.kind(),
            airblast: args.nozzle == Nozzle::Airblast,
            liquid: &liquid,
            exit: nozzle.exit,
            flow: nozzle.flow,
            number: args.number,
            upstream: nozzle.upstream,
            chamber,
            coefficient: nozzle.coefficient,
            drops: &drops,
            large: drops.mean * large_over_mean(),
            life: life.as_ref().and_then(|l| l.as_ref().ok()),
            found,
            air: context.ambient,
        },
    );
    if let Some(Err(why)) = &life {
        report.remark(format!("The life of the drops is not known: {why}."));
    }
    remarks(args, context, &liquid, &nozzle, chamber, &mut report);
    defaults(args, &mut report);
    Context::model(&mut report, fluid.as_ref());
    for each in &drops.each {
        report.cite(&context.library, each.source_key);
    }
    Ok(report)
}

/// The nozzle, with the liquid as it is before it.
fn nozzle(
    args: &SprayArgs,
    fluid: &dyn Backend,
    upstream: Option<AbsolutePressure>,
    chamber: AbsolutePressure,
) -> Result<(LiquidAt, Found), CliError> {
    let mut pressure = upstream.unwrap_or(chamber);
    for _ in 0..PRESSURE_STEPS {
        let liquid = liquid_at(fluid, pressure, args.temperature)?;
        let found = match args.nozzle {
            Nozzle::Swirl => swirl(args, &liquid, upstream, chamber)?,
            Nozzle::Plain | Nozzle::Airblast => plain(args, fluid, upstream, chamber)?,
        };
        let off = found.upstream.pascals() / pressure.pascals() - 1.0;
        if off.abs() < SETTLED {
            return Ok((liquid, found));
        }
        pressure = found.upstream;
    }
    Err(EosError::NotConverged {
        what: "pressure before the nozzle",
        fuel: fluid.composition().label().to_owned(),
        at: sentence!("{}", temperature(args.temperature.value)),
    }
    .into())
}

/// `ṁ = n C_d (π/4) d² √(2 ρ Δp)` for whichever is left out.
fn swirl(
    args: &SprayArgs,
    liquid: &LiquidAt,
    upstream: Option<AbsolutePressure>,
    chamber: AbsolutePressure,
) -> Result<Found, CliError> {
    let usual = swirl_discharge(&SwirlChamber::usual(metres(1.0)))?;
    let coefficient = match args.discharge_coefficient {
        Some(c) => {
            let c = in_range("discharge coefficient", c.value, 0.01..=1.0)?;
            (c, c, c)
        }
        None => (usual.value.value, usual.low.value, usual.high.value),
    };
    let (c, n, rho) = (coefficient.0, f64::from(args.number), liquid.density.value);
    let drop_pa = upstream.map(|p| p.pascals() - chamber.pascals());
    let area = |d: Length| n * c * FRAC_PI_4 * d.value * d.value;
    let (exit, flow, drop_pa) = match (args.diameter, args.flow, drop_pa) {
        (Some(d), None, Some(dp)) => (d, area(d) * (2.0 * rho * dp).sqrt(), dp),
        (Some(d), Some(m), _) => (d, m.value, (m.value / area(d)).powi(2) / (2.0 * rho)),
        (_, m, dp) => {
            let (m, dp) = (m.unwrap_or_default().value, dp.unwrap_or_default());
            let d_m = (m / (area(metres(1.0)) * (2.0 * rho * dp).sqrt())).sqrt();
            (metres(d_m), m, dp)
        }
    };
    Ok(Found {
        exit,
        flow: kilograms_per_second(flow),
        upstream: pascals_absolute(chamber.pascals() + drop_pa),
        coefficient,
    })
}

fn plain(
    args: &SprayArgs,
    fluid: &dyn Backend,
    upstream: Option<AbsolutePressure>,
    chamber: AbsolutePressure,
) -> Result<Found, CliError> {
    let found = size(&InjectorInput {
        fluid,
        supply_pressure: upstream,
        supply: Supply::Temperature(args.temperature),
        chamber,
        holes: Some(args.number),
        diameter: args.diameter,
        flow: args.flow,
        make: HoleMake::default(),
        expansion: Expansion::Blend,
        phase: Some(crate::fuel::FedAs::Liquid),
    })?;
    let c = &found.coefficient;
    Ok(Found {
        exit: found.diameter,
        flow: found.flow.value,
        upstream: pascals_absolute(found.supply.pressure_pa),
        coefficient: (c.value, c.low, c.high),
    })
}

fn drops(
    args: &SprayArgs,
    liquid: &LiquidAt,
    nozzle: &Found,
    (chamber, air): (AbsolutePressure, ThermodynamicTemperature),
) -> Result<DropSizes, CliError> {
    let density: MassDensity = kilograms_per_cubic_metre(
        chamber.pascals() * DRY_AIR_KG_MOL / (GAS_CONSTANT_J_MOL_K * air.value),
    );
    let drop = pascals_difference(nozzle.upstream.pascals() - chamber.pascals());
    let of = liquid.for_drops();
    Ok(match args.nozzle {
        Nozzle::Swirl => {
            let each = kilograms_per_second(nozzle.flow.value / f64::from(args.number));
            pressure_swirl(&of, each, drop, density)?
        }
        Nozzle::Plain => {
            let viscosity = pascal_seconds(air_viscosity_pa_s(air.value));
            plain_orifice(&of, nozzle.exit, drop, density, viscosity)?
        }
        Nozzle::Airblast => {
            let stream = AirStream {
                density,
                velocity: args.air_velocity.unwrap_or_default(),
                air_liquid_ratio: args.air_liquid_ratio.unwrap_or_default(),
            };
            DropSizes::of(vec![plain_jet_airblast(&of, nozzle.exit, &stream)?])
        }
    })
}

/// Life of the drops in hot gas, or why it is not known.
fn life(
    args: &SprayArgs,
    boiling: &Boiling,
    chamber: AbsolutePressure,
    gas: ThermodynamicTemperature,
    drops: &DropSizes,
) -> Result<write::Life, String> {
    let volatility = boiling
        .at(chamber, args.temperature)
        .map_err(|e| e.to_string())?;
    let (transfer_number, constant) = constant_in(boiling, &volatility, gas)?;
    let of = |d: Length| constant.lifetime(d).map_err(|e| e.to_string());
    let k_m2_s = constant.square_metres_per_second();
    let left = |t: Time| ratio(liquid_left(drops.mean, square_metres(k_m2_s * t.value)));
    Ok(write::Life {
        gas,
        boiling: volatility.boiling,
        surrogate: volatility.surrogate,
        transfer_number,
        k_m2_s,
        mean: of(drops.mean)?,
        shortest: of(drops.low)?,
        longest: of(drops.high)?,
        large: of(drops.mean * large_over_mean())?,
        residence: args.residence,
        left: args.residence.map(left),
    })
}

fn remarks(
    args: &SprayArgs,
    context: &Context,
    liquid: &LiquidAt,
    nozzle: &Found,
    chamber: AbsolutePressure,
    report: &mut Report,
) {
    let drop_pa = nozzle.upstream.pascals() - chamber.pascals();
    let least = args.nozzle.kind().least_drop();
    if args.nozzle != Nozzle::Airblast && drop_pa < least.pascals() {
        report.remark(format!(
            "Below {} such a nozzle hardly breaks the liquid up: raise the pressure, or take a smaller nozzle.",
            least.show(context.units)
        ));
    }
    match Making::of(nozzle.exit) {
        Making::Drill => {}
        Making::FineDrill => report.remark("The exit is a hole for a watchmaker's drill and blocks on what a common filter lets through: filter to a third of it, or take fewer nozzles."),
        Making::NoDrill => report.remark("The exit is smaller than any drill: take fewer nozzles, or less pressure."),
    }
    if liquid.vapour_pressure > chamber {
        report.remark("The liquid boils as it leaves: flashing breaks it up finer than these correlations say, and a swirl nozzle passes less.");
    }
}

/// What was taken for granted.
fn defaults(args: &SprayArgs, report: &mut Report) {
    if args.nozzle == Nozzle::Swirl && args.discharge_coefficient.is_none() {
        report.assume(format!(
            "a swirl chamber {} exits wide with ports of {} of chamber times exit: nozzles are sold by flow at a pressure, which goes before this; give --discharge-coefficient",
            number(SwirlChamber::CHAMBER_OVER_EXIT),
            number(SwirlChamber::PORTS_OVER_DIAMETERS)
        ));
    }
    if args.chamber.is_none() {
        report.assume("it sprays into the air; give --chamber");
    }
    if args.air_temperature.is_none() {
        report.assume(sentence!(
            "air of {}; give --air-temperature",
            temperature(AIR_K)
        ));
    }
    if args.gas_temperature.is_some() {
        report.assume(
            "single drops carried along by the gas, with no slip; a dense spray lives longer",
        );
    }
}
