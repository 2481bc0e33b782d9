//! `injector --choose`: which holes to drill.

use super::InjectorArgs;
use crate::choose::demands::{COUNT, DEMANDS, can_be_given_up};
use crate::choose::flags::{FromFlags, settings};
use crate::choose::rig::{MOST_HOLES, OfRig, Options};
use crate::choose::{
    Asked, Combination, Found, Problem, SMALLEST_BY_HAND_M, Space, Target, search, told,
};
use crate::cli::context::Context;
use crate::cli::error::{CliError, FlagProblem};
use crate::cli::feed::some_length;
use crate::cli::flags::quantity;
use crate::cli::progress::{progress, stopped};
use crate::cli::rig;
use crate::cli::save::{free, write_new};
use crate::combustion::Flammability;
use crate::combustion::flame::burner::check_equivalence_ratio;
use crate::injector::drill_set::drill_set;
use crate::injector::drills::Drill;
use crate::injector::size::InjectorInput;
use crate::input::parse;
use crate::quantity::sentence::Told;
use crate::quantity::suggest::nearest;
use crate::quantity::{AbsolutePressure, Length, Ratio, metres};
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
    /// a rig, --upstream may be ranges such as 4-24, 0.25-0.35 and "0.5-3 barg"; of a rig the train gives the pressure.
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
        match &self.drills {
            None if !own.is_empty() => Ok(own.to_vec()),
            given => {
                if given.is_none() {
                    report.assume("Metric drills are taken: --drills says which there are.");
                }
                let words: Vec<&str> = given
                    .as_deref()
                    .unwrap_or(USUAL_DRILLS)
                    .split(',')
                    .collect();
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
        }
    }

    fn smallest(&self, context: &Context) -> Result<Length, CliError> {
        some_length("smallest-drill", self.smallest_drill, context)?;
        Ok(self.smallest_drill.unwrap_or(metres(SMALLEST_BY_HAND_M)))
    }

    fn given_up(&self) -> Result<[bool; COUNT], CliError> {
        let mut given_up = [false; COUNT];
        for word in self
            .give_up
            .iter()
            .flat_map(|list| list.split(','))
            .map(str::trim)
        {
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

    /// The choice that is to be written.
    fn picked(&self, found: &Found) -> Result<Combination, CliError> {
        let n = self.pick.unwrap_or(1);
        let picked = n.checked_sub(1).and_then(|i| found.choices.get(i));
        picked.map(|s| s.combination).ok_or_else(|| CliError::Flag {
            flag: if self.pick.is_some() { "pick" } else { "write" },
            problem: FlagProblem::NoChoice {
                given: n.to_string(),
                count: found.choices.len(),
            },
        })
    }
}

/// Searches with progress, until somebody wants it to end.
fn searched(problem: &dyn Problem, context: &Context) -> Found {
    let counts = problem.space().counts.len();
    let progress = progress(context.progress, counts, "numbers of holes searched");
    let stopped = stopped();
    search(problem, &stopped, &|| progress.inc(1))
}

/// Writes what was found.
fn tell(
    report: &mut Report,
    problem: &dyn Problem,
    found: &Found,
    context: &Context,
    air: AbsolutePressure,
) {
    let told = told(problem, found, context.units);
    report.title = title(&told, context.units, air);
    choices(report, &told, air);
    let first = found.choices.first().or(found.nearest.as_ref());
    let findings = first.map_or_else(Vec::new, |s| problem.findings(s.combination));
    audit::judged(report, &findings, (context.units, air), &|_| None);
}

/// Holes for one duty.
///
/// # Errors
/// Wrong drills or demands, no pressure of the range at which the fuel is what the holes are for.
pub(super) fn from_flags(
    args: &InjectorArgs,
    input: InjectorInput<'_>,
    (wanted_kg_s, target, burns): (f64, (f64, f64), bool),
    liquid: bool,
    pressures: (AbsolutePressure, AbsolutePressure),
    context: &Context,
) -> Result<Report, CliError> {
    let mut report = Report::new(Topic::Injector, String::new());
    let air = context.ambient;
    let (chamber_pa, (low, high)) = (input.chamber.pascals(), pressures);
    let asked = Asked {
        targets: vec![Target {
            name: crate::input::raw::ALONE_DUTY.to_owned(),
            least: target.0,
            most: target.1,
            chamber_pa,
            over_air_pa: chamber_pa - air.pascals(),
        }],
        burns,
        smallest_drill_m: args.choosing.smallest(context)?.value,
        quenching_m: Flammability::of(input.fluid.composition())
            .ok()
            .and_then(|f| Some(f.quenching_distance?.value)),
        spread: crate::audit::rules::uneven_holes::USUAL,
        can_radius_m: None,
        liquid,
        low_pressure: high.pascals()
            < (1.0 + crate::audit::rules::soft_injector::LEAST) * chamber_pa,
        given_up: args.choosing.given_up()?,
    };
    let (least, most) = args.holes.map_or((1, MOST_HOLES), |n| (n.least, n.most));
    let space = Space {
        counts: (least..=most).collect(),
        drills: args.choosing.drills(&[], &mut report)?,
        pressures_pa: settings((low.pascals(), high.pascals()), air.pascals()),
    };
    let problem = FromFlags::new(input, asked, space, wanted_kg_s)?;
    let found = searched(&problem, context);
    tell(&mut report, &problem, &found, context, air);
    if let Some(c) = args.discharge_coefficient {
        told_of_coefficient(&mut report, c);
    }
    if let Some(path) = &args.write {
        let solved = problem.solved(args.choosing.picked(&found)?)?;
        super::written_rig::write(path, args, &solved, context, &mut report)?;
    }
    Context::model(&mut report, input.fluid);
    Ok(report)
}

/// Holes for all duties of a rig.
///
/// # Errors
/// A rig file with mistakes, wrong drills or demands, a rig without a duty that can be looked at.
pub(super) fn for_rig(
    path: &Path,
    args: &InjectorArgs,
    context: &Context,
) -> Result<Report, CliError> {
    if let Some(path) = &args.write {
        free(path)?;
    }
    let loaded = rig::load(path, context)?;
    let mut report = Report::new(Topic::Injector, String::new());
    let options = Options {
        counts: args.holes.map(|n| (n.least, n.most)),
        drills: args
            .choosing
            .drills(&loaded.rig.injector.drills, &mut report)?,
        ratios: args.equivalence_ratio.map(|r| r.ends(|r| r.value)),
        smallest_drill: args.choosing.smallest(context)?,
        given_up: args.choosing.given_up()?,
    };
    if let Some((low, high)) = options.ratios {
        check_equivalence_ratio(low)?;
        check_equivalence_ratio(high)?;
    }
    let problem = OfRig::new(&loaded.rig, &context.library, context.units, &options)?
        .map_err(|why| CliError::NoInjector { why })?;
    let found = searched(&problem, context);
    let air = loaded.rig.site.air_pressure;
    tell(&mut report, &problem, &found, context, air);
    if let Some(c) = loaded.rig.injector.discharge_coefficient {
        told_of_coefficient(&mut report, c);
    }
    if options.ratios.is_some() {
        report.remark("Every duty aims at the ratio of --equivalence-ratio; the rig file keeps its own targets.");
    }
    if let Some(new) = &args.write {
        let holes = problem.space().holes(args.choosing.picked(&found)?);
        let text = loaded.with_holes(holes.number, &length_text(holes.diameter_m));
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

/// That a coefficient goes with the holes that it was found on.
fn told_of_coefficient(report: &mut Report, c: Ratio) {
    let c = crate::quantity::show::number(c.value);
    report.remark(format!("The discharge coefficient given, {c}, is taken for every drill: one that was measured on other holes or a nozzle does not hold here. Flow-test one hole of the drill chosen before all are drilled."));
}

/// A diameter as a rig file has it.
fn length_text(d_m: f64) -> String {
    format!("\"{} mm\"", crate::quantity::show::rounded(d_m * 1e3, 6))
}
