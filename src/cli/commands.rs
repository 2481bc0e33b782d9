//! The commands, listed once: each module knows its own flags and makes its own answer.

use super::context::Context;
use super::error::CliError;
use super::flags::Global;
use super::{
    audit, checklist, compare, compare_rigs, convert, flame, fuel, fuels, generate, injector, leak,
    leak_test, mass, regulator, report, rules, shutdown, sources, start, state, sweep, tank,
    tolerance, train, trapped, valve,
};
use crate::report::Report;
use clap::{Arg, ArgMatches, CommandFactory, FromArgMatches, Parser, Subcommand};
use std::any::TypeId;
use std::ffi::OsString;
use std::path::PathBuf;

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

/// What a command gives.
#[derive(Debug)]
pub enum Answer {
    /// A report, written in the format asked for.
    Report(Box<Report>),
    /// A text for other programs, written as it is.
    Text(Vec<u8>),
}

impl From<Report> for Answer {
    fn from(report: Report) -> Self {
        Self::Report(Box::new(report))
    }
}

impl From<Vec<u8>> for Answer {
    fn from(text: Vec<u8>) -> Self {
        Self::Text(text)
    }
}

/// Declares the commands, in the order the help lists them.
macro_rules! commands {
    ($($(#[doc = $about:literal])+ $name:ident($module:ident::$args:ident);)+) => {
        /// What the program can do.
        #[derive(Debug, Subcommand)]
        pub enum Command {
            $($(#[doc = $about])+ $name($module::$args),)+
        }

        impl Command {
            /// Does it.
            ///
            /// # Errors
            /// What the command could not do.
            pub fn run(&self, context: &Context) -> Result<Answer, CliError> {
                match self {
                    $(Self::$name(args) => $module::run(args, context).map(Answer::from),)+
                }
            }
        }
    };
}

commands! {
    /// Audit a rig: fuel, holes and findings for every duty, before a test day.
    Audit(audit::AuditArgs);
    /// Make the list for a test day: before, light-up, running, shut-down, after.
    Checklist(checklist::ChecklistArgs);
    /// Plan a rig's leak test, list its joints, judge the test on record.
    LeakTest(leak_test::LeakTestArgs);
    /// Say what stops a rig's fuel when something fails, alone and with a part stuck open.
    Shutdown(shutdown::ShutdownArgs);
    /// Write a rig file to begin with.
    Start(start::StartArgs);
    /// Write everything about a rig on one page: findings, figures, checklist.
    Report(report::ReportArgs);
    /// List what an audit checks, or print the page of one rule.
    Rules(rules::RulesArgs);
    /// List where the figures come from and how far each was looked up, or say it of one.
    Sources(sources::SourcesArgs);
    /// Write completions for shells, manual pages, or the schema of a rig file.
    Generate(generate::GenerateArgs);
    /// List the fuels of the library.
    Fuels(fuels::FuelsArgs);
    /// Show what a fuel is: heating value, limits, saturation.
    Fuel(fuel::FuelArgs);
    /// Burn a fuel: flame temperature, products, fuel flow for a duty.
    Flame(flame::FlameArgs);
    /// Give the properties of a fuel at a temperature and pressure.
    State(state::StateArgs);
    /// Size the holes of an injector, or find their flow, number or pressure.
    Injector(injector::InjectorArgs);
    /// Release fuel through a hole, or every way a rig can: how far, how soon, what it does.
    Leak(leak::LeakArgs);
    /// Weigh a rig: every part dry and with fuel, joints, what lighter parts would save.
    Mass(mass::MassArgs);
    /// Let a fuel down through a regulator: outlet temperature and phase.
    Regulator(regulator::RegulatorArgs);
    /// Draw a tank down: how it chills, what it can keep up, what would help.
    Tank(tank::TankArgs);
    /// Move one number of a rig step by step: flows, mixture, pressures, findings.
    Sweep(sweep::SweepArgs);
    /// Lay the program's own property model and CoolProp side by side on a rig.
    Compare(compare::CompareArgs);
    /// Lay two rig files side by side: inputs, duties, findings and mass that differ.
    CompareRigs(compare_rigs::CompareRigsArgs);
    /// Draw every band of a rig at random: spread of flow and mixture, and what drives it.
    Tolerance(tolerance::ToleranceArgs);
    /// Heat liquid trapped between two closed valves: pressure it reaches; or find where a rig traps it.
    Trapped(trapped::TrappedArgs);
    /// Follow the fuel through a rig's train at every duty; throttle and shut-off.
    Train(train::TrainArgs);
    /// Plan a switch to another fuel: flows, nozzles or holes, feed, what stays and what goes.
    Convert(convert::ConvertArgs);
    /// Size a valve for a flow, or find the flow of a valve.
    Valve(valve::ValveArgs);
}

/// The command line as the parser knows it. A number may begin with a minus, so that its reader can say what is
/// wrong with it.
pub fn program() -> clap::Command {
    fn numbers(command: clap::Command) -> clap::Command {
        let names: Vec<String> = command
            .get_subcommands()
            .map(|c| c.get_name().to_owned())
            .collect();
        let command = command.mut_args(|arg| {
            if takes_number(&arg) {
                arg.allow_hyphen_values(true)
            } else {
                arg
            }
        });
        names
            .iter()
            .fold(command, |c, name| c.mut_subcommand(name, numbers))
    }
    numbers(Cli::command())
}

/// Whether what stands behind a flag is neither a name nor one of a few words.
fn takes_number(arg: &Arg) -> bool {
    let kind = arg.get_value_parser().type_id();
    arg.get_action().takes_values()
        && arg.get_possible_values().is_empty()
        && kind != TypeId::of::<PathBuf>()
        && kind != TypeId::of::<String>()
}

/// Reads the arguments.
///
/// # Errors
/// What is wrong with them; help and version, too, come as an error.
pub fn read<A: Into<OsString> + Clone>(
    arguments: impl IntoIterator<Item = A>,
) -> Result<Cli, clap::Error> {
    let matches: ArgMatches = program().try_get_matches_from(arguments)?;
    Cli::from_arg_matches(&matches)
}
