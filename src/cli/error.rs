//! Why a command could not do its work; every one ends the program with exit code 2.

use crate::combustion::CombustionError;
use crate::combustion::flame::FlameError;
use crate::convert::ConvertError;
use crate::eos::EosError;
use crate::flow::valve::ValveError;
use crate::fuel::FuelError;
use crate::fuel::composition::CompositionError;
use crate::injector::size::InjectorError;
use crate::injector::template::TemplateError;
use crate::input::diagnostic::{Diagnostics, first_of};
use crate::input::edit::EditError;
use crate::input::file::FileError;
use crate::leak::LeakError;
use crate::quantity::QuantityError;
use crate::quantity::printable::message;
use crate::quantity::sentence::{Told, sentence};
use crate::quantity::show::Units;
use crate::tank::TankError;
use crate::tank::trapped::TrappedError;
use crate::tolerance::{SamplingError, ToleranceError};
use std::io;
use std::path::PathBuf;

/// What went wrong.
#[derive(Debug, thiserror::Error)]
pub enum CliError {
    /// A fuel or blend.
    #[error(transparent)]
    Composition(#[from] CompositionError),
    /// A fuel file.
    #[error(transparent)]
    Fuel(#[from] FuelError),
    /// The files of a fuels folder; everything that is wrong with them.
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("\nerror: "))]
    FuelFiles(Vec<FuelError>),
    /// A property.
    #[error(transparent)]
    Eos(#[from] EosError),
    /// Burning.
    #[error(transparent)]
    Combustion(#[from] CombustionError),
    /// An injector.
    #[error(transparent)]
    Injector(#[from] InjectorError),
    /// A tank.
    #[error(transparent)]
    Tank(#[from] TankError),
    /// Trapped liquid.
    #[error(transparent)]
    Trapped(#[from] TrappedError),
    /// A switch to another fuel.
    #[error(transparent)]
    Convert(#[from] ConvertError),
    /// No fuel to switch to.
    #[error("the rig file has no `[switch]`: name the new fuel with --to")]
    NoTarget,
    /// A flame.
    #[error(transparent)]
    Flame(#[from] FlameError),
    /// A valve.
    #[error(transparent)]
    Valve(#[from] ValveError),
    /// A rig file with mistakes.
    #[error(transparent)]
    Rig(#[from] Diagnostics),
    /// A rule that is not there.
    #[error("there is no rule `{rule}`{}; `fuelwright rules` lists them", suggestion.as_ref().map_or(String::new(), |s| format!(", did you mean `{s}`?")))]
    NoSuchRule {
        /// As typed.
        rule: String,
        /// Nearest.
        suggestion: Option<String>,
    },
    /// A source that is not there.
    #[error("there is no source `{key}`{}; `fuelwright sources` lists them", suggestion.as_ref().map_or(String::new(), |s| format!(", did you mean `{s}`?")))]
    NoSuchSource {
        /// As typed.
        key: String,
        /// Nearest.
        suggestion: Option<String>,
    },
    /// A command that is not there.
    #[error("there is no command `{command}`{}", suggestion.as_ref().map_or(String::new(), |s| format!(", did you mean `{s}`?")))]
    NoSuchCommand {
        /// As typed.
        command: String,
        /// Nearest.
        suggestion: Option<String>,
    },
    /// A second opinion that is not to be had.
    #[error("{asked_by}: {why}")]
    NoSecondOpinion {
        /// Flag or command.
        asked_by: &'static str,
        /// Why not.
        why: String,
    },
    /// A rig without a name.
    #[error("a rig needs a name: `fuelwright start \"my rig\"`")]
    NoName,
    /// A file that is not written.
    #[error("cannot write `{path}`: {why}")]
    NotWritten {
        /// File.
        path: PathBuf,
        /// Why not.
        why: Refused,
    },
    /// A template that lacks something.
    #[error("a drilling template needs {missing}")]
    NoTemplate {
        /// What.
        missing: &'static str,
    },
    /// A template that cannot be drawn.
    #[error("no drilling template: {0}")]
    Template(#[from] TemplateError),
    /// A train.
    #[error("the train is not solved: {why}")]
    NoTrain {
        /// Why.
        why: String,
    },
    /// A key to move, or its range.
    #[error(transparent)]
    Edit(#[from] EditError),
    /// No step of a sweep makes a rig.
    #[error("every value of `{key}` is refused, the first because: {why}")]
    AllRefused {
        /// Key.
        key: String,
        /// Why.
        why: String,
    },
    /// A figure without two points.
    #[error("there is nothing to draw: {figure} is known at fewer than two steps")]
    NothingToDraw {
        /// Figure.
        figure: &'static str,
    },
    /// A number of samples.
    #[error("--samples: {0}")]
    Sampling(#[from] SamplingError),
    /// A Monte-Carlo run.
    #[error(transparent)]
    Tolerance(#[from] ToleranceError),
    /// The holes of a rig are not known.
    #[error("the holes of the injector are not known: {why}")]
    NoInjector {
        /// Why.
        why: String,
    },
    /// There is no state of the fuel in tank or main.
    #[error("the state of the fuel in the supply is not known: {why}")]
    NoSupplyState {
        /// Why.
        why: String,
    },
    /// There is no tank to draw from, or its charge does not fit.
    #[error("there is no tank to look at: {why}")]
    NoTank {
        /// Why.
        why: String,
    },
    /// A leak.
    #[error(transparent)]
    Leak(#[from] LeakError),
    /// The releases of a rig could not be had.
    #[error("the releases of the rig are not known: {why}")]
    NoLeaks {
        /// Why.
        why: String,
    },
    /// A flag whose value does not fit.
    #[error("--{flag}: {problem}")]
    Flag {
        /// Flag, without its hyphens.
        flag: &'static str,
        /// What is wrong with it.
        problem: FlagProblem,
    },
    /// The fuel is not in the phase counted on.
    #[error("--phase: {fuel} at {at} is {phase}, not {wanted}{boundary}")]
    Phase {
        /// Fuel or blend.
        fuel: String,
        /// Temperature and pressure, shown.
        at: String,
        /// What it is.
        phase: &'static str,
        /// What was counted on.
        wanted: &'static str,
        /// Where it would be.
        boundary: String,
    },
    /// A file or folder.
    #[error("cannot read `{path}`: {}", unread(source))]
    Read {
        /// File.
        path: PathBuf,
        /// Reason.
        source: FileError,
    },
    /// More fuel files than anybody has.
    #[error(
        "`{folder}` holds more than {most} files that end in .toml, the most that are read as fuels: name a folder with fuel files alone"
    )]
    ManyFuelFiles {
        /// Folder.
        folder: PathBuf,
        /// Limit.
        most: usize,
    },
    /// The output.
    #[error("cannot write the answer: {}", told(.0))]
    Write(#[from] std::io::Error),
}

impl CliError {
    /// The message in the units of whoever reads it.
    pub fn show(&self, units: Units) -> String {
        let told = match self {
            Self::Eos(e) => e.told(),
            Self::Combustion(e) => e.told(),
            Self::Injector(e) => e.told(),
            Self::Tank(e) => e.told(),
            Self::Trapped(e) => e.told(),
            Self::Convert(e) => e.told(),
            Self::Flame(e) => e.told(),
            Self::Valve(e) => e.told(),
            Self::Leak(e) => e.told(),
            Self::Template(e) => sentence!("no drilling template: {}", e.told()),
            Self::Flag {
                flag,
                problem: FlagProblem::Quantity(e),
            } => sentence!("--{}: {}", flag, e.told()),
            // what has no figures, or has them as they were typed or shown
            other => return other.to_string(),
        };
        told.show(units)
    }

    /// The message as the error stream shows it: printable, and no longer than anybody reads.
    pub fn render(&self, units: Units, colour: bool) -> String {
        let line = |text: &str| format!("error: {}", message(text));
        match self {
            // says `error` with its code and place already
            Self::Rig(mistakes) => mistakes.render(colour),
            Self::FuelFiles(errors) => {
                let lines = errors.iter().map(|e| line(&e.to_string()));
                let mut lines = first_of(lines, "\n");
                let more = errors.len() - lines.len();
                if more > 0 {
                    let mistakes = if more == 1 { "mistake" } else { "mistakes" };
                    lines.push(format!("and {more} more {mistakes} in the fuel files"));
                }
                lines.join("\n")
            }
            other => line(&other.show(units)),
        }
    }

    /// Whether the reader of the output has gone away, which is nobody's mistake.
    pub fn is_broken_pipe(&self) -> bool {
        matches!(self, Self::Write(e) if e.kind() == std::io::ErrorKind::BrokenPipe)
    }
}

/// What the system says of a file, in words that say what to do.
pub fn told(error: &std::io::Error) -> String {
    use std::io::ErrorKind::{
        AlreadyExists, IsADirectory, NotADirectory, NotFound, PermissionDenied, ReadOnlyFilesystem,
        StorageFull,
    };
    let known = match error.kind() {
        NotFound => "there is no such file or folder: look at the name, or make the folder first",
        AlreadyExists => {
            "it is there already and is kept: give another name, or move it away first"
        }
        IsADirectory => "it is a folder: name a file in it",
        NotADirectory => "it, or what stands before it in the path, is a file and no folder",
        PermissionDenied => "no permission: choose another place, or ask who owns it",
        ReadOnlyFilesystem => "nothing can be written there: choose another place",
        StorageFull => "there is no room left",
        _ => {
            // without the number of the system, which helps nobody
            let said = error.to_string();
            let end = said.find(" (os error").unwrap_or(said.len());
            return said[..end].to_owned();
        }
    };
    known.to_owned()
}

/// Why a file is not read, likewise.
fn unread(error: &FileError) -> String {
    match error {
        FileError::System(error) => told(error),
        other => other.to_string(),
    }
}

/// What is wrong with the value of a flag.
#[derive(Debug, thiserror::Error)]
pub enum FlagProblem {
    /// The quantity itself.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
    /// Zero or less, where something is needed.
    #[error("`{given}` is not above zero")]
    NotPositive {
        /// As shown.
        given: String,
    },
    /// The name of a file does not say what is to be written.
    #[error("`{given}` has no ending that says what is written: .html, .md, .json or .txt")]
    NoForm {
        /// File.
        given: String,
    },
    /// The name of a file is not that of a drawing.
    #[error("`{given}` does not end in .svg, which is what is written")]
    NoDrawing {
        /// File.
        given: String,
    },
    /// No pressure of the air.
    #[error("{given} is no pressure of the air, which is 300 to 1200 mbar(a) by the barometer")]
    NoAirPressure {
        /// As shown.
        given: String,
    },
    /// It contradicts another flag.
    #[error("{given} {relation} --{other}, which is {other_given}")]
    Contradicts {
        /// Value.
        given: String,
        /// How they relate: `is not below`.
        relation: &'static str,
        /// The other flag.
        other: &'static str,
        /// Its value.
        other_given: String,
    },
}

/// Why a file is not written.
#[derive(Debug, thiserror::Error)]
pub enum Refused {
    /// The output of the program.
    #[error(
        "it is the output, where the answer goes without being asked: give the name of a file, or leave the flag out"
    )]
    Output,
    /// A pipe, socket or device.
    #[error("it is {what}, and only files are written: give the name of a file")]
    NoFile {
        /// What it is.
        what: &'static str,
    },
    /// A link that leads nowhere.
    #[error("it is a link to a file that is not there: remove the link, or give another name")]
    DeadLink,
    /// Somebody does not want it written over.
    #[error("it is there and is read-only: {KEPT}")]
    ReadOnly,
    /// Something else, or without a mark.
    #[error(
        "it is there, and nothing shows that this program wrote it (earlier versions left no mark): {KEPT}"
    )]
    Foreign,
    /// Changed by hand.
    #[error("it has been changed since this program wrote it: {KEPT}")]
    Changed,
    /// Of another kind.
    #[error(
        "this program wrote it, but as another kind of file ({is}; to be written: {wanted}): {KEPT}"
    )]
    OtherKind {
        /// What it is.
        is: &'static str,
        /// What is to be written.
        wanted: &'static str,
    },
    /// What the system says.
    #[error("{}", told(.0))]
    System(#[from] io::Error),
}

const KEPT: &str = "nothing is written over it. Give another name, or move or delete it first";
