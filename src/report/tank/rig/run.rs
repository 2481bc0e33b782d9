//! The run of a rig's tank: outcome, remedies, series, events, wall.

use super::super::{
    MOST_EVENTS, Shown, coil, highest_dew_point, if_liquid, names, remedies, rows, series,
    vaporiser,
};
use super::{degrees, gauge};
use crate::audit::Solution;
use crate::audit::solution::StudiedRun;
use crate::quantity::Kind;
use crate::report::{Column, Fact, Report, Table, Value, figures};
use crate::tank::heat_gain::{HeatFlow, Surface};
use crate::tank::record::{Event, Happening};
use crate::tank::schedule::Schedule;

/// Adds it.
pub(super) fn the_run(report: &mut Report, s: &Solution<'_>, run: &StudiedRun, asked: bool) {
    let (q, a) = (&run.question, &run.answer);
    let level = figures::Level {
        kind: Kind::GaugePressure,
        zero_pa: s.rig.site.air_pressure.pascals(),
    };
    report.facts("Run", told(s, run));
    remedies(report, q, a, s.units);
    let needed = figures::needed(&q.schedule, a.run.end.value, level.zero_pa);
    for plot in figures::tank_run(&a.run, needed, level, s.units) {
        report.plot("Over the run", plot);
    }
    for plot in figures::contents_run(&a.run, &names(q), s.units) {
        report.plot("Over the run", plot);
    }
    let shown = Shown {
        level,
        steps: true,
        rows: rows(report, a, asked),
    };
    report.table("Over the run", series(q, a, &shown));
    report.table("What happens", events(s, run));
    let more = a.run.events.len().saturating_sub(MOST_EVENTS);
    if more > 0 {
        report.remark(format!(
            "{more} more things happen later in the run; JSON has all of them."
        ));
    }
    report.facts("Wall where the tank is coldest", wall(s, a.wall.as_ref()));
    let mut facts = vaporiser(a);
    if !facts.is_empty() {
        facts.extend(coil(q, a, s.units));
    }
    report.facts("Vaporiser of the liquid drawn", facts);
    if_liquid(report, q, a, s.units);
}

fn told(s: &Solution<'_>, run: &StudiedRun) -> Vec<Fact> {
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
    if let Some(why) = &a.run.stopped_by {
        facts.push(Fact::text("Stopped by", why.clone()));
    }
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
    facts.push(Fact::of("Drawn", Kind::Mass, a.run.drawn.value));
    facts.push(Fact::of("Heat taken up", Kind::Energy, a.run.heat.value));
    facts.extend(highest_dew_point(a));
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

fn events(s: &Solution<'_>, run: &StudiedRun) -> Table {
    let mut table = Table::new(vec![
        Column::of("time", Kind::Time).digits(3),
        Column::new("step"),
        Column::new("what"),
        Column::of("pressure", Kind::GaugePressure).digits(3),
        Column::of("temperature", Kind::Temperature).digits(3),
    ]);
    for e in run.answer.run.events.iter().take(MOST_EVENTS) {
        let step = run.question.schedule.steps.get(e.step);
        table.row(vec![
            Value::of(Kind::Time, e.time.value),
            Value::Text(step.map_or_else(String::new, |s| s.name.clone())),
            Value::from(e.what.text()),
            Value::of(Kind::GaugePressure, gauge(s, e.contents.pressure)),
            Value::of(Kind::Temperature, e.contents.temperature.value),
        ]);
    }
    table
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
