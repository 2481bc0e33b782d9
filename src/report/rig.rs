//! Everything about a rig: the sheets first, then the appendix in chapters, inputs as given last.

use super::record::record;
use super::sheets::sheets;
use super::{Block, FINDINGS, Report};
use super::{
    audit, audit_supply, figures, leak_plan, leak_test, mass, plan, shutdown, tolerance, train,
    trapped,
};
use crate::audit::solution::{TankSolution, train_with_curve};
use crate::tolerance::{Sampling, Tolerance, tolerance as spread};
use crate::train::rig::Supply;

pub use super::audit::VERDICT;
pub use super::part::{Page, nested};

record! {
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

/// Adds the sheets and all chapters of the appendix but the last two, which [`inputs`] adds.
pub fn rig(report: &mut Report, page: &Page<'_>) {
    let (library, solution) = (page.library, page.solution);
    report.key("report", solution.rig.name.as_str());
    let spread = Sampling::new(SAMPLES, 1)
        .map_err(|e| e.to_string())
        .and_then(|drawn| spread(solution, drawn, false, &mut |_| {}).map_err(|e| e.to_string()));
    sheets(report, page, &spread);
    report.appendix();
    report.chapter(FINDINGS);
    report.paragraph(
        FINDINGS,
        "Each with its place, the source of its limit and all of its advice.",
    );
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
    tolerances(report, page, &spread);
}

/// What the bands of the rig make of its duties.
fn tolerances(report: &mut Report, page: &Page<'_>, spread: &Result<Tolerance, String>) {
    report.chapter("Tolerance");
    match spread {
        Ok(found) => nested(report, "tolerance", |report| {
            tolerance::tolerance(report, page.library, page.solution, found);
        }),
        Err(why) => report.paragraph("Tolerance", format!("Not known: {why}.")),
    }
}

/// Adds the rig file, whose lines the findings name.
pub fn inputs(report: &mut Report, page: &Page<'_>) {
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
