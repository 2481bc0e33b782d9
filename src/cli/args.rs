//! The command line: commands, the flags that all of them take, and readers of quantities.

use super::backend::Code;
use crate::quantity::parse::{FromText, parse};
use crate::quantity::show::Units;
use crate::quantity::{AbsolutePressure, QuantityError};
use clap::{Parser, Subcommand, ValueEnum};
use std::fmt;
use std::path::PathBuf;
use std::str::FromStr;

const QUANTITIES: &str = "\
Quantities are text with a unit: \"1.2 mm\", \"1/16 in\", \"0.8 g/s\", \"20 degC\", \"45 kW\".
A pressure level says what it is: \"3 barg\" by a gauge, \"4 bara\" above vacuum, or in full \"3 bar(g)\".
A fuel is a name (see `fuelwright fuels`) or a blend in mole percent: propane:70,n-butane:30 \
(append @mass for mass percent).

Exit code: 0 done; 1 done, with DANGER, WARNING or facts missing; 2 could not do it.
Every answer ends with the cautions that belong to it. Local codes and licensed gas practice decide.";

/// Sizes injectors, plans liquid-fuel switches and audits the fuel trains of small burners.
#[derive(Debug, Parser)]
#[command(name = "fuelwright", version, about, after_help = QUANTITIES, max_term_width = 100)]
#[command(subcommand_required = true, arg_required_else_help = true)]
pub struct Cli {
    /// What all commands take.
    #[command(flatten)]
    pub global: Global,
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// Flags that all commands take.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "For all commands")]
pub struct Global {
    /// How the answer is written: text, json, markdown or html.
    #[arg(long, global = true, value_enum, default_value_t = Format::Text, hide_possible_values = true)]
    pub format: Format,
    /// Units of the text: si or us; JSON is always SI.
    #[arg(long, global = true, value_enum, default_value_t = UnitSystem::Si, hide_possible_values = true)]
    pub units: UnitSystem,
    /// Leave out models, assumptions and sources; JSON keeps everything.
    #[arg(short, long, global = true)]
    pub quiet: bool,
    /// Air pressure behind gauge pressures.
    #[arg(long, global = true, value_name = "P", default_value = "101325 Pa(a)", value_parser = quantity::<AbsolutePressure>, allow_hyphen_values = true)]
    pub ambient_pressure: AbsolutePressure,
    /// Which code gives fluid properties: embedded, or coolprop for a second opinion, if built in.
    #[arg(long, global = true, value_enum, value_name = "CODE", default_value_t = Code::Embedded, hide_possible_values = true)]
    pub backend: Code,
    /// Folder with fuel files of your own.
    #[arg(long, global = true, value_name = "DIR")]
    pub fuels_folder: Option<PathBuf>,
}

/// How an answer is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// Tables for people.
    Text,
    /// One JSON object for machines.
    Json,
    /// Headings, tables and lists in Markdown.
    Markdown,
    /// One page with figures, for a browser or paper.
    Html,
}

/// Units of the text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum UnitSystem {
    /// Metric.
    Si,
    /// US customary.
    Us,
}

impl From<UnitSystem> for Units {
    fn from(units: UnitSystem) -> Self {
        match units {
            UnitSystem::Si => Self::Si,
            UnitSystem::Us => Self::Us,
        }
    }
}

/// A phase that a user counts on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum WantedPhase {
    /// Gas or vapour.
    Gas,
    /// Liquid.
    Liquid,
}

/// How a liquid expands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Expansion {
    /// In equilibrium with its vapour.
    Equilibrium,
    /// Without vapour.
    Bernoulli,
    /// Between the two.
    Blend,
}

impl From<Expansion> for crate::flow::orifice::Expansion {
    fn from(expansion: Expansion) -> Self {
        match expansion {
            Expansion::Equilibrium => Self::Equilibrium,
            Expansion::Bernoulli => Self::Bernoulli,
            Expansion::Blend => Self::Blend,
        }
    }
}

/// What the program can do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Audit a rig: fuel, holes and findings for every duty, before a test day.
    Audit(super::audit::AuditArgs),
    /// Make the list for a test day: before, light-up, running, shut-down, after.
    Checklist(super::checklist::ChecklistArgs),
    /// Plan a rig's leak test, list its joints, judge the test on record.
    LeakTest(super::leak_test::LeakTestArgs),
    /// Say what stops a rig's fuel when something fails, alone and with a part stuck open.
    Shutdown(super::shutdown::ShutdownArgs),
    /// Write a rig file to begin with.
    Start(super::start::StartArgs),
    /// Write everything about a rig on one page: findings, figures, checklist.
    Report(super::report::ReportArgs),
    /// List what an audit checks, or print the page of one rule.
    Rules(super::rules::RulesArgs),
    /// List where the figures come from and how far each was looked up, or say it of one.
    Sources(super::sources::SourcesArgs),
    /// Write completions for shells, manual pages, or the schema of a rig file.
    Generate(super::generate::GenerateArgs),
    /// List the fuels of the library.
    Fuels(super::fuels::FuelsArgs),
    /// Show what a fuel is: heating value, limits, saturation.
    Fuel(super::fuel::FuelArgs),
    /// Burn a fuel: flame temperature, products, fuel flow for a duty.
    Flame(super::flame::FlameArgs),
    /// Give the properties of a fuel at a temperature and pressure.
    State(super::state::StateArgs),
    /// Size the holes of an injector, or find their flow, number or pressure.
    Injector(super::injector::InjectorArgs),
    /// Release fuel through a hole, or every way a rig can: how far, how soon, what it does.
    Leak(super::leak::LeakArgs),
    /// Weigh a rig: every part dry and with fuel, joints, what lighter parts would save.
    Mass(super::mass::MassArgs),
    /// Let a fuel down through a regulator: outlet temperature and phase.
    Regulator(super::regulator::RegulatorArgs),
    /// Draw a tank down: how it chills, what it can keep up, what would help.
    Tank(super::tank::TankArgs),
    /// Move one number of a rig step by step: flows, mixture, pressures, findings.
    Sweep(super::sweep::SweepArgs),
    /// Lay the program's own property model and CoolProp side by side on a rig.
    Compare(super::compare::CompareArgs),
    /// Lay two rig files side by side: inputs, duties, findings and mass that differ.
    CompareRigs(super::compare_rigs::CompareRigsArgs),
    /// Draw every band of a rig at random: spread of flow and mixture, and what drives it.
    Tolerance(super::tolerance::ToleranceArgs),
    /// Heat liquid trapped between two closed valves: pressure it reaches; or find where a rig traps it.
    Trapped(super::trapped::TrappedArgs),
    /// Follow the fuel through a rig's train at every duty; throttle and shut-off.
    Train(super::train::TrainArgs),
    /// Plan a switch to another fuel: flows, nozzles or holes, feed, what stays and what goes.
    Convert(super::convert::ConvertArgs),
    /// Size a valve for a flow, or find the flow of a valve.
    Valve(super::valve::ValveArgs),
}

/// Reads a whole number for clap, and says which ones it takes.
///
/// # Errors
/// No whole number, one below `least`, or one too large to be kept.
pub fn whole<T: FromStr + PartialOrd + fmt::Display>(text: &str, least: &T) -> Result<T, String> {
    let text = text.trim();
    match text.parse::<T>() {
        Ok(n) if n >= *least => Ok(n),
        _ if text.parse::<u128>().is_ok_and(|n| n > u128::from(u32::MAX)) => {
            Err("that is more than is counted here".to_owned())
        }
        _ => Err(format!("write a whole number from {least} up")),
    }
}

/// Reads a quantity for clap, which names the flag in its message.
///
/// # Errors
/// As [`parse`].
pub fn quantity<T: FromText>(text: &str) -> Result<T, QuantityError> {
    parse(text)
}
