//! Everything about a rig in chapters: verdict and findings first, inputs as given last.

use super::audit::LineOf;
use super::record::{Row, record, table};
use super::{Block, Finding, Report};
use super::{
    audit, audit_supply, checklist, diagram, figures, json, leak_plan, leak_test, mass, plan,
    shutdown, tolerance, train, trapped,
};
use crate::audit::checklist::checklist as checked;
use crate::audit::solution::{TankSolution, train_with_curve};
use crate::audit::{Audit, Solution};
use crate::fuel::Library;
use crate::tolerance::{Sampling, tolerance as spread};
use crate::train::rig::Supply;

pub use super::audit::VERDICT;

record! {
    /// A finding of a part of the report.
    ToWatch(f: &Finding) {
        (signal): Text = f.signal.word(), "signal";
        (what): Text = &f.name, "what";
        (measured): Text = &f.measured, "measured";
        (limit): Text = &f.limit, "limit";
        (advice): Text = &f.advice, "advice";
        (source): Text = &f.source, "source" [optional];
    }

    /// The rig at a glance.
    AtAGlance(page: &Page<'_>)
    with {
        rig = page.solution.rig;
        site = &rig.site;
        tank = match &rig.supply {
            Supply::Tank(tank) => Some(tank),
            Supply::Mains(_) => None,
        };
        beside = tank.filter(|t| t.number > 1).map(|t| format!("{} side by side", t.number));
    }
    {
        (rig): Text = &rig.name, "Rig";
        (notes): Text = rig.notes.as_deref(), "Notes";
        (file): Text = page.path, "File";
        (fuel): Text = rig.fuel.composition.label(), "Fuel";
        (tank): Volume = tank.map(|t| t.volume), "Tank", note beside;
        (air_pressure): AbsolutePressure = site.air_pressure, "Air pressure";
        (ambient): Temperature = site.ambient, "Ambient";
        (coldest): Temperature = site.coldest, "Coldest day";
        (hottest): Temperature = site.hottest, "Hottest day";
        (duties): Count = rig.duties.len(), "Duties";
    }
}

/// Samples behind the bands; `tolerance` takes as many as it is asked for.
const SAMPLES: usize = 2000;

/// Points of the throttle curve.
const CURVE_POINTS: u32 = 20;

/// What a report is made of.
#[derive(Clone, Copy)]
pub struct Page<'a> {
    /// Citations.
    pub library: &'a Library,
    /// The rig, solved.
    pub solution: &'a Solution<'a>,
    /// What the rules found.
    pub audit: &'a Audit,
    /// Line of the rig file for a path of the rig.
    pub line_of: LineOf<'a>,
    /// Path of the rig file as given.
    pub path: &'a str,
    /// Text of the rig file.
    pub text: &'a str,
}

/// Adds all chapters but the last two, which [`inputs`] adds.
pub fn rig(report: &mut Report, page: &Page<'_>) {
    let (library, solution) = (page.library, page.solution);
    report.key("report", solution.rig.name.as_str());
    report.chapter("Verdict and findings");
    audit::verdict(report, page.solution, page.audit);
    for plot in diagram::plots(solution, page.audit) {
        report.plot(VERDICT, plot);
    }
    audit::findings(report, solution, page.audit, page.line_of);
    report.chapter("The rig");
    report.facts("The rig", AtAGlance::row(page).facts());
    report.chapter("Duties");
    audit::duties(report, library, solution);
    super::flames::flames(report, solution);
    report.chapter("Injector");
    plan::plan(report, library, solution, true);
    report.chapter("Train");
    train_chapter(report, page);
    if solution.rig.supply.tank().is_some() {
        report.chapter("Tank");
        audit_supply::tank(report, library, solution);
        if let Ok(TankSolution { run: Ok(run), .. }) = solution.tank() {
            for plot in figures::rig_run(solution, run) {
                report.plot("The run", plot);
            }
        }
    }
    report.chapter("Mass");
    let whole_kg = solution.inventory().whole().value;
    nested(report, "mass", |report| {
        mass::solved(report, library, solution);
    });
    report.number("mass_kg", whole_kg);
    releases(report, page);
    tolerances(report, page);
}

/// What the bands of the rig make of its duties.
fn tolerances(report: &mut Report, page: &Page<'_>) {
    report.chapter("Tolerance");
    let found = Sampling::new(SAMPLES, 1)
        .map_err(|e| e.to_string())
        .and_then(|sampling| {
            spread(page.solution, sampling, false, &mut |_| {}).map_err(|e| e.to_string())
        });
    match found {
        Ok(found) => nested(report, "tolerance", |report| {
            tolerance::tolerance(report, page.library, page.solution, &found);
        }),
        Err(why) => report.paragraph("Tolerance", format!("Not known: {why}.")),
    }
}

/// Adds the list for the test day and the rig file, whose lines the findings name.
pub fn inputs(report: &mut Report, page: &Page<'_>) {
    report.chapter("Checklist");
    let list = checked(page.solution, page.audit);
    checklist::checklist(report, &list, page.solution.units);
    report.chapter("Inputs as given");
    report.block("Inputs as given", Block::Listing(page.text.to_owned()));
    report.chapter("Model");
}

/// What stops the fuel, what valves can trap, and the leak test.
fn releases(report: &mut Report, page: &Page<'_>) {
    let (solution, rig) = (page.solution, page.solution.rig);
    report.chapter("Leaks");
    match solution.leaks() {
        Ok(plan) => {
            for plot in figures::around(plan, &rig.site) {
                report.plot("How far a leak reaches", plot);
            }
            nested(report, "leak", |report| {
                leak_plan::plan(report, page.library, solution, plan);
            });
        }
        Err(why) => report.paragraph("Leaks", format!("Not known: {why}.")),
    }
    report.chapter("When something fails");
    nested(report, "shutdown", |report| {
        shutdown::failures(report, solution.failures(), false);
    });
    report.chapter("Trapped liquid");
    match solution.trapped() {
        Ok(sections) => nested(report, "trapped", |report| {
            trapped::sections(report, rig, sections, false);
        }),
        Err(why) => report.paragraph("Trapped liquid", format!("Not known: {why}.")),
    }
    report.chapter("Leak test");
    nested(report, "leak_test", |report| {
        leak_test::records(report, rig, solution.judged_leak_tests(), solution.units);
        match (solution.leak_test_plan(), solution.joints()) {
            (Ok(plan), Ok(joints)) => {
                leak_test::plan(report, rig, plan);
                leak_test::joints(report, rig, joints);
            }
            (Err(why), _) | (_, Err(why)) => {
                report.paragraph("Leak test", format!("Not planned: {why}."));
            }
        }
    });
}

fn train_chapter(report: &mut Report, page: &Page<'_>) {
    let solution = page.solution;
    match train_with_curve(solution, CURVE_POINTS) {
        Ok(planned) => nested(report, "train", |report| {
            train::plan(report, page.library, solution, &planned);
        }),
        Err(why) => report.paragraph("Train", format!("The train is not solved: {why}.")),
    }
}

/// Puts what a writer adds to the JSON object under a key of its own, and its findings into a table: those
/// of the report are the audit's.
pub fn nested<T>(report: &mut Report, key: &str, write: impl FnOnce(&mut Report) -> T) -> T {
    let outer = std::mem::take(&mut report.json);
    let audited = report.findings.take();
    let result = write(report);
    let own = std::mem::replace(&mut report.findings, audited);
    if let Some(own) = own {
        report.key("findings", json::findings(&own));
        let rows: Vec<Row> = own.iter().map(ToWatch::row).collect();
        report.table("What to watch", table(&rows));
    }
    let inner = std::mem::replace(&mut report.json, outer);
    report.key(key, inner);
    result
}
