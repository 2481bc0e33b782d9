//! The commands, listed once: each module knows its own flags and makes its own answer.

use super::answer::Answer;
use super::context::Context;
use super::error::CliError;
use super::flags::Global;
use super::names::renamed;
use super::{
    audit, calibrate, checklist, compare_rigs, convert, flame, flow_test, fuel, fuels, generate,
    injector, leak, leak_test, lookup, mass, orifice, pipe, pump, regulator, relief, remedies,
    report, rules, second_opinion, shutdown, sources, spray, start, state, sweep, tank, tolerance,
    train, trapped, valve,
};
use crate::report::text::wrap;
use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Arg, ArgMatches, CommandFactory, FromArgMatches, Parser, Subcommand};
use std::any::TypeId;
use std::ffi::OsString;
use std::fmt::Write;
use std::path::PathBuf;

const QUANTITIES: &str = "\
Quantities are text with a unit: \"1.2 mm\", \"1/16 in\", \"0.8 g/s\", \"20 degC\", \"45 kW\".
A pressure level says what it is: \"3 barg\" by gauge, \"4 bara\" above vacuum, or in full \"3 bar(g)\".
A fuel is a name (see `fuelwright fuels`) or a blend in mole percent: propane:70,n-butane:30 \
(append @mass for mass percent,
@volume for percent of the liquids' volumes at 15 °C).

Exit code: 0 done; 1 done, with DANGER, WARNING or facts missing; 2 could not do it.
Every answer ends with the cautions that belong to it. Local codes and licensed gas practice decide.";

/// Sizes injectors, plans liquid-fuel switches and audits the fuel trains of small burners.
#[derive(Debug, Parser)]
#[command(name = "fuelwright", version, about, after_help = QUANTITIES)]
#[command(subcommand_required = true, arg_required_else_help = true)]
pub struct Cli {
    /// What all commands take.
    #[command(flatten)]
    pub global: Global,
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// Declares the commands under the headings of the help, in its order.
macro_rules! commands {
    ($($heading:literal {
        $($(#[doc = $about:literal])+ $name:ident($module:ident::$args:ident);)+
    })+) => {
        /// What the program can do.
        #[derive(Debug, Subcommand)]
        pub enum Command {
            $($($(#[doc = $about])+ $name($module::$args),)+)+
        }

        /// Headings, each with how many of the commands stand under it.
        const HEADINGS: &[(&str, usize)] = &[$(($heading, [$(stringify!($name)),+].len())),+];

        impl Command {
            /// Does it.
            ///
            /// # Errors
            /// What the command could not do.
            pub fn run(&self, context: &Context) -> Result<Answer, CliError> {
                match self {
                    $($(Self::$name(args) => $module::run(args, context).map(Answer::from),)+)+
                }
            }
        }
    };
}

commands! {
    "The three jobs" {
        /// Size the holes of an injector, or find their flow or pressure.
        Injector(injector::InjectorArgs);
        /// Plan a switch to another fuel: nozzles or holes, feed, parts.
        Convert(convert::ConvertArgs);
        /// Audit a rig before a test day: what is wrong, and the duties.
        Audit(audit::AuditArgs);
        /// Find the smallest changes that clear what an audit finds.
        Remedies(remedies::RemediesArgs);
        /// Write a rig file to begin with.
        Start(start::StartArgs);
    }
    "Calculators" {
        /// Show a fuel: heating value, flammability limits, saturation.
        Fuel(fuel::FuelArgs);
        /// Give the properties of a fuel at a temperature and pressure.
        State(state::StateArgs);
        /// Burn a fuel: flame temperature, products, fuel for a duty.
        Flame(flame::FlameArgs);
        /// Size a valve for a flow, or find the flow of a valve.
        Valve(valve::ValveArgs);
        /// Expand a fuel through a regulator: temperature and phase.
        Regulator(regulator::RegulatorArgs);
        /// Size a relief valve by API 520, or find what it passes.
        Relief(relief::ReliefArgs);
        /// Meter a flow with an orifice plate by ISO 5167.
        Orifice(orifice::OrificeArgs);
        /// Find pressure, flow or bore of a run of pipe.
        Pipe(pipe::PipeArgs);
        /// Find power, suction head and vapour lock of a pump.
        Pump(pump::PumpArgs);
        /// Find drop size and nozzle of a liquid fuel.
        Spray(spray::SprayArgs);
        /// Draw down a tank: chilling, sustainable draw, remedies.
        Tank(tank::TankArgs);
        /// Release fuel through a hole, or every way a rig can.
        Leak(leak::LeakArgs);
        /// Warm trapped liquid, or find where a rig can trap it.
        Trapped(trapped::TrappedArgs);
    }
    "More about a rig file" {
        /// Follow the fuel through the train at every duty.
        Train(train::TrainArgs);
        /// Spread of flow and mixture over tolerances, and its causes.
        Tolerance(tolerance::ToleranceArgs);
        /// Move one number step by step: what changes.
        Sweep(sweep::SweepArgs);
        /// Compare two rig files: what differs.
        CompareRigs(compare_rigs::CompareRigsArgs);
        /// Weigh every part, dry and with fuel; lighter choices.
        Mass(mass::MassArgs);
        /// Plan the leak test of each zone, judge the tests on record.
        LeakTest(leak_test::LeakTestArgs);
        /// Plan a flow test of the holes, judge what was read.
        FlowTest(flow_test::FlowTestArgs);
        /// Hold a weighed run against the rig: holes, regulator, throttle.
        Calibrate(calibrate::CalibrateArgs);
        /// Show what shuts off the fuel at each failure.
        Shutdown(shutdown::ShutdownArgs);
        /// Print the checklist for a test day.
        Checklist(checklist::ChecklistArgs);
        /// Write the report of a rig: sheets to carry, an appendix.
        Report(report::ReportArgs);
        /// Solve a rig with CoolProp's properties too: what differs.
        SecondOpinion(second_opinion::SecondOpinionArgs);
    }
    "To look up" {
        /// List catalogue parts, keys of a rig file, words a key takes.
        Lookup(lookup::LookupArgs);
        /// List the fuels of the library.
        Fuels(fuels::FuelsArgs);
        /// List what an audit checks, or print the page of one rule.
        Rules(rules::RulesArgs);
        /// List the sources of the figures and how far each was looked up.
        Sources(sources::SourcesArgs);
        /// Write completions, manual pages, or schemas.
        Generate(generate::GenerateArgs);
    }
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

/// The command line with its commands under their headings, on a page of so many characters a line.
fn on_page(width: usize) -> clap::Command {
    let program = program();
    let width = width.clamp(LEAST_WIDTH, MOST_WIDTH);
    let template = format!(
        "{{about-with-newline}}\n{{usage-heading}} {{usage}}\n\n{}For all commands:\n{{options}}{{after-help}}",
        listed(&program, width)
    );
    program.help_template(template).term_width(width)
}

/// The commands under their headings.
fn listed(program: &clap::Command, width: usize) -> String {
    let mut commands = program.get_subcommands();
    let mut listed = String::new();
    for (heading, count) in HEADINGS {
        let _ = writeln!(listed, "{heading}:");
        for command in commands.by_ref().take(*count) {
            let about = command.get_about().map(ToString::to_string);
            let lines = wrap(&about.unwrap_or_default(), width - ABOUT_FROM);
            for (i, line) in lines.iter().enumerate() {
                let name = if i == 0 { command.get_name() } else { "" };
                let _ = writeln!(listed, "  {name:<0$}{line}", ABOUT_FROM - 2);
            }
        }
        listed.push('\n');
    }
    listed
}

/// Where the sentences about the commands begin.
const ABOUT_FROM: usize = 18;
const LEAST_WIDTH: usize = 40;
const MOST_WIDTH: usize = 100;

/// Reads the arguments.
///
/// # Errors
/// What is wrong with them; help and version, too, come as an error.
pub fn read<A: Into<OsString> + Clone>(
    arguments: impl IntoIterator<Item = A>,
    width: usize,
) -> Result<Cli, clap::Error> {
    let mut program = on_page(width);
    let matches = program.try_get_matches_from_mut(arguments);
    let matches: ArgMatches = matches.map_err(|e| match e.get(ContextKind::InvalidSubcommand) {
        Some(ContextValue::String(typed)) => match renamed(typed) {
            Some(new) => {
                let text = format!("`{typed}` is called `{new}` now");
                program.error(ErrorKind::InvalidSubcommand, text)
            }
            None => e,
        },
        _ => e,
    })?;
    Cli::from_arg_matches(&matches)
}
