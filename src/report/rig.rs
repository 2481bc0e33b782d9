//! Everything about a rig in chapters: verdict and findings first, inputs as given last.

use super::audit::LineOf;
use super::{Block, Column, Fact, Finding, Report, Table, Value};
use super::{
    audit, audit_supply, checklist, figures, json, leak_plan, leak_test, mass, plan, shutdown,
    tolerance, train, trapped,
};
use crate::audit::checklist::checklist as checked;
use crate::audit::solution::{TankSolution, train_with_curve};
use crate::audit::{Audit, Solution};
use crate::fuel::Library;
use crate::quantity::Kind;
use crate::tolerance::{Sampling, tolerance as spread};
use crate::train::rig::Supply;

pub use super::audit::VERDICT;

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
    audit::findings(report, library, solution, page.audit, page.line_of);
    report.chapter("The rig");
    report.facts("The rig", at_a_glance(page));
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
    checklist::checklist(report, &checked(page.solution, page.audit));
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
        report.table("What to watch", findings_table(&own));
    }
    let inner = std::mem::replace(&mut report.json, outer);
    report.key(key, inner);
    result
}

fn findings_table(found: &[Finding]) -> Table {
    let mut table = Table::new(vec![
        Column::new("signal"),
        Column::new("what"),
        Column::new("measured"),
        Column::new("limit"),
        Column::new("advice"),
        Column::new("source").optional(),
    ]);
    for f in found {
        table.row(vec![
            Value::from(f.signal.word()),
            Value::Text(f.name.clone()),
            Value::Text(f.measured.clone()),
            Value::Text(f.limit.clone()),
            Value::Text(f.advice.clone()),
            Value::Text(f.source.clone()),
        ]);
    }
    table
}

fn at_a_glance(page: &Page<'_>) -> Vec<Fact> {
    let rig = page.solution.rig;
    let site = &rig.site;
    let mut facts = vec![Fact::text("Rig", rig.name.as_str())];
    if let Some(notes) = &rig.notes {
        facts.push(Fact::text("Notes", notes.as_str()));
    }
    facts.push(Fact::text("File", page.path));
    facts.push(Fact::text("Fuel", rig.fuel.composition.label()));
    if let Supply::Tank(tank) = &rig.supply {
        let tanks = Fact::of("Tank", Kind::Volume, tank.volume.value);
        facts.push(match tank.number {
            1 => tanks,
            n => tanks.note(format!("{n} side by side")),
        });
    }
    facts.push(Fact::of(
        "Air pressure",
        Kind::AbsolutePressure,
        site.air_pressure.pascals(),
    ));
    facts.push(Fact::of("Ambient", Kind::Temperature, site.ambient.value));
    let days = [("Coldest day", site.coldest), ("Hottest day", site.hottest)];
    for (name, t) in days {
        if let Some(t) = t {
            facts.push(Fact::of(name, Kind::Temperature, t.value));
        }
    }
    facts.push(Fact::new("Duties", Value::Count(rig.duties.len())));
    facts
}
