//! Why a command could not do its work; every one ends the program with exit code 2.

use crate::choose::demands::can_be_given_up;
use crate::combustion::CombustionError;
use crate::combustion::flame::FlameError;
use crate::convert::ConvertError;
use crate::eos::EosError;
use crate::flow::atomize::AtomizeError;
use crate::flow::line::LineError;
use crate::flow::metering::MeteringError;
use crate::flow::pump::PumpError;
use crate::flow::relief::ReliefError;
use crate::flow::valve::ValveError;
use crate::fuel::FuelError;
use crate::fuel::composition::CompositionError;
use crate::injector::size::InjectorError;
use crate::injector::template::TemplateError;
use crate::input::diagnostic::{Diagnostics, first_of};
use crate::input::edit::EditError;
use crate::input::file::{FileError, SystemError};
use crate::leak::LeakError;
use crate::quantity::QuantityError;
use crate::quantity::printable::message;
use crate::quantity::range::OutOfRange;
use crate::quantity::sentence::{Sentence, Told, flow};
use crate::quantity::show::Units;
use crate::quantity::told::errors;
use crate::tank::TankError;
use crate::tank::trapped::TrappedError;
use crate::tolerance::calibration::CalibrationError;
use crate::tolerance::{SamplingError, ToleranceError};
use std::io;
use std::path::PathBuf;

errors! {
    /// What went wrong.
    pub enum CliError {
        Composition(CompositionError);
        Fuel(FuelError);
        FuelFiles { mistakes: Vec<FuelError> } =>
            "{}", mistakes.iter().map(ToString::to_string).collect::<Vec<_>>().join("\nerror: ");
        Eos(EosError);
        Combustion(CombustionError);
        Injector(InjectorError);
        Tank(TankError);
        Trapped(TrappedError);
        Convert(ConvertError);
        NoTarget => "the rig file has no `[switch]`: name the new fuel with --to";
        Flame(FlameError);
        Valve(ValveError);
        OutOfRange(OutOfRange);
        Relief(ReliefError);
        Metering(MeteringError);
        Line(LineError);
        Pump(PumpError);
        Atomize(AtomizeError);
        Chokes { why: LineError, most_kg_s: f64 } =>
            "{}; the most that it passes is {}: take a wider bore, or give --downstream in place of --bore to find it",
            why.told(), flow(most_kg_s);
        NothingToFind { flags: String } =>
            "{} are all given: leave out the one to be found", flags;
        TooLittleGiven { flags: String, missing: String } =>
            "of {} give all but one, which is found: {} are missing", flags, missing;
        TooLittleToChoose { missing: &'static str } => "{missing} is missing: --choose needs to know what the holes are for";
        Rig(Diagnostics);
        NotListed { what: &'static str, word: String, suggestion: Option<String>, lists: &'static str } =>
            "there is no {} `{}`{}; `fuelwright {}` lists them", what, word, did_you_mean(suggestion), lists;
        NoSuchCommand { command: String, suggestion: Option<String> } =>
            "there is no command `{}`{}", command, did_you_mean(suggestion);
        NoSecondOpinion { asked_by: &'static str, why: String } => "{asked_by}: {why}";
        BrokenOff => "broken off: nothing is written";
        NotFound { id: String, suggestion: Option<String> } =>
            "the audit of this rig finds nothing of `{}`{}", id, suggestion.map_or(": leave it out to search all that it finds".to_owned(), |s| format!(", did you mean `{s}`?"));
        NoRemedies => "the rig cannot be solved, so no change can be tried";
        NotAsked { why: String } => "the questions cannot be asked here: {why}; `fuelwright start NAME --example` asks none";
        NotWatched { path: PathBuf, why: String } => "cannot watch `{}`: {}", &path.display(), why;
        NoName => "a rig needs a name: `fuelwright start \"my rig\"`";
        NotWritten { path: PathBuf, why: Refused } =>
            "cannot write `{}`: {}", &path.display(), why.told();
        NoTemplate { missing: &'static str } => "a drilling template needs {missing}";
        Template(TemplateError) => "no drilling template: {}";
        NoTrain { why: String } => "the train is not solved: {why}";
        Edit(EditError);
        AllRefused { key: String, why: String } =>
            "every value of `{key}` is refused, the first because: {why}";
        NothingToDraw { figure: &'static str } =>
            "there is nothing to draw: {figure} is known at fewer than two steps";
        Sampling(SamplingError) => "--samples: {}";
        Tolerance(ToleranceError);
        NoHoles { why: String } => "no holes do it: {why}";
        Calibration(CalibrationError);
        NoInjector { why: String } => "the holes of the injector are not known: {why}";
        NoFlowTest { why: String } => "no flow test can be planned: {why}";
        NoFinishedHoles => "`[injector]` has no `hole_diameter`: what is tested are finished holes, of a size that the file gives: write the diameter that was drilled";
        NoSupplyState { why: String } => "the state of the fuel in the supply is not known: {why}";
        NoTank { why: String } => "there is no tank to look at: {why}";
        Leak(LeakError);
        NoLeaks { why: String } => "the releases of the rig are not known: {why}";
        Flag {
            /// Flag, without its hyphens.
            flag: &'static str,
            problem: FlagProblem,
        } => "--{}: {}", flag, problem.told();
        Phase {
            fuel: String,
            /// Temperature and pressure, shown.
            at: String,
            phase: &'static str,
            wanted: &'static str,
            boundary: String,
        } => "--phase: {fuel} at {at} is {phase}, not {wanted}{boundary}";
        Read { path: PathBuf, source: FileError } =>
            "cannot read `{}`: {}", &path.display(), source.told();
        ManyFuelFiles { folder: PathBuf, most: usize } =>
            "`{}` holds more than {} files that end in .toml, the most that are read as fuels: name a folder with fuel files alone",
            &folder.display(), most;
        Write(SystemError) => "cannot write the answer: {}";
    }
}

impl CliError {
    /// The message in the units of whoever reads it.
    pub fn show(&self, units: Units) -> String {
        self.told().show(units)
    }

    /// The message as the error stream shows it: printable, and no longer than anybody reads.
    pub fn render(&self, units: Units, colour: bool) -> String {
        let line = |text: &str| format!("error: {}", message(text));
        match self {
            // says `error` with its code and place already
            Self::Rig(mistakes) => mistakes.render(colour),
            Self::FuelFiles { mistakes } => {
                let lines = mistakes.iter().map(|e| line(&e.to_string()));
                let mut lines = first_of(lines, "\n");
                let more = mistakes.len() - lines.len();
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
        matches!(self, Self::Write(e) if e.kind == io::ErrorKind::BrokenPipe)
    }
}

impl From<io::Error> for CliError {
    fn from(error: io::Error) -> Self {
        SystemError::from(error).into()
    }
}

impl Told for Diagnostics {
    fn told(&self) -> Sentence {
        self.to_string().into()
    }
}

/// Which numbers remedies have.
fn numbered(count: usize) -> String {
    match count {
        0 => "none was found; see what came nearest and the work to do".to_owned(),
        1 => "there is one, number 1".to_owned(),
        n => format!(
            "they are numbered 1 to {n}, and `set` is there where DANGER or WARNING can be cleared"
        ),
    }
}

fn did_you_mean(nearest: Option<String>) -> String {
    nearest.map_or(String::new(), |s| format!(", did you mean `{s}`?"))
}

errors! {
    /// What is wrong with the value of a flag.
    pub enum FlagProblem {
        Quantity(QuantityError);
        NotPositive { given: String } => "`{given}` is not above zero";
        NoForm { given: String } =>
            "`{given}` has no ending that says what is written: .html, .md, .json or .txt";
        NoDrawing { given: String } => "`{given}` does not end in .svg, which is what is written";
        NoRemedy { given: String, count: usize } =>
            "there is no remedy `{}` to write: {}", given, numbered(count);
        Drills { why: Sentence } => "{}", why;
        Needs { other: &'static str } => "it needs --{other} beside it";
        NotLighter { before: String, after: String } =>
            "{before} before the run and {after} after it: what was burnt has left the cylinder, which is lighter then";
        NoDay => "the day is not known here: give it, such as 2026-03-21";
        RangeAlone { example: &'static str } =>
            "a range is searched by --choose: add that, or give one value, such as `{}`", example;
        RigSays => "beside a rig file it goes with --choose alone: the file says what else the holes are";
        TrainGives => "beside a rig file regulator and train give it: change `set_pressure` of the regulator there, or `pressure` of `[injector]` where there is no train";
        NoDemand { given: String, suggestion: Option<String> } =>
            "`{}` is no demand that can be given up{}: they are {}", given, did_you_mean(suggestion), can_be_given_up().join(", ");
        NoChoice { given: String, count: usize } =>
            "there is no choice `{given}` to write: they are numbered 1 to {count}";
        TextOnly => "it answers as text, each time the file is saved: leave out --format";
        NoAirPressure { given: String } =>
            "{given} is no pressure of the air, which is 300 to 1200 mbar(a) by the barometer";
        BelowVapour { given: String, vapour: String } =>
            "{given} is below the vapour pressure of the liquid, {vapour}: it would boil in the tank until the two are the same";
        Contradicts {
            given: String,
            relation: &'static str,
            other: &'static str,
            other_given: String,
        } => "{given} {relation} --{other}, which is {other_given}";
    }
}

errors! {
    /// Why a file is not written.
    pub enum Refused {
        Output =>
            "it is the output, where the answer goes without being asked: give the name of a file, or leave the flag out";
        NoFile { what: &'static str } =>
            "it is {what}, and only files are written: give the name of a file";
        DeadLink =>
            "it is a link to a file that is not there: remove the link, or give another name";
        ReadOnly => "it is there and is read-only: {KEPT}";
        Foreign =>
            "it is there, and nothing shows that this program wrote it (earlier versions left no mark): {KEPT}";
        Changed => "it has been changed since this program wrote it: {KEPT}";
        OtherKind { is: &'static str, wanted: &'static str } =>
            "this program wrote it, but as another kind of file ({is}; to be written: {wanted}): {KEPT}";
        System(SystemError);
    }
}

impl From<io::Error> for Refused {
    fn from(error: io::Error) -> Self {
        SystemError::from(error).into()
    }
}

const KEPT: &str = "nothing is written over it. Give another name, or move or delete it first";
