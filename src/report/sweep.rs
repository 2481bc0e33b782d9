//! One value of a rig moved step by step, for people and machines.

mod changes;

use super::Report;
use super::cautions::CLOSING_IN_FIGURE;
use super::mark::FileKind;
use super::outcome::{DutyOutcome, Figures, FindingCounts, KeyFigures, Outcome, figures};
use super::plot::{Axis, Figure as Drawing, Lines, Plot, Series};
use super::record::{Line, Row, record, table_of};
use super::thin::{MOST_ROWS, Thinned};
use crate::audit::Signal;
use crate::quantity::parse::number_and_unit;
use crate::quantity::printable::on_a_line;
use changes::moves;

record! {
    /// A step.
    Stepped(step: &Step)
    with { outcome = step.outcome.as_ref().ok(); }
    {
        ..outcome: Row(KeyFigures) = outcome.map(KeyFigures::row);
        /// The value, as it would be written in the file.
        value: Text = &step.value, "value";
        ..si: Row(ReadAs) = outcome.map(|_| ReadAs::row(step));
        /// Why the step makes no rig.
        refused: Text = step.outcome.as_ref().err(), "refused because";
    }

    /// The value as it is read.
    ReadAs(step: &Step)
    with { si = step.si.as_ref(); }
    {
        /// The number behind the value, SI.
        value_si: Number = si.map(|(x, _)| *x);
        /// Its unit; a pressure level says whether it is gauge or absolute.
        value_si_unit: Text = si.map(|(_, unit)| unit);
    }

    /// A value moved step by step.
    Moved(sweep: &Sweep, still: Option<&str>) {
        /// The key that is moved.
        key: Text = &sweep.key;
        /// Its value in the file.
        written: Text = &sweep.written;
        steps: Rows(Stepped) = sweep.steps.iter().map(Stepped::row).collect::<Vec<_>>();
        /// Why no step moves anything, if none does.
        moves_nothing: Text = still;
    }

    /// A line of the file.
    FileLine(step: &Step, duty: Option<&DutyOutcome>)
    with { outcome = step.outcome.as_ref().ok(); }
    {
        value: Text = &step.value;
        duty: Text = duty.map(|d| &d.name);
        ..figures: Row(Figures) = duty.map(|d| d.figures.clone());
        hole_diameter_m: Length = outcome.and_then(|o| o.holes).map(|(_, d_m)| d_m);
        mass_kg: Mass = outcome.map(|o| o.mass_kg);
        ..counts: Row(FindingCounts) = outcome.map(|o| FindingCounts::row("", &o.findings));
        refused: Text = step.outcome.as_ref().err();
        ..si: Row(ReadAs) = outcome.map(|_| ReadAs::row(step));
        cautions: Text = CLOSING_IN_FIGURE.join(" ");
        written_by: Text = FileKind::SweepTable.blank();
    }
}

/// One step: the value as it would be written, and what the rig gives, or why it is refused.
#[derive(Debug, Clone)]
pub struct Step {
    /// Value.
    pub value: String,
    /// Value as the reader has it, in SI units, with the unit (empty for a plain number); a pressure level says
    /// whether it is gauge or absolute. `None` where the rig was refused.
    pub si: Option<(f64, String)>,
    /// Key figures, or why the rig was refused.
    pub outcome: Result<Outcome, String>,
}

/// A sweep.
#[derive(Debug, Clone)]
pub struct Sweep {
    /// Key that is moved.
    pub key: String,
    /// Its value in the file.
    pub written: String,
    /// Steps, in order.
    pub steps: Vec<Step>,
}

/// Adds a sweep; `still` says why it moves nothing, where that is so.
pub fn sweep(report: &mut Report, sweep: &Sweep, still: Option<&str>) {
    let shown = shown(report, sweep);
    changes::duties(report, sweep, &shown);
    for figure in figures() {
        if let Some(plot) = plot(sweep, figure).filter(|_| moves(sweep, figure) > 0.0) {
            report.plot("Duties", plot);
        }
    }
    changes::findings(report, sweep);
    let refused = shown.iter().filter(|s| s.outcome.is_err());
    let refused: Vec<Row> = refused.map(|s| Stepped::row(s)).collect();
    report.table("Refused", table_of(&refused, &["value", "refused"]));
    for step in &shown {
        for duty in step.outcome.iter().flat_map(|o| &o.duties) {
            if let Some(why) = &duty.why_not {
                report.remark(format!(
                    "At {}, {} is not fed: {why}.",
                    step.value, duty.name
                ));
            }
        }
    }
    report.remark(format!(
        "In the file, `{}` is {}. Every step is read and checked as a rig file of its own.",
        sweep.key, sweep.written
    ));
    let mut outcomes = sweep.steps.iter().flat_map(|s| &s.outcome);
    report.alarms = outcomes.any(Outcome::has_alarms);
    report.keys(&Moved::row(sweep, still));
    if let Some(why) = still {
        report.remark(format!("`{}` moves nothing here: {why}.", sweep.key));
    }
}

/// The steps that tables and notes speak of, and a word where that is not all of them. A step at which a duty is no
/// longer fed or fed again, findings come or go, or the rig is refused or no longer so, stays.
fn shown<'a>(report: &mut Report, sweep: &'a Sweep) -> Vec<&'a Step> {
    let steps = &sweep.steps;
    let rows = |step: &Step| step.outcome.as_ref().map_or(1, |o| o.duties.len());
    let rows = steps.iter().map(rows).max().unwrap_or(1).max(1);
    let thinned = Thinned::new(steps.len(), (MOST_ROWS / rows).max(2));
    if thinned.nth == 1 {
        return steps.iter().collect();
    }
    let state = |step: &Step| {
        let outcome = step.outcome.as_ref().ok()?;
        let fed = outcome.duties.iter().map(|d| d.why_not.is_none());
        Some((
            fed.collect::<Vec<bool>>(),
            Signal::ALL.map(|s| outcome.count(s)),
        ))
    };
    let states: Vec<_> = steps.iter().map(state).collect();
    let changes = |i: usize| i > 0 && states[i - 1] != states[i];
    let kept: Vec<&Step> = (0..steps.len())
        .filter(|&i| thinned.shows(i) || changes(i))
        .map(|i| &steps[i])
        .collect();
    report.remark(format!(
        "Tables and notes speak of one step in {} of {}, of the last, and of those at which something is fed, found or refused that was not before; JSON and --csv have all of them.",
        thinned.nth, thinned.count
    ));
    kept
}

/// A sweep as comma-separated values: one line a step and duty, SI units, refused steps with their reason.
/// `value` is as it would be written in the file, `value_si` the number behind it. The closing caution and
/// the mark of the program stand in every line, so that no part of the table goes without them: such files have no
/// comments (RFC 4180).
#[allow(clippy::missing_panics_doc)] // lines are equally long, and memory takes them
pub fn csv(sweep: &Sweep) -> String {
    let mut table = csv::Writer::from_writer(Vec::new());
    let mut write = |line: Vec<Option<String>>| {
        let cells = line.into_iter().map(Option::unwrap_or_default);
        let printable = cells.map(|cell| on_a_line(&cell).into_owned());
        let written = table.write_record(printable.collect::<Vec<String>>());
        written.expect("a cell for every heading");
    };
    let headings = FileLine::shape().flat().into_iter();
    write(headings.map(|line| Some(line.key.to_owned())).collect());
    for step in &sweep.steps {
        match &step.outcome {
            Err(_) => write(FileLine::row(step, None).texts()),
            Ok(outcome) => {
                for duty in &outcome.duties {
                    write(FileLine::row(step, Some(duty)).texts());
                }
            }
        }
    }
    let bytes = table.into_inner().expect("memory takes what is written");
    String::from_utf8(bytes).expect("lines are text")
}

/// A figure of every duty over the steps; `None` where fewer than two steps have it.
pub(crate) fn plot(sweep: &Sweep, figure: &Line) -> Option<Plot> {
    let at = |step: &Step| number_and_unit(&step.value).map(|(x, _)| x);
    let unit = sweep
        .steps
        .iter()
        .find_map(|s| number_and_unit(&s.value).map(|(_, unit)| unit))
        .filter(|unit| !unit.is_empty());
    let mut series: Vec<Series> = Vec::new();
    for step in &sweep.steps {
        let (Some(x), Ok(outcome)) = (at(step), &step.outcome) else {
            continue;
        };
        for duty in &outcome.duties {
            let Some(y) = duty.figures.number(figure.key) else {
                continue;
            };
            match series.iter_mut().find(|s| s.name == duty.name) {
                Some(line) => line.points.push((x, y)),
                None => series.push(Series {
                    name: duty.name.clone(),
                    points: vec![(x, y)],
                }),
            }
        }
    }
    series.retain(|s| s.points.len() > 1);
    for line in &mut series {
        line.points.sort_by(|a, b| a.0.total_cmp(&b.0));
    }
    if series.is_empty() {
        return None;
    }
    let across = unit.map_or_else(
        || sweep.key.clone(),
        |unit| format!("{}, {unit}", sweep.key),
    );
    let names: Vec<&str> = series.iter().map(|s| s.name.as_str()).collect();
    let description = format!(
        "{} over {} for {}: {} steps; the table has the figures.",
        figure.name(),
        sweep.key,
        names.join(", "),
        sweep.steps.len()
    );
    let lines = Lines {
        x: Axis::plain(across),
        y: figure.kind().map_or_else(
            || Axis::plain(figure.name()),
            |kind| Axis::of(figure.name(), kind),
        ),
        series,
        points: Vec::new(),
        limits: Vec::new(),
    };
    let title = format!("{} over {}", figure.name(), sweep.key);
    Some(Plot::new(title, description, Drawing::Lines(lines)))
}

/// The figure that moves most over the steps.
pub(crate) fn liveliest(sweep: &Sweep) -> &'static Line {
    figures()
        .iter()
        .max_by(|a, b| moves(sweep, a).total_cmp(&moves(sweep, b)))
        .unwrap_or(&figures()[0])
}

impl Sweep {
    /// Whether no figure of a duty, no mass and no finding changes over the steps.
    pub fn is_still(&self) -> bool {
        let outcomes: Option<Vec<&Outcome>> =
            self.steps.iter().map(|s| s.outcome.as_ref().ok()).collect();
        let Some([first, rest @ ..]) = outcomes.as_deref() else {
            return false;
        };
        let same = |o: &&Outcome| {
            let fed = |o: &Outcome| -> Vec<bool> {
                o.duties.iter().map(|d| d.why_not.is_none()).collect()
            };
            let mass = (o.mass_kg - first.mass_kg).abs() <= 1e-9 * first.mass_kg;
            mass && o.findings == first.findings && fed(o) == fed(first)
        };
        rest.iter().all(same) && figures().iter().all(|f| moves(self, f) <= 0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::show::Units;
    use crate::report::{Topic, text};

    /// A sweep of four duties: the last is not fed from a step on, and a range of steps is refused.
    fn long(steps: usize) -> Sweep {
        let step = |i: usize| {
            let duty = |k: usize| DutyOutcome {
                name: format!("duty {k}"),
                figures: Figures::row(None, None, None, Some(i as f64), None),
                why_not: (k == 3 && i >= 777).then(|| "too little pressure".to_owned()),
            };
            let outcome = Outcome {
                duties: (0..4).map(duty).collect(),
                holes: None,
                findings: Vec::new(),
                mass_kg: 1.0,
            };
            Step {
                value: format!("{i} K"),
                si: None,
                outcome: if (501..=502).contains(&i) {
                    Err("too cold".to_owned())
                } else {
                    Ok(outcome)
                },
            }
        };
        Sweep {
            key: "site.ambient_temperature".to_owned(),
            written: "\"15 degC\"".to_owned(),
            steps: (0..steps).map(step).collect(),
        }
    }

    #[test]
    fn tables_of_a_long_sweep_are_thinned_with_a_word_and_keep_steps_at_which_something_changes() {
        let mut report = Report::new(Topic::Audit, "A sweep");
        sweep(&mut report, &long(1000), None);
        let text = text::render(&report, Units::Si, 100);
        // (1000 - 1) / 99, rounded up: one in 11, so 91 steps and 999; then 501, 503 and 777
        let starts = |line: &&str| line.trim_start().split(" K ").count() > 1;
        let duties = text.split("Findings").next().expect("the first table");
        let shown: Vec<&str> = duties.lines().filter(starts).collect();
        assert!(shown.len() < 100, "{}", shown.len());
        for step in [0, 11, 503, 777, 999] {
            let lead = format!("  {step} K ");
            assert!(shown.iter().any(|l| l.starts_with(&lead)), "{step}: {text}");
        }
        assert!(
            text.contains("501 K") && text.contains("too cold"),
            "{text}"
        );
        let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains("one step in 11 of 1000,"), "{flat}");
        assert!(flat.contains("At 777 K, duty 3 is not fed"), "{flat}");
        assert!(!flat.contains("At 778 K, duty 3 is not fed"), "{flat}");
        let all = report.json["steps"].as_array().expect("a list");
        assert_eq!(all.len(), 1000);
        assert_eq!(csv(&long(1000)).lines().count(), 1 + 998 * 4 + 2);
    }

    #[test]
    fn a_short_sweep_shows_every_step() {
        let mut report = Report::new(Topic::Audit, "A sweep");
        sweep(&mut report, &long(100), None);
        let text = text::render(&report, Units::Si, 100);
        assert!(!text.contains("one step in"), "{text}");
        assert!((0..100).all(|i| text.contains(&format!("  {i} K "))));
    }
}
