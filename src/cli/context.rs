//! What every command works with: fuels, air pressure, units; and how much of a report is shown.

use super::backend;
use super::error::{CliError, FlagProblem};
use super::flags::{Format, Global, WantedPhase};
use super::page::{Asking, Page};
use crate::eos::{self, Backend, Equilibrium, Phase, State};
use crate::flow::air::BAROMETER_PA;
use crate::fuel::{Composition, Library};
use crate::input::MOST_BYTES;
use crate::input::file::{self, FileError};
use crate::quantity::show::{Show, Units};
use crate::quantity::{AbsolutePressure, PressureLevel, kelvin, pascals_absolute};
use crate::report::{MODEL, Report, properties};
use std::borrow::Cow;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A report for people: whole, or where they want it short without what it rests on: models, assumptions,
/// sources. What a reader must know stays, the cautions first of all.
pub fn shown(report: &Report, quiet: bool) -> Cow<'_, Report> {
    if !quiet {
        return Cow::Borrowed(report);
    }
    let mut short = report.clone();
    short.sections.retain(|s| s.heading != MODEL);
    short.assumptions.clear();
    short.sources.clear();
    Cow::Owned(short)
}

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
    /// Whether a person at a terminal can be asked.
    pub asking: Asking,
    /// Day of the calendar, if one is asked for.
    pub today: Option<crate::train::rig::Date>,
    /// The command line as its parser knows it, for manual pages and completions.
    pub program: fn() -> clap::Command,
}

impl Context {
    /// Reads what all commands take.
    ///
    /// # Errors
    /// [`CliError`]: an air pressure that no barometer shows, fuel files that cannot be read, a code that is not built in.
    pub fn new(
        global: &Global,
        page: Page,
        program: fn() -> clap::Command,
    ) -> Result<Self, CliError> {
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
            asking: page.asking,
            today: page.today,
            program,
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

    /// The absolute pressures `--upstream` and `--downstream` mean.
    ///
    /// # Errors
    /// Below vacuum, downstream not below upstream.
    pub fn falling(
        &self,
        upstream: PressureLevel,
        downstream: PressureLevel,
    ) -> Result<(AbsolutePressure, AbsolutePressure), CliError> {
        let p1 = self.absolute("upstream", upstream)?;
        let p2 = self.absolute("downstream", downstream)?;
        if p2 < p1 {
            return Ok((p1, p2));
        }
        Err(CliError::Flag {
            flag: "downstream",
            problem: FlagProblem::Contradicts {
                given: self.pressure_text(downstream),
                relation: "is not below",
                other: "upstream",
                other_given: self.pressure_text(upstream),
            },
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
    pub fn model(report: &mut Report, fluid: &dyn Backend) {
        for sentence in fluid.assumptions() {
            report.assume(sentence.as_str());
        }
        report.burns(fluid.composition());
        properties::model(report, MODEL, fluid);
    }
}

/// Units of texts: those asked for; SI where JSON is asked for, which is always SI.
pub fn texts_in(global: &Global) -> Units {
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
    eos::check::library_with(files).map_err(|mistakes| CliError::FuelFiles { mistakes })
}
