//! The command line: read the arguments, let a command make its report, write it.

pub mod args;
pub mod audit;
pub mod backend;
pub mod checklist;
pub mod compare;
pub mod compare_rigs;
pub mod convert;
pub mod error;
pub mod flame;
pub mod fuel;
pub mod fuels;
pub mod generate;
pub mod injector;
pub mod leak;
pub mod leak_test;
pub mod mass;
pub mod page;
pub mod progress;
pub mod regulator;
pub mod report;
pub mod rig;
pub mod rules;
pub mod save;
pub mod shutdown;
pub mod sources;
pub mod start;
pub mod state;
pub mod sweep;
pub mod tank;
pub mod template;
pub mod tolerance;
pub mod train;
pub mod trapped;
pub mod valve;

use crate::eos::{self, Backend, Equilibrium, Phase, State};
use crate::flow::air::BAROMETER_PA;
use crate::fuel::{Composition, Library};
use crate::input::MOST_BYTES;
use crate::input::file::{self, FileError};
use crate::quantity::printable::{message, repeated};
use crate::quantity::show::{Show, Units};
use crate::quantity::{AbsolutePressure, PressureLevel, kelvin, pascals_absolute};
use crate::report::{Fact, Report, html, json, markdown, text};
use args::{Cli, Command, Format, Global, WantedPhase};
use clap::Parser;
use clap::error::ContextValue;
use error::{CliError, FlagProblem};
use page::Page;
use std::borrow::Cow;
use std::ffi::OsString;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;

/// How a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Done.
    Done,
    /// Done, with findings of DANGER or WARNING.
    Alarms,
    /// Could not do it.
    Failed,
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> Self {
        Self::from(match outcome {
            Outcome::Done => 0,
            Outcome::Alarms => 1,
            Outcome::Failed => 2,
        })
    }
}

/// Entry of the program: runs on the arguments, output and error stream of the process.
pub fn main() -> ExitCode {
    run_on(
        std::env::args_os(),
        Page::of_process(),
        &mut std::io::stdout().lock(),
        &mut std::io::stderr().lock(),
    )
    .into()
}

/// Runs a command line. Results go to `out`, messages to `err`; after a failure `out` has nothing.
pub fn run<A: Into<OsString> + Clone>(
    arguments: impl IntoIterator<Item = A>,
    width: usize,
    out: &mut impl Write,
    err: &mut impl Write,
) -> Outcome {
    run_on(arguments, Page::plain(width), out, err)
}

/// As [`run`], on a page of one's own.
pub fn run_on<A: Into<OsString> + Clone>(
    arguments: impl IntoIterator<Item = A>,
    page: Page,
    out: &mut impl Write,
    err: &mut impl Write,
) -> Outcome {
    let cli = match Cli::try_parse_from(arguments) {
        Ok(cli) => cli,
        Err(e) => return usage(e, out, err),
    };
    let ended = match &cli.command {
        Command::Generate(args) => generate::run(args).and_then(|text| plain(&text, out)),
        _ => answer(&cli, page).and_then(|report| write(&report, &cli.global, page, out)),
    };
    match ended {
        Ok(outcome) => outcome,
        Err(e) if e.is_broken_pipe() => Outcome::Done,
        Err(e) => {
            // Nothing is left to try if the error stream is closed too.
            let shown = e.render(texts_in(&cli.global), page.colour_of_messages);
            let _ = writeln!(err, "{shown}");
            Outcome::Failed
        }
    }
}

/// Help and version go to the output and are no failure; mistakes in the flags are.
fn usage(mut e: clap::Error, out: &mut impl Write, err: &mut impl Write) -> Outcome {
    // what was typed, on one line before it is shown among others
    let typed: Vec<_> = e
        .context()
        .map(|(kind, value)| (kind, value.clone()))
        .collect();
    for (kind, value) in typed {
        if let ContextValue::String(typed) = value {
            e.insert(kind, ContextValue::String(repeated(&typed)));
        }
    }
    let text = e.render().to_string();
    if e.use_stderr() {
        for line in text.lines() {
            let _ = writeln!(err, "{}", message(line));
        }
        Outcome::Failed
    } else {
        let _ = write!(out, "{text}");
        Outcome::Done
    }
}

fn answer(cli: &Cli, page: Page) -> Result<Report, CliError> {
    let context = Context::new(&cli.global, page)?;
    let mut report = match &cli.command {
        Command::Audit(args) => audit::run(args, &context),
        Command::Report(args) => report::run(args, &context),
        Command::Generate(_) => unreachable!("it makes no report"),
        Command::Rules(args) => rules::run(args, &context),
        Command::Sources(args) => sources::run(args, &context),
        Command::Checklist(args) => checklist::run(args, &context),
        Command::LeakTest(args) => leak_test::run(args, &context),
        Command::Shutdown(args) => shutdown::run(args, &context),
        Command::Start(args) => start::run(args, &context),
        Command::Convert(args) => convert::run(args, &context),
        Command::Fuels(args) => fuels::run(args, &context),
        Command::Fuel(args) => fuel::run(args, &context),
        Command::Flame(args) => flame::run(args, &context),
        Command::State(args) => state::run(args, &context),
        Command::Injector(args) => injector::run(args, &context),
        Command::Leak(args) => leak::run(args, &context),
        Command::Mass(args) => mass::run(args, &context),
        Command::Regulator(args) => regulator::run(args, &context),
        Command::Compare(args) => compare::run(args, &context),
        Command::CompareRigs(args) => compare_rigs::run(args, &context),
        Command::Sweep(args) => sweep::run(args, &context),
        Command::Tank(args) => tank::run(args, &context),
        Command::Trapped(args) => trapped::run(args, &context),
        Command::Tolerance(args) => tolerance::run(args, &context),
        Command::Train(args) => train::run(args, &context),
        Command::Valve(args) => valve::run(args, &context),
    }?;
    report.cite_mentioned(&context.library);
    Ok(report)
}

/// Writes what is no report.
fn plain(text: &[u8], out: &mut impl Write) -> Result<Outcome, CliError> {
    out.write_all(text)?;
    out.flush()?;
    Ok(Outcome::Done)
}

/// Writes a report in the format asked for.
fn write(
    report: &Report,
    global: &Global,
    page: Page,
    out: &mut impl Write,
) -> Result<Outcome, CliError> {
    let units = global.units.into();
    let shown = shown(report, global.quiet);
    let answer = match global.format {
        Format::Text => {
            let answer = text::render(&shown, units, page.width);
            if page.colour {
                page::coloured(&answer)
            } else {
                answer
            }
        }
        Format::Json => json::render(report),
        Format::Markdown => markdown::render(&shown, units),
        Format::Html => html::render(&shown, units),
    };
    out.write_all(answer.as_bytes())?;
    out.flush()?;
    Ok(if report.has_alarms() {
        Outcome::Alarms
    } else {
        Outcome::Done
    })
}

/// A report for people: whole, or where they want it short without what it rests on: models, assumptions,
/// sources. What a reader must know stays, the cautions first of all.
fn shown(report: &Report, quiet: bool) -> Cow<'_, Report> {
    if !quiet {
        return Cow::Borrowed(report);
    }
    let mut short = report.clone();
    short.sections.retain(|s| s.heading != MODEL);
    short.assumptions.clear();
    short.sources.clear();
    Cow::Owned(short)
}

/// Heading of the section about property models.
const MODEL: &str = "Model";

/// What every command works with.
#[derive(Debug)]
pub struct Context {
    /// Fuels, pairs and citations.
    pub library: Library,
    /// Air pressure.
    pub ambient: AbsolutePressure,
    /// Units of messages.
    pub units: Units,
    /// How the answer is written.
    pub format: Format,
    /// Whether models, assumptions and sources are left out.
    pub quiet: bool,
    /// Whether long work says how far it is.
    pub progress: bool,
    /// Day of the calendar, if one is asked for.
    pub today: Option<crate::train::rig::Date>,
}

impl Context {
    fn new(global: &Global, page: Page) -> Result<Self, CliError> {
        let ambient = global.ambient_pressure;
        if !BAROMETER_PA.contains(&ambient.pascals()) {
            return Err(CliError::Flag {
                flag: "ambient-pressure",
                problem: FlagProblem::NoAirPressure {
                    given: ambient.show(global.units.into()),
                },
            });
        }
        Ok(Self {
            library: library(global)?.with_property_code(backend::property_code(global.backend)?),
            ambient,
            units: texts_in(global),
            format: global.format,
            quiet: global.quiet,
            progress: page.progress && !global.quiet,
            today: page.today,
        })
    }

    /// The absolute pressure a flag means.
    ///
    /// # Errors
    /// [`CliError::Flag`] if it lies below vacuum.
    pub fn absolute(
        &self,
        flag: &'static str,
        level: PressureLevel,
    ) -> Result<AbsolutePressure, CliError> {
        level.absolute(self.ambient).map_err(|e| CliError::Flag {
            flag,
            problem: e.into(),
        })
    }

    /// A pressure for titles and messages: absolute, with what was typed if that was gauge.
    pub fn pressure_text(&self, level: PressureLevel) -> String {
        match level {
            PressureLevel::Absolute(p) => p.show(self.units),
            PressureLevel::Gauge(p) => p.show(self.units),
        }
    }

    /// The fuel named and its properties.
    ///
    /// # Errors
    /// Unknown fuel, wrong blend, no equation of state.
    pub fn fluid(&self, fuel: &str) -> Result<Arc<dyn Backend>, CliError> {
        let composition = self.composition(fuel)?;
        Ok(eos::backend(&self.library, &composition)?)
    }

    /// The fuel named.
    ///
    /// # Errors
    /// Unknown fuel or wrong blend.
    pub fn composition(&self, fuel: &str) -> Result<Composition, CliError> {
        Ok(Composition::parse(fuel, &self.library)?)
    }

    /// Refuses a state in another phase than the one counted on. Above the critical point there is no
    /// difference, and nothing is refused.
    ///
    /// # Errors
    /// [`CliError::Phase`].
    pub fn expect_phase(
        &self,
        fluid: &dyn Backend,
        state: &State,
        wanted: Option<WantedPhase>,
    ) -> Result<(), CliError> {
        let (wanted, fits) = match wanted {
            None => return Ok(()),
            Some(WantedPhase::Gas) => ("gas", state.phase == Phase::Gas),
            Some(WantedPhase::Liquid) => ("liquid", state.phase == Phase::Liquid),
        };
        if fits || state.phase == Phase::Supercritical {
            return Ok(());
        }
        let t_k = state.temperature_k;
        Err(CliError::Phase {
            fuel: fluid.composition().label().to_owned(),
            at: format!(
                "{} and {}",
                kelvin(t_k).show(self.units),
                pascals_absolute(state.pressure_pa).show(self.units)
            ),
            phase: state.phase.name(),
            wanted,
            boundary: self.boundary(fluid, t_k),
        })
    }

    /// Where a fuel boils at a temperature, for messages; nothing above the critical point.
    fn boundary(&self, fluid: &dyn Backend, t_k: f64) -> String {
        let shown = |e: &Equilibrium| pascals_absolute(e.pressure_pa).show(self.units);
        match (fluid.bubble_t(t_k), fluid.dew_t(t_k)) {
            (Ok(bubble), Ok(dew)) if shown(&bubble) == shown(&dew) => {
                format!("; at that temperature it boils at {}", shown(&bubble))
            }
            (Ok(bubble), Ok(dew)) => format!(
                "; at that temperature it is liquid above {} and gas below {}",
                shown(&bubble),
                shown(&dew)
            ),
            _ => String::new(),
        }
    }

    /// Says in a report what the model of the fuel rests on.
    pub fn model(&self, report: &mut Report, fluid: &dyn Backend) {
        for sentence in fluid.assumptions() {
            report.assume(sentence.as_str());
        }
        report.burns(fluid.composition());
        report.key("fuel", fluid.composition().label());
        report.key("model", fluid.model());
        report.facts(MODEL, vec![Fact::text("Properties", fluid.model())]);
    }
}

/// A value that must be above zero; a flag's own reader lets zero and less pass where a type does.
///
/// # Errors
/// [`CliError::Flag`].
pub fn positive(flag: &'static str, si: f64, shown: impl Into<String>) -> Result<f64, CliError> {
    if si > 0.0 {
        Ok(si)
    } else {
        Err(CliError::Flag {
            flag,
            problem: FlagProblem::NotPositive {
                given: shown.into(),
            },
        })
    }
}

/// Units of texts: those asked for; SI where JSON is asked for, which is always SI.
fn texts_in(global: &Global) -> Units {
    match global.format {
        Format::Json => Units::Si,
        _ => global.units.into(),
    }
}

/// Most files of a fuels folder; each may have as many bytes as a rig file.
const MOST_FUEL_FILES: usize = 1000;

/// The embedded library, with the user's folder if there is one.
fn library(global: &Global) -> Result<Library, CliError> {
    let Some(folder) = &global.fuels_folder else {
        return Ok(Library::embedded());
    };
    let unreadable = |path: &Path| {
        let path = path.to_owned();
        move |source: FileError| CliError::Read { path, source }
    };
    let entries = std::fs::read_dir(folder).map_err(|e| unreadable(folder)(e.into()))?;
    let mut paths = Vec::new();
    for entry in entries {
        let path = entry.map_err(|e| unreadable(folder)(e.into()))?.path();
        if path.extension().is_some_and(|e| e == "toml") {
            paths.push(path);
        }
        if paths.len() > MOST_FUEL_FILES {
            return Err(CliError::ManyFuelFiles {
                folder: folder.clone(),
                most: MOST_FUEL_FILES,
            });
        }
    }
    paths.sort();
    let read = |path: &PathBuf| {
        let text = file::text(path, MOST_BYTES).map_err(unreadable(path))?;
        Ok((path.display().to_string(), text))
    };
    let files = paths.iter().map(read).collect::<Result<_, CliError>>()?;
    eos::check::library_with(files).map_err(CliError::FuelFiles)
}
