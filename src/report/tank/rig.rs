//! The tank of a rig: what each duty needs of it, the run of its schedule, a blend as it empties, filling and
//! strength.

mod contents;
mod run;

use super::keys::Run;
use super::rig_keys::OfRig;
use crate::audit::Solution;
use crate::audit::solution::{TankSolution, TankStudy};
use crate::fuel::Library;
use crate::quantity::sentence::{flow, sentence};
use crate::quantity::show::Show;
use crate::quantity::{AbsolutePressure, Kind, ThermodynamicTemperature};
use crate::report::record::{Row, table_of};
use crate::report::{Fact, Report, Table, audit_supply};
use crate::tank::heat_gain::HeatGain;
use crate::tank::schedule::Drawn;
use crate::train::plan::INJECTOR;

/// Adds all of it to a report.
///
/// * `asked` — whether the interval between rows of the run was asked for, so that not just a few are shown
pub fn of_rig(
    report: &mut Report,
    library: &Library,
    s: &Solution<'_>,
    tank: &TankSolution,
    study: &TankStudy,
    asked: bool,
) {
    let air_pa = s.rig.site.air_pressure.pascals();
    let run = study.run.as_ref().ok();
    let run = run.map(|r| Run::row(&r.question, &r.answer, air_pa, s.units));
    let row = OfRig::row(s, tank, study, run);
    report.facts("Tank", overview(s, tank));
    report.table("What each duty needs of it", needs(s, row.rows("duties")));
    report.table(
        "What one cylinder can give",
        table_of(row.rows("duties"), &GIVES),
    );
    why_not(report, tank, study);
    more_than_wanted(report, s);
    match &study.warmth {
        Ok(_) => report.table("Over temperature", over_temperature(s, &row)),
        Err(why) => report.remark(format!("There is no table over temperature: {why}.")),
    }
    match &study.run {
        Ok(done) => run::the_run(report, s, done, &row, asked),
        Err(why) => report.remark(format!("The tank is not run: {why}.")),
    }
    match &study.emptying {
        Some(Ok(e)) => contents::emptying(report, s, tank, e, &row),
        Some(Err(why)) => report.remark(format!("The blend is not followed as it empties: {why}.")),
        None => {}
    }
    report.facts("Filling", contents::filling(s, tank, study));
    let strength = row.row("strength").map(Row::facts);
    report.facts("What the wall has to hold", strength.unwrap_or_default());
    assumptions(report, tank, study);
    rests_on(report, library, study);
    report.keys(&row);
}

fn degrees(s: &Solution<'_>, t: ThermodynamicTemperature) -> String {
    s.show(Kind::Temperature, t.value)
}

// ---- the tank ------------------------------------------------------------------------------------

fn overview(s: &Solution<'_>, tank: &TankSolution) -> Vec<Fact> {
    let mut facts = Vec::new();
    if tank.number > 1 {
        let all = format!("{} alike", tank.number);
        facts.push(Fact::text("Cylinders", all).note("masses and flows below are those of one"));
    }
    if let Ok(c) = &tank.start {
        facts.push(Fact::text(
            "At the start",
            format!(
                "{} at {}, {} of fuel, {} of the volume liquid",
                s.gauge(c.pressure),
                degrees(s, c.temperature),
                s.show(Kind::Mass, c.mass().value),
                s.show(Kind::Ratio, c.liquid_volume.value),
            ),
        ));
    }
    facts.push(Fact::text("Heat comes from", surroundings(s, tank)));
    let spec = s.rig.supply.tank();
    facts.push(match &tank.hottest {
        Ok(hot) => {
            let held = |p: Option<AbsolutePressure>, over, told: &str, what: &str| match p {
                Some(p) if over => format!("; {told} {}", s.gauge(p)),
                Some(p) => format!("; {what} {}", s.gauge(p)),
                None => format!("; no {what} given"),
            };
            let over_rating = hot.to_rating.is_some_and(|m| m.pascals() < 0.0);
            let relief = spec.and_then(|t| t.relief_pressure);
            let rating = spec.and_then(|t| t.rating);
            Fact::text(
                "On the hottest day",
                format!(
                    "{} at {}{}{}",
                    s.gauge(hot.pressure),
                    s.rig
                        .hottest_tank()
                        .map_or_else(String::new, |t| degrees(s, t)),
                    held(relief, hot.relief_opens(), "the relief OPENS at", "relief"),
                    held(rating, over_rating, "OVER rating of", "rating"),
                ),
            )
        }
        Err(why) => Fact::text("On the hottest day", format!("not known: {why}")),
    });
    facts
}

fn surroundings(s: &Solution<'_>, tank: &TankSolution) -> String {
    match &tank.cylinder.tank.heat_gain {
        HeatGain::Insulated => match &tank.cylinder.heat {
            Ok(()) => "nowhere".to_owned(),
            Err(why) => format!("not known: {why}"),
        },
        HeatGain::Conductance {
            conductance,
            ambient,
        } => format!(
            "surroundings at {}, {}",
            degrees(s, *ambient),
            s.show(Kind::ThermalConductance, conductance.value)
        ),
        HeatGain::Air { air, frost, .. } => {
            let wind = if air.wind.value > 0.0 {
                format!("wind {}", s.show(Kind::Velocity, air.wind.value))
            } else {
                "still".to_owned()
            };
            let frost = frost.map_or_else(
                || "no frost counted".to_owned(),
                |f| {
                    format!(
                        "{} of frost with {}",
                        f.thickness.show(s.units),
                        s.show(Kind::Conductivity, f.conductivity.value)
                    )
                },
            );
            format!("air at {}, {wind}; {frost}", degrees(s, air.temperature))
        }
        HeatGain::WaterBath { temperature, .. } => {
            format!("a still water bath at {}", degrees(s, *temperature))
        }
    }
}

// ---- duties --------------------------------------------------------------------------------------

fn is_blend(s: &Solution<'_>) -> bool {
    s.fluid.composition().parts().len() > 1
}

fn needs(s: &Solution<'_>, duties: &[Row]) -> Table {
    let mut keys = vec!["name", "lowest_pressure_pa", "limited_by", "coldest_tank_k"];
    if is_blend(s) {
        keys.push("coldest_tank_nearly_empty_k");
    }
    keys.push("line_pressure_pa");
    let mut table = table_of(duties, &keys);
    if let Some(column) = table.columns.get_mut(2) {
        "set by".clone_into(&mut column.heading);
    }
    table
}

/// What one cylinder gives.
const GIVES: [&str; 6] = [
    "name",
    "draw_kg_s",
    "sustainable_draw_kg_s",
    "sustainable_draw_nearly_empty_kg_s",
    "largest_draw_for_s",
    "largest_draw_kg_s",
];

/// Why a cell of the tables above is empty; a reason that several cells have stands once.
fn why_not(report: &mut Report, tank: &TankSolution, study: &TankStudy) {
    for (d, more) in tank.duties.iter().zip(&study.duties) {
        let reasons = [
            ("least pressure", d.lowest.as_ref().err()),
            ("coldest tank", d.coldest.as_ref().err()),
            (
                "coldest nearly empty tank",
                d.coldest_nearly_empty.as_ref().err(),
            ),
            ("sustainable draw", d.sustainable.as_ref().err()),
            (
                "draw of a nearly empty tank",
                more.sustainable_nearly_empty.as_ref().err(),
            ),
            ("largest draw", more.largest.as_ref().err()),
        ];
        let mut told: Vec<&String> = Vec::new();
        for (what, why) in reasons {
            let Some(why) = why.filter(|w| !told.contains(w)) else {
                continue;
            };
            told.push(why);
            report.remark(format!("{}: no {what}: {why}.", d.name));
        }
    }
}

/// Share by which a train without a throttle passes more than a duty wants, below which nothing is said.
const MORE: f64 = 0.02;

/// Duties that draw more than the fuel their least pressure is computed for.
fn more_than_wanted(report: &mut Report, s: &Solution<'_>) {
    let plan = s.train().as_ref();
    for duty in plan.iter().flat_map(|p| &p.duties) {
        let Some(outlet) = duty.solution.as_ref().ok().and_then(|d| d.outlet(INJECTOR)) else {
            continue;
        };
        if outlet.flow.value > (1.0 + MORE) * duty.wanted.value {
            report.remark(sentence!(
                "{}: at its least pressure it gets the {} that it wants; as the tank starts, the train passes {}.",
                &duty.name,
                flow(duty.wanted.value),
                flow(outlet.flow.value)
            ));
        }
    }
}

fn over_temperature(s: &Solution<'_>, row: &Row) -> Table {
    let keys = [
        "temperature_k",
        "pressure_pa",
        "feeds",
        "nearly_empty_pressure_pa",
        "nearly_empty_feeds",
    ];
    let shown = if is_blend(s) { &keys[..] } else { &keys[..3] };
    table_of(row.rows("temperatures"), shown)
}

// ---- what it rests on ----------------------------------------------------------------------------

fn assumptions(report: &mut Report, tank: &TankSolution, study: &TankStudy) {
    report.assume("the tank does not stretch");
    report.assume("at the least pressure a duty just gets the fuel that it wants, throttle wide open and every regulator at or above its least inlet: there is no reserve in it. The vapour is taken as cold as a tank of that pressure gives it: warmer it is thinner, and the holes need more pressure");
    if let Ok(run) = &study.run {
        let q = &run.question;
        super::assumptions(report, q);
        if !run.from_plan {
            report.assume(audit_supply::NO_PLAN);
        }
        if q.schedule.steps.iter().any(|s| s.phase == Drawn::Vapour)
            && run.answer.run.first_failure().is_some()
        {
            report.assume("rows after a failure are as if it could still be drawn");
        }
    }
    audit_supply::cylinders(report, tank);
    report.assume("sustainable draws are as uncertain as the heat that comes in");
    report.assume("nearly empty means a twentieth of the liquid, the rest drawn off slowly");
}

fn rests_on(report: &mut Report, library: &Library, study: &TankStudy) {
    if let Ok(run) = &study.run {
        super::cite(report, library, &run.question, &run.answer);
    }
    if study.emptying.is_some() {
        report.cite(library, "rayleigh1902");
    }
}
