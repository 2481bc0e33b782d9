//! `regulator`: what comes out of a pressure let-down.

use super::context::Context;
use super::error::{CliError, FlagProblem};
use super::flags::quantity;
use crate::eos::Phase;
use crate::flow::orifice::Stagnation;
use crate::flow::regulator::let_down;
use crate::injector::error::InjectorError;
use crate::quantity::{Kind, PressureLevel, Ratio, ThermodynamicTemperature};
use crate::report::{Fact, Report, Topic};

const EXAMPLES: &str = "\
Example:
  fuelwright regulator --fuel propane --upstream \"7 bar(g)\" \\
    --upstream-temperature \"20 degC\" --downstream \"1.5 bar(g)\"";

/// Freezing point of water at atmospheric pressure, K.
const WATER_FREEZES_K: f64 = 273.15;

/// Flags of `regulator`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
#[command(group = clap::ArgGroup::new("supply").required(true).args(["upstream_temperature", "upstream_quality"]))]
pub struct RegulatorArgs {
    /// Fuel or blend.
    #[arg(long, value_name = "F")]
    pub fuel: String,
    /// Pressure before the regulator, gauge or absolute.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>)]
    pub upstream: PressureLevel,
    /// Temperature before the regulator.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>)]
    pub upstream_temperature: Option<ThermodynamicTemperature>,
    /// Share of vapour by mass of a saturated fuel, instead of the temperature: 0 liquid, 1 vapour.
    #[arg(long, value_name = "Q", value_parser = quantity::<Ratio>)]
    pub upstream_quality: Option<Ratio>,
    /// Pressure behind the regulator, gauge or absolute.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>)]
    pub downstream: PressureLevel,
}

/// Lets the fuel down at constant enthalpy.
///
/// # Errors
/// Downstream not below upstream, unknown fuel, out of range.
pub fn run(args: &RegulatorArgs, context: &Context) -> Result<Report, CliError> {
    let p1 = context.absolute("upstream", args.upstream)?;
    let p2 = context.absolute("downstream", args.downstream)?;
    if p2 >= p1 {
        return Err(CliError::Flag {
            flag: "downstream",
            problem: FlagProblem::Contradicts {
                given: context.pressure_text(args.downstream),
                relation: "is not below",
                other: "upstream",
                other_given: context.pressure_text(args.upstream),
            },
        });
    }
    let fluid = context.fluid(&args.fuel)?;
    let fuel = fluid.as_ref();
    let up = match (args.upstream_temperature, args.upstream_quality) {
        (Some(t), _) => Stagnation::at(fuel, p1, t),
        (None, quality) => Stagnation::saturated(fuel, p1, quality.map_or(f64::NAN, |q| q.value)),
    };
    let up = up.map_err(InjectorError::from)?;
    let before = *up.state();
    let inlet_phase = match before.phase {
        Phase::TwoPhase if up.is_gas() => Phase::Gas,
        Phase::TwoPhase if up.is_liquid() => Phase::Liquid,
        phase => phase,
    };
    let after = let_down(fluid.as_ref(), &before, p2)?;
    let title = format!(
        "{} let down from {} to {}",
        fluid.composition().label(),
        context.pressure_text(args.upstream),
        context.pressure_text(args.downstream),
    );
    let mut report = Report::new(Topic::Regulator, title);
    report.number("outlet_temperature_k", after.temperature_k);
    report.key("outlet_phase", after.phase.name());
    report.number("outlet_vapour_mass_fraction", after.vapour_mass_fraction);
    report.number("outlet_density_kg_m3", after.density_kg_m3);
    report.number("inlet_density_kg_m3", before.density_kg_m3);
    report.key("inlet_phase", inlet_phase.name());
    report.number("upstream_temperature_k", before.temperature_k);
    report.number("inlet_vapour_mass_fraction", before.vapour_mass_fraction);
    report.number("upstream_pressure_pa", p1.pascals());
    report.number("downstream_pressure_pa", p2.pascals());
    let change_k = after.temperature_k - before.temperature_k;
    let mut outlet = Fact::of("Outlet temperature", Kind::Temperature, after.temperature_k);
    if after.temperature_k < WATER_FREEZES_K {
        outlet = outlet.note("below the freezing point of water");
    }
    report.facts(
        "Result",
        vec![
            Fact::text("Inlet phase", inlet_phase.name()),
            Fact::of("Inlet temperature", Kind::Temperature, before.temperature_k),
            outlet,
            Fact::of("Temperature change", Kind::TemperatureDifference, change_k),
            Fact::text("Outlet phase", after.phase.name()),
            Fact::of("Vapour, by mass", Kind::Ratio, after.vapour_mass_fraction),
            Fact::of("Inlet density", Kind::Density, before.density_kg_m3),
            Fact::of("Outlet density", Kind::Density, after.density_kg_m3),
        ],
    );
    if !up.is_gas() {
        report.remark("What enters is not gas: a regulator for gas is not made for liquid, which freezes and floods it and passes many times the fuel. Draw from the vapour space, or put a vaporiser before it.");
    } else if after.phase != Phase::Gas && after.phase != Phase::Supercritical {
        report.remark(
            "What leaves is wet: drops reach what is behind the regulator. Warm the gas before it.",
        );
    }
    report.assume("no heat is taken up in the regulator and the gas is slow before and behind it: enthalpy stays the same");
    context.model(&mut report, fluid.as_ref());
    Ok(report)
}
