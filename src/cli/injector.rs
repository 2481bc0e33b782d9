//! `injector`: holes for a flow, or the flow, number or pressure of holes.

mod choose;
mod written_rig;

use super::context::Context;
use super::error::{CliError, FlagProblem};
use super::flags::positive;
use super::flags::{Counts, Expansion, WantedPhase, quantity};
use super::save::free;
use super::template::TemplateArgs;
use super::{rig, template};
use crate::audit::rules::holes;
use crate::audit::{Group, audit_of};
use crate::combustion::flame::burner::check_equivalence_ratio;
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::combustion::{CombustionError, Stoichiometry};
use crate::fuel::{Composition, FedAs};
use crate::injector::drills::HoleTolerance;
use crate::injector::size::{HoleMake, InjectorInput, InletEdge, Supply, size};
use crate::quantity::show::Show;
use crate::quantity::span::Span;
use crate::quantity::{
    AbsolutePressure, Length, MassRate, PressureLevel, Ratio, ThermodynamicTemperature, kelvin,
    kilograms_per_second, pascals_absolute,
};
use crate::report::injector::Fire;
use crate::report::{Report, Topic, audit};
use choose::ChooseArgs;
use clap::ValueEnum;
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "\
Of --upstream, --holes, --diameter and --flow leave out the one to be found.

Examples:
  Holes for a flow of gas:
    fuelwright injector --fuel propane --upstream \"2 barg\" --upstream-temperature \"15 degC\" \\
      --chamber \"20 mbar(g)\" --holes 8 --flow \"0.8 g/s\"
  The same from the air they burn in:
    fuelwright injector --fuel propane --upstream \"2 barg\" --upstream-temperature \"15 degC\" \\
      --chamber \"20 mbar(g)\" --holes 8 --air \"18 g/s\" --equivalence-ratio 0.7
  Flow of saturated liquid:
    fuelwright injector --fuel propane --upstream \"7 barg\" --upstream-quality 0 \\
      --chamber \"0.2 barg\" --holes 4 --diameter \"0.5 mm\"
  One set of holes for all duties of a rig, hole by hole:
    fuelwright injector examples/coupon-soak-rig.toml
  Which holes to drill, for a range of ratios and pressures:
    fuelwright injector --choose --fuel propane --upstream \"0.5-3 barg\" \\
      --upstream-temperature \"15 degC\" --chamber \"20 mbar(g)\" --holes 4-24 \\
      --drills metric,number --air \"18 g/s\" --equivalence-ratio 0.6-0.7
  The same for all duties of a rig, written into a copy of it:
    fuelwright injector examples/coupon-soak-rig.toml --choose --write new-rig.toml
  What was tried as a rig file to audit:
    fuelwright injector --fuel propane --upstream \"2 barg\" --upstream-temperature \"15 degC\" \\
      --chamber \"20 mbar(g)\" --holes 8 --air \"18 g/s\" --equivalence-ratio 0.7 --write my-rig.toml
  The same with a drilling template to wrap round its tube:
    fuelwright injector examples/coupon-soak-rig.toml --template ring.svg";

const USAGE: &str = "\
fuelwright injector [OPTIONS] RIG
       fuelwright injector [OPTIONS] --fuel <F> --chamber <P> <--upstream-temperature <T>|--upstream-quality <Q>>";

/// Flags whose matter a rig file gives.
const RIG_SAYS: [&str; 15] = [
    "fuel",
    "upstream_temperature",
    "upstream_quality",
    "chamber",
    "diameter",
    "flow",
    "air",
    "discharge_coefficient",
    "discharge_band",
    "edge",
    "inlet_radius",
    "hole_length",
    "hole_tolerance",
    "expansion",
    "phase",
];

/// Flags of `injector`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES, override_usage = USAGE)]
#[command(group = clap::ArgGroup::new("supply").required(true).args(["rig", "upstream_temperature", "upstream_quality"]))]
pub struct InjectorArgs {
    /// Rig file: its holes at all its duties, instead of the flags.
    #[arg(value_name = "RIG", conflicts_with_all = RIG_SAYS)]
    pub rig: Option<PathBuf>,
    /// Fuel or blend.
    #[arg(long, value_name = "F", required_unless_present = "rig")]
    pub fuel: Option<String>,
    /// Pressure before the holes, gauge or absolute.
    #[arg(long, value_name = "P", value_parser = quantity::<Span<PressureLevel>>)]
    pub upstream: Option<Span<PressureLevel>>,
    /// Temperature before the holes.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>)]
    pub upstream_temperature: Option<ThermodynamicTemperature>,
    /// Share of vapour by mass of a saturated fuel, instead of the temperature: 0 liquid, 1 vapour.
    #[arg(long, value_name = "Q", value_parser = quantity::<Ratio>)]
    pub upstream_quality: Option<Ratio>,
    /// Pressure behind the holes, gauge or absolute.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>, required_unless_present = "rig")]
    pub chamber: Option<PressureLevel>,
    /// Number of holes.
    #[arg(long, value_name = "N", value_parser = Counts::read)]
    pub holes: Option<Counts>,
    /// Diameter of each hole.
    #[arg(long, value_name = "D", value_parser = quantity::<Length>)]
    pub diameter: Option<Length>,
    /// Fuel flow of all holes together.
    #[arg(long, value_name = "M", value_parser = quantity::<MassRate>, conflicts_with = "equivalence_ratio")]
    pub flow: Option<MassRate>,
    /// Air flow; with --equivalence-ratio it sets the fuel flow, alone it is compared with it.
    #[arg(long, value_name = "M", value_parser = quantity::<MassRate>)]
    pub air: Option<MassRate>,
    /// Equivalence ratio; below 1 is lean. A range aims at its middle.
    #[arg(long, value_name = "X", value_parser = quantity::<Span<Ratio>>)]
    pub equivalence_ratio: Option<Span<Ratio>>,
    /// Discharge coefficient from your own flow test, instead of the models.
    #[arg(long, value_name = "C", value_parser = quantity::<Ratio>)]
    pub discharge_coefficient: Option<Ratio>,
    /// Half-width of the band of that coefficient.
    #[arg(long, value_name = "B", value_parser = quantity::<Ratio>, requires = "discharge_coefficient")]
    pub discharge_band: Option<Ratio>,
    /// Inlet edge: drilled (as a drill leaves it), sharp (reamed, no burr) or rounded.
    #[arg(long, value_enum, default_value_t = EdgeKind::Drilled, hide_possible_values = true, conflicts_with = "discharge_coefficient")]
    pub edge: EdgeKind,
    /// Radius of a rounded inlet edge.
    #[arg(long, value_name = "R", value_parser = quantity::<Length>, required_if_eq("edge", "rounded"))]
    pub inlet_radius: Option<Length>,
    /// Length of the holes: the wall of the tube.
    #[arg(long, value_name = "L", value_parser = quantity::<Length>)]
    pub hole_length: Option<Length>,
    /// Tolerance class of the finished holes: H9, H10, H11, H12 or H13.
    #[arg(
        long,
        value_name = "CLASS",
        value_enum,
        ignore_case = true,
        hide_possible_values = true
    )]
    pub hole_tolerance: Option<Tolerance>,
    /// How a liquid expands in the holes: equilibrium, bernoulli or blend.
    #[arg(long, value_enum, default_value_t = Expansion::Blend, hide_possible_values = true)]
    pub expansion: Expansion,
    /// Phase required before the holes, gas or liquid: any other is an error.
    #[arg(long, value_name = "PHASE", value_enum, hide_possible_values = true)]
    pub phase: Option<WantedPhase>,
    /// Rig file to write of these flags, for `audit`, or with --choose a copy of the rig with the holes chosen; a file that
    /// is there is kept.
    #[arg(long, value_name = "FILE")]
    pub write: Option<PathBuf>,
    /// Search.
    #[command(flatten)]
    pub choosing: ChooseArgs,
    /// Drilling template.
    #[command(flatten)]
    pub drilling: TemplateArgs,
}

/// Inlet edge of a hole.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum EdgeKind {
    /// As a twist drill leaves it.
    Drilled,
    /// Square, reamed, free of burr.
    Sharp,
    /// With a radius.
    Rounded,
}

/// Tolerance class of a finished hole.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Tolerance {
    /// Reamed.
    H9,
    /// Reamed or drilled with great care.
    H10,
    /// Drilled well.
    H11,
    /// Drilled.
    H12,
    /// Drilled by hand.
    H13,
}

impl From<Tolerance> for HoleTolerance {
    fn from(tolerance: Tolerance) -> Self {
        match tolerance {
            Tolerance::H9 => Self::H9,
            Tolerance::H10 => Self::H10,
            Tolerance::H11 => Self::H11,
            Tolerance::H12 => Self::H12,
            Tolerance::H13 => Self::H13,
        }
    }
}

impl From<WantedPhase> for FedAs {
    fn from(phase: WantedPhase) -> Self {
        match phase {
            WantedPhase::Gas => Self::Gas,
            WantedPhase::Liquid => Self::Liquid,
        }
    }
}

impl InjectorArgs {
    /// Refuses flags that do not go together.
    fn consistent(&self) -> Result<(), CliError> {
        let of_rig = self.rig.is_some();
        let refused = |flag, problem| Err(CliError::Flag { flag, problem });
        if self.equivalence_ratio.is_some() && self.air.is_none() && !of_rig {
            return refused("equivalence-ratio", FlagProblem::Needs { other: "air" });
        }
        if of_rig && self.upstream.is_some() {
            return refused("upstream", FlagProblem::TrainGives);
        }
        if self.choosing.choose {
            return Ok(());
        }
        let range = |example| FlagProblem::RangeAlone { example };
        match (self.holes, self.upstream) {
            (Some(n), _) if n.least < n.most => return refused("holes", range("8")),
            (_, Some(p)) if p.from != p.to => return refused("upstream", range("2 barg")),
            _ => {}
        }
        let given = [
            ("holes", self.holes.is_some()),
            ("equivalence-ratio", self.equivalence_ratio.is_some()),
            ("write", self.write.is_some()),
        ];
        match given.into_iter().find(|(_, is)| *is && of_rig) {
            Some((flag, _)) => refused(flag, FlagProblem::RigSays),
            None => Ok(()),
        }
    }

    /// Least and most pressure before the holes.
    fn upstream(
        &self,
        context: &Context,
    ) -> Result<Option<(AbsolutePressure, AbsolutePressure)>, CliError> {
        let Some(span) = self.upstream else {
            return Ok(None);
        };
        let ends = (
            context.absolute("upstream", span.from)?,
            context.absolute("upstream", span.to)?,
        );
        Ok(Some(if ends.1 < ends.0 {
            (ends.1, ends.0)
        } else {
            ends
        }))
    }
}

/// Sizes the holes.
///
/// # Errors
/// Unknown fuel, chamber not below upstream, wrong phase, too much or too little given, out of range.
pub fn run(args: &InjectorArgs, context: &Context) -> Result<Report, CliError> {
    args.consistent()?;
    match (&args.rig, &args.fuel, args.chamber) {
        (Some(path), ..) if args.choosing.choose => choose::for_rig(path, args, context),
        (Some(path), ..) => for_rig(path, args, context),
        (None, Some(fuel), Some(chamber)) => from_flags(args, fuel, chamber, context),
        (None, ..) => unreachable!("clap asks for fuel and chamber where no rig is given"),
    }
}

/// The holes of a rig at all its duties.
fn for_rig(path: &Path, args: &InjectorArgs, context: &Context) -> Result<Report, CliError> {
    let loaded = rig::load(path, context)?;
    let solution = rig::solve(&loaded, context)?;
    let title = format!("Injector of {}", loaded.rig.name);
    let mut report = Report::new(Topic::Injector, title);
    audit::duties(&mut report, &context.library, &solution);
    crate::report::plan::plan(&mut report, &context.library, &solution, true);
    template::for_rig(&args.drilling, &solution, context, &mut report)?;
    let found = audit_of(&solution, &[Group::Injector]);
    rig::findings(&mut report, &loaded, &solution, &found);
    Context::model(&mut report, solution.fluid.as_ref());
    Ok(report)
}

fn from_flags(
    args: &InjectorArgs,
    fuel: &str,
    chamber_level: PressureLevel,
    context: &Context,
) -> Result<Report, CliError> {
    let upstream = args.upstream(context)?;
    let chamber = context.absolute("chamber", chamber_level)?;
    if let (Some((p, _)), Some(level)) = (upstream, args.upstream)
        && chamber >= p
    {
        return Err(CliError::Flag {
            flag: "chamber",
            problem: FlagProblem::Contradicts {
                given: context.pressure_text(chamber_level),
                relation: "is not below",
                other: "upstream",
                other_given: context.pressure_text(level.from),
            },
        });
    }
    if let (EdgeKind::Sharp, Some(radius)) = (args.edge, args.inlet_radius) {
        return Err(CliError::Flag {
            flag: "inlet-radius",
            problem: FlagProblem::Contradicts {
                given: radius.show(context.units),
                relation: "does not go with",
                other: "edge",
                other_given: "sharp".to_owned(),
            },
        });
    }
    if let Some(path) = &args.write {
        free(path)?;
    }
    let fluid = context.fluid(fuel)?;
    let fire = Fire {
        stoichiometry: stoichiometry(fluid.composition())?,
        air: args.air,
    };
    let flow = wanted_flow(args, &fire, context)?;
    let input = InjectorInput {
        fluid: fluid.as_ref(),
        supply_pressure: upstream.map(|(low, _)| low),
        supply: supply(args),
        chamber,
        holes: args.holes.map(|n| n.least),
        diameter: args.diameter,
        flow,
        make: make(args),
        expansion: args.expansion.into(),
        phase: args.phase.map(Into::into),
    };
    let liquid = args.phase == Some(WantedPhase::Liquid)
        || args.upstream_quality.is_some_and(|q| q.value <= 0.0)
        || usual_phase(fluid.composition()) == FedAs::Liquid;
    if args.choosing.choose {
        let missing = |missing| CliError::TooLittleToChoose { missing };
        let flow = flow.ok_or(missing("--flow, or --air with --equivalence-ratio,"))?;
        let pressures = upstream.ok_or(missing(
            "--upstream, one pressure or a range such as \"0.5-3 barg\",",
        ))?;
        return choose::from_flags(args, input, flow, liquid, pressures, context);
    }
    let found = size(&input)?;
    let gauge = |p: AbsolutePressure| p.gauge(context.ambient).show(context.units);
    let title = format!(
        "Injector for {}: {} x {} holes, {} into {}",
        fluid.composition().label(),
        found.holes,
        found.diameter.show(context.units),
        gauge(pascals_absolute(found.supply.pressure_pa)),
        gauge(found.chamber),
    );
    let mut report = Report::new(Topic::Injector, title);
    let boils = fluid.bubble_p(found.supply.pressure_pa).ok();
    crate::report::injector::injector(
        &mut report,
        &context.library,
        &found,
        &fire,
        context.ambient,
        boils.map(|e| kelvin(e.temperature_k)),
    );
    let fuel = fluid.composition();
    let wrong = holes::judged(&found, fuel, liquid);
    let read_by = (context.units, context.ambient);
    audit::judged(&mut report, &wrong, read_by, &|_| None);
    template::from_flags(&args.drilling, &found, context, &mut report)?;
    if let Some(path) = &args.write {
        written_rig::write(path, args, &found, context, &mut report)?;
    }
    Context::model(&mut report, fluid.as_ref());
    Ok(report)
}

/// Air and heat of the fuel; none for what does not burn, such as the nitrogen of a flow test.
fn stoichiometry(fuel: &Composition) -> Result<Option<Stoichiometry>, CliError> {
    match Stoichiometry::of(fuel) {
        Ok(s) => Ok(Some(s)),
        Err(CombustionError::DoesNotBurn { .. }) => Ok(None),
        Err(e) => Err(e.into()),
    }
}

fn supply(args: &InjectorArgs) -> Supply {
    match (args.upstream_temperature, args.upstream_quality) {
        (Some(t), _) => Supply::Temperature(t),
        (None, quality) => Supply::Quality(quality.map_or(f64::NAN, |q| q.value)),
    }
}

/// The fuel flow asked for: as it stands, or from air and equivalence ratio.
fn wanted_flow(
    args: &InjectorArgs,
    fire: &Fire,
    context: &Context,
) -> Result<Option<MassRate>, CliError> {
    if let Some(air) = args.air {
        positive("air", air.value, air.show(context.units))?;
    }
    let (Some(air), Some(phi)) = (args.air, args.equivalence_ratio) else {
        return Ok(args.flow);
    };
    let (low, high) = phi.ends(|r| r.value);
    check_equivalence_ratio(low)?;
    check_equivalence_ratio(high)?;
    let Some(s) = &fire.stoichiometry else {
        return Err(CombustionError::DoesNotBurn {
            fuel: args.fuel.clone().unwrap_or_default(),
        }
        .into());
    };
    Ok(Some(kilograms_per_second(
        air.value * 0.5 * (low + high) / s.air_fuel_ratio.value,
    )))
}

fn make(args: &InjectorArgs) -> HoleMake {
    let edge = match (args.discharge_coefficient, args.edge, args.inlet_radius) {
        (Some(c), ..) => InletEdge::Measured {
            coefficient: c.value,
            relative_band: args.discharge_band.map(|b| b.value),
        },
        // a radius alone says that the edge is rounded
        (None, EdgeKind::Rounded | EdgeKind::Drilled, Some(radius)) => InletEdge::Rounded(radius),
        (None, EdgeKind::Sharp, _) => InletEdge::Sharp,
        (None, ..) => InletEdge::Drilled,
    };
    HoleMake {
        edge,
        length: args.hole_length,
        tolerance: args.hole_tolerance.map(Into::into),
        tested: None,
    }
}
