//! What a person carries to the rig: verdict, line diagram, findings and duties; where to stand and what stops the
//! fuel; the checklist. All else of a report is its appendix.

use super::audit::{VERDICT, verdict};
use super::part::{Page, nested};
use super::{Block, Column, Report, Table, Value, checklist, diagram, figures, shutdown};
use crate::audit::DutySolution;
use crate::audit::checklist::checklist as checked;
use crate::audit::solution::Burns;
use crate::quantity::Kind;
use crate::quantity::show::{Shown, banded, number};
use crate::tolerance::{Quantity, Tolerance};

/// Heading of the second sheet.
const STAND: &str = "Where to stand";
/// What the ruler can tell and what it cannot.
const MEASURED: &str = "Operator and others: from the fire. Reach: from the leak, which may be nearer to them than the fire. Full bar: best \
     estimate; open end: at most. Still air; heavy gas runs on along the floor.";

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
            let ruler = figures::ruler(plan, solution.rig);
            let within = figures::within(&ruler, solution.units);
            if !within.is_empty() {
                report.paragraph(STAND, within);
            }
            report.plot(STAND, figures::stand(ruler));
            report.paragraph(STAND, MEASURED);
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

/// The figures of a duty, each with the result of the draws that is its band; the first and the one of heat give way
/// on a narrow page.
const FIGURES: [(&str, Option<Kind>, Option<Quantity>); 5] = [
    ("air", Some(Kind::MassRate), None),
    ("fuel", Some(Kind::MassRate), Some(Quantity::Flow)),
    ("equivalence ratio", None, Some(Quantity::EquivalenceRatio)),
    ("heat release", Some(Kind::Power), Some(Quantity::Heat)),
    ("exit", Some(Kind::Temperature), Some(Quantity::Exit)),
];

/// The duties with the bands of their figures.
fn duties(report: &mut Report, page: &Page<'_>, spread: &Result<Tolerance, String>) {
    let solution = page.solution;
    let mut columns = vec![Column::new("duty")];
    let names = solution
        .duties
        .iter()
        .map(|d| vec![Value::Text(d.name.clone())]);
    let mut rows: Vec<Vec<Value>> = names.collect();
    let burns = |d: &DutySolution| d.burns(solution.as_fed(d).as_ref());
    let burns: Vec<Option<Burns>> = solution.duties.iter().map(burns).collect();
    for (name, kind, of) in FIGURES {
        let figures = solution.duties.iter().zip(&burns);
        let figures = figures.map(|(d, burns)| figure(d, *burns, of, spread));
        let figures: Vec<Option<[f64; 3]>> = figures.collect();
        let largest = figures.iter().flatten().map(|f| f[0].abs());
        let largest = largest.fold(0.0, f64::max);
        let shown = kind.map(|kind| Shown::suited(kind, largest, solution.units));
        let column = Column::new(match &shown {
            Some(shown) => format!("{name}, {}", shown.symbol()),
            None => name.to_owned(),
        });
        columns.push(match of {
            None | Some(Quantity::Heat) => column.optional(),
            _ => column,
        });
        for (row, figure) in rows.iter_mut().zip(figures) {
            let in_unit = |si: f64| shown.as_ref().map_or(si, |s| s.convert(si));
            row.push(match figure.map(|f| f.map(in_unit)) {
                Some([value, low, high]) if high > low => {
                    let [value, low, high] = banded(value, low, high);
                    Value::Text(format!("{value} ({low} to {high})"))
                }
                Some([value, ..]) => Value::Text(number(value)),
                None => Value::Absent,
            });
        }
    }
    report.table("Duties", Table { columns, rows });
    let told = match spread {
        Ok(found) => format!(
            "In brackets what nine of ten of {} rigs do, drawn from the bands of the rig file.",
            found.sampling.samples()
        ),
        Err(why) => format!("Bands are not known: {why}."),
    };
    report.paragraph("Duties", told);
}

/// A figure of a duty, of what it burns, with the ends of its band; without a band all three are one.
fn figure(
    duty: &DutySolution,
    burns: Option<Burns>,
    of: Option<Quantity>,
    spread: &Result<Tolerance, String>,
) -> Option<[f64; 3]> {
    let value = match of {
        None => duty.air?.value,
        Some(Quantity::Flow) => burns?.fuel.value,
        Some(Quantity::EquivalenceRatio) => burns?.equivalence_ratio.value,
        Some(Quantity::Heat) => burns?.heat_release.value,
        Some(Quantity::Exit) => burns?.exit?.value,
    };
    let drawn = spread.as_ref().ok().and_then(|found| {
        let drawn = found.duties.iter().find(|d| d.name == duty.name)?;
        drawn.spread(of?)
    });
    Some(drawn.map_or([value; 3], |s| [value, s.band.low.value, s.band.high.value]))
}
