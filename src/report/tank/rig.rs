//! The tank of a rig: what each duty needs of it, the run of its schedule, a blend as it empties, filling and
//! strength.

mod contents;
mod run;

use super::rig_keys;
use crate::audit::Solution;
use crate::audit::solution::{TankSolution, TankStudy};
use crate::fuel::Library;
use crate::quantity::sentence::{flow, sentence};
use crate::quantity::show::Show;
use crate::quantity::{AbsolutePressure, Kind, ThermodynamicTemperature};
use crate::report::{Column, Fact, Report, Table, Value, audit_supply};
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
    report.facts("Tank", overview(s, tank));
    report.table("What each duty needs of it", needs(s, tank));
    report.table("What one cylinder can give", gives(tank, study));
    why_not(report, tank, study);
    more_than_wanted(report, s);
    match &study.warmth {
        Ok(_) => report.table("Over temperature", over_temperature(s, tank, study)),
        Err(why) => report.remark(format!("There is no table over temperature: {why}.")),
    }
    match &study.run {
        Ok(done) => run::the_run(report, s, done, asked),
        Err(why) => report.remark(format!("The tank is not run: {why}.")),
    }
    match &study.emptying {
        Some(Ok(e)) => contents::emptying(report, s, tank, e),
        Some(Err(why)) => report.remark(format!("The blend is not followed as it empties: {why}.")),
        None => {}
    }
    report.facts("Filling", contents::filling(s, tank, study));
    report.facts("What the wall has to hold", contents::strength(s, study));
    assumptions(report, tank, study);
    rests_on(report, library, study);
    rig_keys::keys(report, s, tank, study);
}

fn gauge(s: &Solution<'_>, p: AbsolutePressure) -> f64 {
    p.pascals() - s.rig.site.air_pressure.pascals()
}

fn degrees(s: &Solution<'_>, t: ThermodynamicTemperature) -> String {
    s.show(Kind::Temperature, t.value)
}

fn kelvin(t: &Result<ThermodynamicTemperature, String>) -> Value {
    Value::of(Kind::Temperature, t.as_ref().ok().map(|t| t.value))
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

fn needs(s: &Solution<'_>, tank: &TankSolution) -> Table {
    let blend = s.fluid.composition().parts().len() > 1;
    let mut columns = vec![
        Column::new("duty"),
        Column::of("least pressure", Kind::GaugePressure).digits(3),
        Column::new("set by"),
        Column::of("coldest tank", Kind::Temperature).digits(3),
    ];
    if blend {
        columns.push(Column::of("nearly empty", Kind::Temperature).digits(3));
    }
    columns.push(Column::of("line behind regulator", Kind::GaugePressure).digits(3));
    let mut table = Table::new(columns);
    for d in &tank.duties {
        let lowest = d.lowest.as_ref().ok();
        let mut row = vec![
            Value::Text(d.name.clone()),
            Value::of(Kind::GaugePressure, lowest.map(|l| gauge(s, l.pressure))),
            Value::Text(lowest.map_or_else(String::new, |l| l.limited_by.clone())),
            kelvin(&d.coldest),
        ];
        if blend {
            row.push(kelvin(&d.coldest_nearly_empty));
        }
        row.push(Value::of(
            Kind::GaugePressure,
            d.line_pressure.map(|p| gauge(s, p)),
        ));
        table.row(row);
    }
    table
}

fn gives(tank: &TankSolution, study: &TankStudy) -> Table {
    let mut table = Table::new(vec![
        Column::new("duty"),
        Column::of("draw of one", Kind::MassRate).digits(3),
        Column::of("kept up for ever", Kind::MassRate).digits(3),
        Column::of("kept up nearly empty", Kind::MassRate).digits(3),
        Column::of("longest draw", Kind::Time).digits(3),
        Column::of("most for that long", Kind::MassRate).digits(3),
    ]);
    for (d, more) in tank.duties.iter().zip(&study.duties) {
        table.row(vec![
            Value::Text(d.name.clone()),
            Value::of(Kind::MassRate, d.draw.value),
            Value::of(
                Kind::MassRate,
                d.sustainable.as_ref().ok().map(|x| x.draw.value),
            ),
            Value::of(
                Kind::MassRate,
                more.sustainable_nearly_empty.as_ref().ok().map(|w| w.value),
            ),
            Value::of(Kind::Time, more.longest.map(|t| t.value)),
            Value::of(Kind::MassRate, more.largest.as_ref().ok().map(|w| w.value)),
        ]);
    }
    table
}

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
            ("draw kept up for ever", d.sustainable.as_ref().err()),
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

/// Duties that draw more than the fuel their least pressure is worked out for.
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
                flow(duty.wanted.value).digits(3),
                flow(outlet.flow.value).digits(3)
            ));
        }
    }
}

fn over_temperature(s: &Solution<'_>, tank: &TankSolution, study: &TankStudy) -> Table {
    let blend = s.fluid.composition().parts().len() > 1;
    let mut columns = vec![
        Column::of("tank", Kind::Temperature).digits(3),
        Column::of("pressure", Kind::GaugePressure).digits(3),
        Column::new("feeds"),
    ];
    if blend {
        columns.push(Column::of("nearly empty", Kind::GaugePressure).digits(3));
        columns.push(Column::new("then feeds"));
    }
    let mut table = Table::new(columns);
    for w in study.warmth.iter().flatten() {
        let fed = |pick: fn(&(bool, bool)) -> bool| {
            let names = w.fed(tank, pick);
            Value::Text(if names.is_empty() {
                "none".to_owned()
            } else if names.len() == tank.duties.len() {
                "all".to_owned()
            } else {
                names.join(", ")
            })
        };
        let p = &w.pressures;
        let mut row = vec![
            Value::of(Kind::Temperature, p.temperature.value),
            Value::of(Kind::GaugePressure, gauge(s, p.full)),
            fed(|f| f.0),
        ];
        if blend {
            row.push(Value::of(Kind::GaugePressure, gauge(s, p.nearly_empty)));
            row.push(fed(|f| f.1));
        }
        table.row(row);
    }
    table
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
    report.assume("draws kept up for ever are as uncertain as the heat that comes in");
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
