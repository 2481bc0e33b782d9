//! `sweep`: a rig with one of its numbers moved step by step.

use super::context::Context;
use super::error::CliError;
use super::progress::progress;
use super::rig;
use super::save::{Target, drawing};
use crate::audit::solution::solve;
use crate::injector::duty::Duty;
use crate::injector::spec::HoleSize;
use crate::input::edit::{Knob, between};
use crate::report::mark::FileKind;
use crate::report::outcome::{Outcome, figures};
use crate::report::record::Line;
use crate::report::sweep::{Step, Sweep, csv, liveliest, plot, sweep as write};
use crate::report::{Report, Topic};
use crate::train::rig::Rig;
use rayon::prelude::*;
use std::path::PathBuf;

const EXAMPLES: &str = "\
Examples:
  fuelwright sweep examples/coupon-soak-rig.toml --over site.ambient_temperature \\
    --from \"0 degC\" --to \"30 degC\"
  fuelwright sweep examples/coupon-soak-rig.toml --over train.regulator.set_pressure \\
    --from \"1.6 barg\" --to \"2.4 barg\" --steps 9 --csv set.csv

A key is written as table, name and key: duties.full.equivalence_ratio, train.throttle.rangeability, \
limits.0.max_temperature. It must stand in the file. A step that the reader or the rules of reading refuse is \
shown with its reason. The exit code is 1 if a rule finds DANGER or WARNING at any step.";

/// Most steps.
const MOST_STEPS: i64 = 1000;
/// Steps worked on between two words about progress.
const CHUNK: usize = 8;

/// Flags of `sweep`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct SweepArgs {
    /// Rig file.
    #[arg(value_name = "RIG")]
    pub rig: PathBuf,
    /// Key to move.
    #[arg(long, value_name = "KEY")]
    pub over: String,
    /// First value, in the unit of the key.
    #[arg(long, value_name = "A", allow_hyphen_values = true)]
    pub from: String,
    /// Last value, in the same unit.
    #[arg(long, value_name = "B", allow_hyphen_values = true)]
    pub to: String,
    /// Values in all, both ends counted.
    #[arg(long, value_name = "N", default_value_t = 11, value_parser = clap::value_parser!(u32).range(2..=MOST_STEPS))]
    pub steps: u32,
    /// File to write as comma-separated values, in SI units; the value moved also as text.
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
    /// File to draw one figure of every duty in.
    #[arg(long, value_name = "FILE.svg")]
    pub plot: Option<PathBuf>,
    /// Figure to draw: fuel, ratio, heat, exit, pressure, throttle or train; the one that moves most if left out.
    #[arg(long, value_enum, hide_possible_values = true, requires = "plot")]
    pub figure: Option<Wanted>,
}

/// Figure to draw.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Wanted {
    /// Fuel flow.
    Fuel,
    /// Equivalence ratio.
    Ratio,
    /// Heat release.
    Heat,
    /// Exit temperature.
    Exit,
    /// Pressure before the holes.
    Pressure,
    /// Opening of the throttle.
    Throttle,
    /// What the train gives.
    Train,
}

impl Wanted {
    /// The figure: they stand in the same order.
    fn figure(self) -> &'static Line {
        &figures()[self as usize]
    }
}

/// Moves the key.
///
/// # Errors
/// A rig file with mistakes, a key that is not there or no number, a range in two units, a file that cannot be
/// written, or every step refused.
pub fn run(args: &SweepArgs, context: &Context) -> Result<Report, CliError> {
    if let Some(path) = &args.plot {
        drawing("plot", path)?;
    }
    let csv_file = args
        .csv
        .as_deref()
        .map(|p| Target::new(p, FileKind::SweepTable));
    let csv_file = csv_file.transpose()?;
    let plot_file = args
        .plot
        .as_deref()
        .map(|p| Target::new(p, FileKind::SweepFigure));
    let plot_file = plot_file.transpose()?;
    let loaded = rig::load(&args.rig, context)?;
    let knob = Knob::new(&loaded, &args.over)?;
    let steps = usize::try_from(args.steps).unwrap_or(usize::MAX);
    let values = between(&args.from, &args.to, steps)?;
    let progress = progress(context.progress, values.len(), "steps");
    let mut steps: Vec<Step> = Vec::with_capacity(values.len());
    for chunk in values.chunks(CHUNK) {
        steps.par_extend(chunk.par_iter().map(|value| step(&knob, value, context)));
        progress.set_position(steps.len() as u64);
    }
    drop(progress);
    if let Some(Step {
        outcome: Err(why), ..
    }) = steps.first()
        && steps.iter().all(|s| s.outcome.is_err())
    {
        return Err(CliError::AllRefused {
            key: args.over.clone(),
            why: why.clone(),
        });
    }
    let moved = Sweep {
        key: args.over.clone(),
        written: knob.written.to_owned(),
        steps,
    };
    let title = format!("{} over {}", loaded.rig.name, args.over);
    let mut report = Report::new(Topic::Audit, title);
    let still = moved.is_still().then(|| why_still(&loaded.rig, &args.over));
    write(&mut report, &moved, still);
    if let Some(file) = csv_file {
        report.remark(format!("Wrote {}.", file.path.display()));
        file.write(csv(&moved))?;
    }
    if let Some(file) = plot_file {
        let figure = args
            .figure
            .map_or_else(|| liveliest(&moved), Wanted::figure);
        let plot = plot(&moved, figure).ok_or(CliError::NothingToDraw {
            figure: figure.name(),
        })?;
        report.remark(format!("Wrote {}: {}.", file.path.display(), figure.name()));
        file.write(plot.svg_file(context.units))?;
    }
    let fluid = context.fluid(loaded.rig.fuel.composition.label())?;
    Context::model(&mut report, fluid.as_ref());
    Ok(report)
}

/// Why a key that is moved changes no figure of a duty, no mass and no finding.
fn why_still(rig: &Rig, key: &str) -> &'static str {
    let own = |d: &Duty| d.injector_pressure.is_some();
    let with_train = !rig.train.parts().is_empty();
    let (table, rest) = key.split_once('.').unwrap_or((key, ""));
    match (table, rest) {
        ("tolerance", _) => "only `tolerance` draws from it",
        ("switch", _) => "only `convert` reads it",
        ("injector", "pressure") if rig.duties.iter().all(own) => {
            "every duty gives an `injector_pressure` of its own"
        }
        ("injector", "pressure") | ("duties", _)
            if with_train
                && rest.ends_with("pressure")
                && matches!(rig.injector.size, HoleSize::Diameter(_)) =>
        {
            "the holes have a diameter, and the train sets the pressure before them"
        }
        ("injector", "pressure") if matches!(rig.injector.size, HoleSize::Diameter(_)) => {
            "the holes have a diameter, and each duty is shown at the pressure that its fuel needs"
        }
        ("duties", _) if rest.ends_with("duration") => {
            "it is how long the duty lasts: `tank` shows what it asks of the supply"
        }
        ("steps" | "schedule", _) => "it is the run plan: `tank` shows what it asks of the supply",
        _ => {
            "no figure of a duty, no mass and no finding hangs on it within these steps; `train`, `tank` and `report` show the rest"
        }
    }
}

fn step(knob: &Knob<'_>, value: &str, context: &Context) -> Step {
    let value = value.to_owned();
    let loaded = match knob.set(&value, &context.library) {
        Ok(loaded) => loaded,
        Err(mistakes) => {
            let outcome = Err(first(&mistakes.list));
            let si = None;
            return Step { value, si, outcome };
        }
    };
    let solved = solve(&loaded.rig, &context.library, context.units);
    let outcome = solved.map(|s| Outcome::of(&s)).map_err(|e| e.to_string());
    let si = knob.in_si(&loaded, &context.library);
    Step { value, si, outcome }
}

/// The first mistake in a few words, and how many there are.
fn first(mistakes: &[crate::input::diagnostic::Diagnostic]) -> String {
    let shown = mistakes
        .first()
        .map_or_else(String::new, |d| format!("[{}] {}", d.code, d.message));
    match mistakes.len() {
        0 | 1 => shown,
        n => format!("{shown} (and {} more)", n - 1),
    }
}
