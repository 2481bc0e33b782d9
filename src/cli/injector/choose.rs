//! `injector --choose`: which holes to drill.

use super::InjectorArgs;
use crate::choose::demands::{COUNT, DEMANDS, can_be_given_up};
use crate::choose::flags::{settings, with};
use crate::choose::search::search;
use crate::choose::told::{none, told};
use crate::choose::{Combination, Options, Problem, SMALLEST_BY_HAND_M};
use crate::cli::context::Context;
use crate::cli::error::{CliError, FlagProblem};
use crate::cli::feed::some_length;
use crate::cli::flags::quantity;
use crate::cli::progress::{progress, stopped};
use crate::cli::rig;
use crate::cli::save::{free, write_new};
use crate::combustion::flame::burner::check_equivalence_ratio;
use crate::injector::drill_set::drill_set;
use crate::injector::drills::Drill;
use crate::injector::size::{InjectorInput, size};
use crate::input::parse;
use crate::quantity::sentence::Told;
use crate::quantity::show::{number, rounded};
use crate::quantity::suggest::nearest;
use crate::quantity::{AbsolutePressure, Length, MassRate, Ratio};
use crate::report::choices::{choices, title};
use crate::report::injector::Written;
use crate::report::{Report, Topic, audit};
use std::path::Path;

/// Drills where nobody says which there are.
const USUAL_DRILLS: &str = "metric";

/// Flags of the search.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "Choosing holes")]
pub struct ChooseArgs {
    /// Find number, drill and pressure, and tell the best ten; --holes (1 to 48 if left out), --equivalence-ratio and, without
    /// a rig, --upstream may be ranges such as 4-24, 0.25-0.35 and "0.5-3 barg"; of a rig the train gives the pressure as it is set.
    #[arg(long, conflicts_with_all = ["diameter", "template"])]
    pub choose: bool,
    /// Drills that you have: series (metric, number, letter, fraction), names and sizes with commas between, or one
    /// size alone as the step between sizes; those of the rig file or metric if left out.
    #[arg(long, value_name = "LIST", requires = "choose")]
    pub drills: Option<String>,
    /// Smallest drill that you would use; 0.5 mm if left out, thinner ones break and their holes clog.
    #[arg(long, value_name = "D", value_parser = quantity::<Length>, requires = "choose")]
    pub smallest_drill: Option<Length>,
    /// Demands that need not be met, with commas between: stiffness, one-kind, turndown, spread, reach, dew-point,
    /// quenching.
    #[arg(long, value_name = "LIST", requires = "choose")]
    pub give_up: Option<String>,
    /// Choice that --write writes, by its number; the first if left out.
    #[arg(long, value_name = "N", requires_all = ["choose", "write"])]
    pub pick: Option<usize>,
}

impl ChooseArgs {
    fn drills(&self, own: &[Drill], report: &mut Report) -> Result<Vec<Drill>, CliError> {
        let given = self.drills.as_deref();
        if given.is_none() && !own.is_empty() {
            return Ok(own.to_vec());
        }
        if given.is_none() {
            report.assume("Metric drills are taken: --drills says which there are.");
        }
        let words: Vec<&str> = given.unwrap_or(USUAL_DRILLS).split(',').collect();
        let drills = drill_set(&words).map_err(|error| CliError::Flag {
            flag: "drills",
            problem: FlagProblem::Drills { why: error.told() },
        })?;
        if let ([step], true) = (&words[..], drills.len() > 1)
            && step.contains(|c: char| c.is_ascii_digit())
        {
            let step = step.trim();
            report.remark(format!("Drills in steps of {step} are taken; for the one drill write --drills \"{step},{step}\"."));
        }
        Ok(drills)
    }

    fn given_up(&self) -> Result<[bool; COUNT], CliError> {
        let mut given_up = [false; COUNT];
        let words = self.give_up.iter().flat_map(|list| list.split(','));
        for word in words.map(str::trim) {
            let place = DEMANDS.iter().position(|d| d.word == word && !d.must);
            let place = place.ok_or_else(|| CliError::Flag {
                flag: "give-up",
                problem: FlagProblem::NoDemand {
                    given: word.to_owned(),
                    suggestion: nearest(word, can_be_given_up()).map(str::to_owned),
                },
            })?;
            given_up[place] = true;
        }
        Ok(given_up)
    }

    /// What is asked of any holes; `own`: drills of the rig file.
    fn options(
        &self,
        args: &InjectorArgs,
        own: &[Drill],
        context: &Context,
        report: &mut Report,
    ) -> Result<Options, CliError> {
        some_length("smallest-drill", self.smallest_drill, context)?;
        let ratios = args.equivalence_ratio.map(|r| r.ends(|r| r.value));
        if let Some((low, high)) = ratios {
            check_equivalence_ratio(low)?;
            check_equivalence_ratio(high)?;
        }
        Ok(Options {
            counts: args.holes.map(|n| (n.least, n.most)),
            drills: self.drills(own, report)?,
            ratios,
            smallest_drill_m: self.smallest_drill.map_or(SMALLEST_BY_HAND_M, |d| d.value),
            given_up: self.given_up()?,
        })
    }
}

/// Searches until somebody wants it to end, and tells what was found: the choice that is to be written.
fn searched(
    problem: &Problem<'_>,
    args: &InjectorArgs,
    air: AbsolutePressure,
    coefficient: Option<Ratio>,
    (context, report): (&Context, &mut Report),
) -> Result<Combination, CliError> {
    let counts = problem.space.counts.len();
    let progress = progress(context.progress, counts, "numbers of holes searched");
    let found = search(problem, &stopped(), &|| progress.inc(1));
    let Some(first) = found.choices.first() else {
        let why = none(problem, &found, context.units, air);
        return Err(CliError::NoHoles { why });
    };
    let told = told(problem, &found, context.units);
    report.title = title(&told, context.units, air);
    choices(report, &told, air);
    let findings = problem.findings(first.judged.combination);
    audit::judged(report, &findings, (context.units, air), &|_| None);
    if let Some(c) = coefficient {
        report.remark(format!("The discharge coefficient given, {}, is taken for every drill: one that was measured on other holes or a nozzle does not hold here. Flow-test one hole of the drill chosen before all are drilled.", number(c.value)));
    }
    let n = args.choosing.pick.unwrap_or(1);
    let picked = n.checked_sub(1).and_then(|i| found.choices.get(i));
    picked
        .map(|s| s.judged.combination)
        .ok_or_else(|| CliError::Flag {
            flag: "pick",
            problem: FlagProblem::NoChoice {
                given: n.to_string(),
                count: found.choices.len(),
            },
        })
}

/// Holes for one duty, whose fuel flow is wanted in the middle of the ratios.
///
/// # Errors
/// Wrong drills or demands, no pressure of the range at which the fuel is what the holes are for, no holes that will do.
pub(super) fn from_flags(
    args: &InjectorArgs,
    input: InjectorInput<'_>,
    wanted: MassRate,
    liquid: bool,
    (low, high): (AbsolutePressure, AbsolutePressure),
    context: &Context,
) -> Result<Report, CliError> {
    let mut report = Report::new(Topic::Injector, String::new());
    let air = context.ambient;
    let options = args.choosing.options(args, &[], context, &mut report)?;
    let pressures_pa = settings((low.pascals(), high.pascals()), air.pascals());
    let problem = Problem::of_flags(input, &options, pressures_pa, air, wanted, liquid)?;
    let coefficient = args.discharge_coefficient;
    let picked = searched(&problem, args, air, coefficient, (context, &mut report))?;
    if let Some(path) = &args.write {
        let solved = size(&with(&input, &problem.space, picked))?;
        super::written_rig::write(path, args, &solved, context, &mut report)?;
    }
    Context::model(&mut report, input.fluid);
    Ok(report)
}

/// Holes for all duties of a rig.
///
/// # Errors
/// A rig file with mistakes, wrong drills or demands, a rig without a duty that can be looked at, no holes that will do.
pub(super) fn for_rig(
    path: &Path,
    args: &InjectorArgs,
    context: &Context,
) -> Result<Report, CliError> {
    if let Some(path) = &args.write {
        free(path)?;
    }
    let loaded = rig::load(path, context)?;
    let injector = &loaded.rig.injector;
    let mut report = Report::new(Topic::Injector, String::new());
    let options = args
        .choosing
        .options(args, &injector.drills, context, &mut report)?;
    let problem = Problem::of_rig(&loaded.rig, &context.library, context.units, &options)?
        .map_err(|why| CliError::NoInjector { why })?;
    let (air, coefficient) = (loaded.rig.site.air_pressure, injector.discharge_coefficient);
    let picked = searched(&problem, args, air, coefficient, (context, &mut report))?;
    report.assume("Pressures before the holes are those that supply, regulator and train give as the file sets them; other set points are not searched: `fuelwright train RIG --ranges` finds which would do.");
    if options.ratios.is_some() {
        report.remark("Every duty aims at the ratio of --equivalence-ratio; the rig file keeps its own targets.");
    }
    if let Some(new) = &args.write {
        let d_m = problem.space.diameter(picked).value;
        let diameter = format!("\"{} mm\"", rounded(d_m * 1e3, 6));
        let text = loaded.with_holes(picked.holes, &diameter);
        parse(&loaded.path, &text, &context.library)?;
        write_new(new, &text)?;
        let new = new.display().to_string();
        report.remark(format!("Wrote {new}: audit it, then drill."));
        report.keys(&Written::row(&new));
    }
    let solution = rig::solve(&loaded, context)?;
    Context::model(&mut report, solution.fluid.as_ref());
    Ok(report)
}
