//! What a person carries to the rig: verdict, line diagram, findings and duties; where to stand and what stops the
//! fuel; the checklist. All else of a report is its appendix.

use super::audit::{VERDICT, verdict};
use super::part::{Page, nested};
use super::{Block, Column, Report, Table, Value, checklist, diagram, figures, shutdown};
use crate::audit::DutySolution;
use crate::audit::checklist::checklist as checked;
use crate::quantity::Kind;
use crate::quantity::show::{Shown, banded, number};
use crate::tolerance::{DutyTolerance, Quantity, Tolerance};

/// Heading of the second sheet.
const STAND: &str = "Where to stand";

/// Adds the sheets: what they show stands in the JSON of the appendix.
pub(super) fn sheets(report: &mut Report, page: &Page<'_>, spread: &Result<Tolerance, String>) {
    let solution = page.solution;
    report.chapter(VERDICT);
    verdict(report, solution, page.audit);
    for plot in diagram::plots(solution, page.audit) {
        report.plot(VERDICT, plot);
    }
    duties(report, page, spread);
    report.chapter(STAND);
    match solution.leaks() {
        Ok(plan) => {
            report.plot(STAND, figures::stand(plan, solution.rig));
            report.paragraph(STAND, "Operator and others are measured from the fire, the reach of a leak from the leak: nobody knows where that \
                 will be, and it may be nearer to them. A full bar is the best estimate, the open end of it the most. Still \
                 air; heavy gas runs on along the floor.");
        }
        Err(why) => report.paragraph(
            STAND,
            format!("How far a leak reaches is not known: {why}."),
        ),
    }
    report.block("Cautions", Block::Cautions);
    nested(report, "shutdown", |report| {
        shutdown::failures(report, solution.failures(), true);
    });
    report.chapter("Checklist");
    report.paragraph("Checklist", "Tick each line, and write readings on its right. Stop at the first line that cannot be ticked.");
    let list = checked(solution, page.audit);
    checklist::checklist(report, &list, solution.units);
}

/// A figure of the duties: what it is, and of which result of the draws.
const FIGURES: [(&str, Option<Kind>, Quantity); 4] = [
    ("fuel", Some(Kind::MassRate), Quantity::Flow),
    ("equivalence ratio", None, Quantity::EquivalenceRatio),
    ("heat release", Some(Kind::Power), Quantity::Heat),
    ("exit", Some(Kind::Temperature), Quantity::Exit),
];

/// The duties with the bands of their figures.
fn duties(report: &mut Report, page: &Page<'_>, spread: &Result<Tolerance, String>) {
    let solution = page.solution;
    let units = solution.units;
    let drawn = |duty: &DutySolution| -> Option<&DutyTolerance> {
        let duties = &spread.as_ref().ok()?.duties;
        duties.iter().find(|d| d.name == duty.name)
    };
    let mut columns = vec![
        Column::new("duty"),
        Column::of("air", Kind::MassRate).digits(3),
    ];
    let mut rows: Vec<Vec<Value>> = Vec::new();
    for duty in &solution.duties {
        let air = Value::of(Kind::MassRate, duty.air.map(|a| a.value));
        rows.push(vec![Value::Text(duty.name.clone()), air]);
    }
    for (name, kind, of) in FIGURES {
        let cell = |duty: &DutySolution| {
            let spread = drawn(duty).and_then(|d| d.spread(of));
            let value = spread
                .and_then(|s| s.nominal)
                .or_else(|| wanted(duty, of))?;
            Some((value, spread.map(|s| (s.band.low.value, s.band.high.value))))
        };
        let cells: Vec<_> = solution.duties.iter().map(cell).collect();
        let largest = cells
            .iter()
            .flatten()
            .map(|c| c.0.abs())
            .fold(0.0, f64::max);
        let shown = kind.map(|kind| Shown::suited(kind, largest, units));
        let convert = |si: f64| shown.as_ref().map_or(si, |s| s.convert(si));
        columns.push(Column::new(match &shown {
            Some(shown) => format!("{name}, {}", shown.symbol()),
            None => name.to_owned(),
        }));
        for (row, cell) in rows.iter_mut().zip(cells) {
            row.push(match cell {
                Some((value, Some((low, high)))) => {
                    let [value, low, high] = [value, low, high].map(convert);
                    let [value, low, high] = banded(value, low, high);
                    Value::Text(format!("{value} ({low} to {high})"))
                }
                Some((value, None)) => Value::Text(number(convert(value))),
                None => Value::Absent,
            });
        }
    }
    report.table("Duties", Table { columns, rows });
    report.paragraph(
        "Duties",
        match spread {
            Ok(found) => format!(
                "In brackets what nine of ten of {} rigs do, drawn from the bands of the rig file.",
                found.sampling.samples()
            ),
            Err(why) => format!("Bands are not known: {why}."),
        },
    );
}

/// What a duty wants.
fn wanted(duty: &DutySolution, of: Quantity) -> Option<f64> {
    let demand = duty.demand.as_ref().ok()?;
    match of {
        Quantity::Flow => Some(demand.fuel.value),
        Quantity::EquivalenceRatio => Some(demand.equivalence_ratio.value),
        Quantity::Heat => Some(demand.heat_release.value),
        Quantity::Exit => duty.exit_temperature().map(|t| t.value),
    }
}
