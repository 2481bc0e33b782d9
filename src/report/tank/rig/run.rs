//! The run of a rig's tank: outcome, remedies, series, events, wall.

use super::super::{COIL, MOST_EVENTS, Shown, VAPORISER, if_liquid, names, remedies, rows, series};
use super::degrees;
use crate::audit::Solution;
use crate::audit::solution::StudiedRun;
use crate::quantity::Kind;
use crate::report::record::{Row, table_of};
use crate::report::{Fact, Report, figures};
use crate::tank::heat_gain::{HeatFlow, Surface};
use crate::tank::record::{Event, Happening};
use crate::tank::schedule::Schedule;

/// Adds it.
pub(super) fn the_run(
    report: &mut Report,
    s: &Solution<'_>,
    run: &StudiedRun,
    row: &Row,
    asked: bool,
) {
    let (q, a) = (&run.question, &run.answer);
    let level = figures::Level {
        kind: Kind::GaugePressure,
        zero_pa: s.rig.site.air_pressure.pascals(),
    };
    report.facts("Run", told(s, run, row));
    remedies(report, a, row);
    let needed = figures::needed(&q.schedule, a.run.end.value, level.zero_pa);
    for plot in figures::tank_run(&a.run, needed, level, s.units) {
        report.plot("Over the run", plot);
    }
    for plot in figures::contents_run(&a.run, &names(q.tank.backend.composition()), s.units) {
        report.plot("Over the run", plot);
    }
    let shown = Shown {
        pressure: "gauge",
        steps: true,
        rows: rows(report, a, asked),
    };
    report.table("Over the run", series(q, a, row, &shown));
    let events = row.rows("events");
    let columns = ["time_s", "step", "what", "pressure_pa", "temperature_k"];
    let first = &events[..events.len().min(MOST_EVENTS)];
    report.table("What happens", table_of(first, &columns));
    let more = events.len().saturating_sub(MOST_EVENTS);
    if more > 0 {
        report.remark(format!(
            "{more} more things happen later in the run; JSON has all of them."
        ));
    }
    report.facts("Wall where the tank is coldest", wall(s, a.wall.as_ref()));
    let mut facts = row.facts_of(&VAPORISER);
    if !facts.is_empty() {
        facts.extend(row.facts_of(&COIL));
    }
    report.facts("Vaporiser of the liquid drawn", facts);
    if_liquid(report, a, row);
}

fn told(s: &Solution<'_>, run: &StudiedRun, row: &Row) -> Vec<Fact> {
    let (q, a) = (&run.question, &run.answer);
    let from = if run.from_plan {
        "run plan of the file"
    } else {
        "the duties, in the order of the file"
    };
    let mut facts = vec![Fact::text("Schedule", schedule(s, &q.schedule)).note(from)];
    let outcome = match a.run.first_failure() {
        Some(e) => {
            let step = q.schedule.steps.get(e.step);
            let name = step.map_or("", |s| s.name.as_str());
            let needed = match e.what {
                Happening::PressureTooLow { needed } => format!(", {} needed", s.gauge(needed)),
                _ => String::new(),
            };
            let repeat = if q.schedule.repeats > 1 {
                format!(", round {}", e.repeat + 1)
            } else {
                String::new()
            };
            format!(
                "fails after {}, in {name}{repeat}: {} ({} at {}{needed})",
                s.show(Kind::Time, e.time.value),
                e.what.text(),
                s.gauge(e.contents.pressure),
                degrees(s, e.contents.temperature),
            )
        }
        None if a.run.complete => "every step is fed to its end".to_owned(),
        None => "not run to its end".to_owned(),
    };
    facts.push(Fact::text("Outcome", outcome));
    facts.extend(row.facts_of(&["stopped_by"]));
    let last = &a.run.last().contents;
    let end = Fact::text(
        "At the end",
        format!(
            "{} at {}, {} of fuel left, after {}",
            s.gauge(last.pressure),
            degrees(s, last.temperature),
            s.show(Kind::Mass, last.mass().value),
            s.show(Kind::Time, a.run.end.value),
        ),
    );
    let went_on = |e: &Event| e.time.value < a.run.end.value;
    facts.push(if a.run.first_failure().is_some_and(went_on) {
        end.note("as if it could be drawn on after the failure")
    } else {
        end
    });
    facts.extend(row.facts_of(&["drawn_kg", "heat_j", "highest_dew_point_k"]));
    facts
}

/// A schedule in one line.
fn schedule(s: &Solution<'_>, schedule: &Schedule) -> String {
    let steps: Vec<String> = schedule
        .steps
        .iter()
        .map(|step| format!("{} {}", step.name, s.show(Kind::Time, step.duration.value)))
        .collect();
    let times = if schedule.repeats > 1 {
        format!("; {} times", schedule.repeats)
    } else {
        String::new()
    };
    format!("{}{times}", steps.join(", "))
}

fn wall(s: &Solution<'_>, wall: Option<&HeatFlow>) -> Vec<Fact> {
    let Some(w) = wall else {
        return Vec::new();
    };
    let known = s.rig.site.relative_humidity.is_some();
    let forms = match (w.surface, known) {
        (Surface::Dry, true) => "nothing forms on it",
        (Surface::Dry, false) => "no frost; dew is not known without the humidity of the air",
        (Surface::Dew, _) => "water condenses on it",
        (Surface::Frost, _) => {
            "frost forms on it: it insulates, and `frost_thickness` counts a layer. Never heat a cylinder with a flame, hot water or tape not listed for it"
        }
    };
    let mut facts = vec![
        Fact::of("Wetted wall, outside", Kind::Temperature, w.wall.value),
        Fact::text("On it", forms),
        Fact::of("Heat in there", Kind::Power, w.heat.value).within(w.band.value),
    ];
    if let Some(h) = w.coefficient {
        let name = "Convection outside";
        facts.push(Fact::of(name, Kind::HeatTransfer, h.value).within(w.band.value));
    }
    facts
}
