//! `convert`: a rig on another fuel: flows, nozzles or holes, feed, what stays and what goes.

use super::context::Context;
use super::error::CliError;
use super::flags::quantity;
use super::rig;
use crate::audit::Solution;
use crate::convert::{Conversion, ConvertInput, DutyNow, HolesNow, Keep, Wishes, plan};
use crate::eos::Backend;
use crate::fuel::Composition;
use crate::quantity::{AvailableEnergy, Length, PressureLevel, Ratio, Time};
use crate::report::{Report, Topic, convert as write};
use clap::ValueEnum;
use std::path::PathBuf;
use std::sync::Arc;

const EXAMPLES: &str = "\
Examples:
  fuelwright convert examples/coupon-soak-rig.toml --to kerosene
  fuelwright convert examples/greenhouse-frost-guard.toml --to n-butane
  fuelwright convert examples/kiln-pilot.toml --to propane --keep equivalence-ratio

What `[switch]` of the rig file says holds unless a flag says otherwise; `--to` names any fuel or blend.";

/// Flags of `convert`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct ConvertArgs {
    /// Rig file.
    #[arg(value_name = "RIG")]
    pub rig: PathBuf,
    /// New fuel or blend; `[switch]` of the rig file if left out.
    #[arg(long, value_name = "FUEL")]
    pub to: Option<String>,
    /// What stays the same at every duty: heat or equivalence-ratio.
    #[arg(long, value_enum, default_value_t = Kept::Heat, hide_possible_values = true)]
    pub keep: Kept,
    /// Running time on one fill.
    #[arg(long, value_name = "t", value_parser = quantity::<Time>)]
    pub endurance: Option<Time>,
    /// Pressure before the nozzles, or before the holes for a gas, at the largest duty.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>)]
    pub feed_pressure: Option<PressureLevel>,
    /// Number of nozzles or vaporiser tubes.
    #[arg(long, value_name = "N")]
    pub nozzles: Option<u32>,
    /// Hydraulic over electric power of the pump.
    #[arg(long, value_name = "SHARE", value_parser = quantity::<Ratio>)]
    pub pump_efficiency: Option<Ratio>,
    /// Specific energy of the battery.
    #[arg(long, value_name = "E", value_parser = quantity::<AvailableEnergy>)]
    pub battery_energy: Option<AvailableEnergy>,
    /// Height of the pump above the lowest fuel level; negative below it.
    #[arg(long, value_name = "L", value_parser = quantity::<Length>)]
    pub pump_lift: Option<Length>,
    /// Net positive suction head required by the pump.
    #[arg(long, value_name = "L", value_parser = quantity::<Length>)]
    pub suction_head: Option<Length>,
    /// Length of line from tank to nozzles.
    #[arg(long, value_name = "L", value_parser = quantity::<Length>)]
    pub line_length: Option<Length>,
}

/// What stays the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Kept {
    /// Heat set free.
    Heat,
    /// Equivalence ratio.
    EquivalenceRatio,
}

/// Plans the switch.
///
/// # Errors
/// A rig file with mistakes, no fuel to switch to, a fuel that no duty can run on.
pub fn run(args: &ConvertArgs, context: &Context) -> Result<Report, CliError> {
    let loaded = rig::load(&args.rig, context)?;
    let solution = rig::solve(&loaded, context)?;
    let to = target(args.to.as_deref(), &solution, context)?.ok_or(CliError::NoTarget)?;
    let title = format!(
        "{}: from {} to {}",
        loaded.rig.name,
        loaded.rig.fuel.composition.label(),
        to.label()
    );
    let mut report = Report::new(Topic::Convert, title);
    let fluid = switch_to(
        &mut report,
        &solution,
        &to,
        wishes(args, &solution, &to)?,
        context,
    )?;
    for sentence in &solution.assumptions {
        report.assume(sentence.as_str());
    }
    Context::model(&mut report, fluid.as_ref());
    Ok(report)
}

/// Plans a switch of a rig as its file wishes it and adds it to a report.
///
/// # Errors
/// A fuel that no duty can run on, or without a property model.
pub fn of_rig(
    report: &mut Report,
    solution: &Solution<'_>,
    to: &Composition,
    context: &Context,
) -> Result<(), CliError> {
    let wishes = Wishes::of_rig(Keep::HeatRelease, solution.rig.switch.as_ref(), to);
    switch_to(report, solution, to, wishes, context)?;
    Ok(())
}

/// Plans a switch and adds it; gives the new fuel.
fn switch_to(
    report: &mut Report,
    solution: &Solution<'_>,
    to: &Composition,
    wishes: Wishes,
    context: &Context,
) -> Result<Arc<dyn Backend>, CliError> {
    let fluid = crate::eos::backend(&context.library, to)?;
    report.burns(to);
    let duties = duties_now(solution);
    let input = input(solution, fluid.as_ref(), &duties, wishes, context);
    match &plan(&input)? {
        Conversion::ToLiquid(plan) => write::liquid(report, &input, plan)?,
        Conversion::ToGas(plan) => write::gas(report, &input, plan),
    }
    Ok(fluid)
}

/// The fuel named, else that of `[switch]`; `None` without either.
///
/// # Errors
/// Unknown fuel or wrong blend.
pub(super) fn target(
    named: Option<&str>,
    solution: &Solution<'_>,
    context: &Context,
) -> Result<Option<Composition>, CliError> {
    match named {
        Some(name) => context.composition(name).map(Some),
        None => Ok(solution.rig.switch.as_ref().map(|s| s.to.clone())),
    }
}

/// All that a plan of a switch starts from.
pub(super) fn input<'a>(
    solution: &'a Solution<'_>,
    to: &'a dyn Backend,
    duties: &'a [DutyNow],
    wishes: Wishes,
    context: &'a Context,
) -> ConvertInput<'a> {
    ConvertInput {
        rig: solution.rig,
        library: &context.library,
        from: solution.fluid.as_ref(),
        to,
        duties,
        holes: solution.injector.as_ref().ok().map(|p| HolesNow {
            number: p.holes,
            diameter: p.diameter,
        }),
        wishes,
        units: context.units,
    }
}

/// What the rig file wishes, and the flags over it.
fn wishes(
    args: &ConvertArgs,
    solution: &Solution<'_>,
    to: &Composition,
) -> Result<Wishes, CliError> {
    let keep = match args.keep {
        Kept::Heat => Keep::HeatRelease,
        Kept::EquivalenceRatio => Keep::EquivalenceRatio,
    };
    let mut wishes = Wishes::of_rig(keep, solution.rig.switch.as_ref(), to);
    if let Some(level) = args.feed_pressure {
        let site = solution.rig.site.air_pressure;
        wishes.feed_pressure = Some(level.absolute(site).map_err(|e| CliError::Flag {
            flag: "feed-pressure",
            problem: e.into(),
        })?);
    }
    wishes.endurance = args.endurance.or(wishes.endurance);
    wishes.nozzles = args.nozzles.or(wishes.nozzles);
    wishes.pump_efficiency = args.pump_efficiency.or(wishes.pump_efficiency);
    wishes.battery_energy = args.battery_energy.or(wishes.battery_energy);
    wishes.pump_lift = args.pump_lift.or(wishes.pump_lift);
    wishes.suction_head = args.suction_head.or(wishes.suction_head);
    wishes.line_length = args.line_length.or(wishes.line_length);
    Ok(wishes)
}

/// The duties as they run now.
pub(super) fn duties_now(solution: &Solution<'_>) -> Vec<DutyNow> {
    let pressure = |name: &str| {
        let plan = solution.injector.as_ref().ok()?;
        let duty = plan.duties.iter().find(|d| d.name == name)?;
        let injection = duty.injection.as_ref().ok()?;
        Some(crate::quantity::pascals_absolute(
            injection.at_need.supply.pressure_pa,
        ))
    };
    solution
        .duties
        .iter()
        .filter_map(|d| {
            let demand = d.demand.as_ref().ok()?;
            Some(DutyNow {
                name: d.name.clone(),
                air: demand.air,
                dry_share: d.dry_share,
                air_temperature: d.air_temperature,
                chamber: d.chamber,
                fuel: demand.fuel,
                equivalence_ratio: demand.equivalence_ratio,
                heat_release: demand.heat_release,
                exit_temperature: d.exit_temperature(),
                injector_pressure: pressure(&d.name),
            })
        })
        .collect()
}
