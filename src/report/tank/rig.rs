//! The tank of a rig: what each duty needs of it, the run of its schedule, a blend as it empties, filling and
//! strength.

use super::{Shown, coil, highest_dew_point, names, rig_keys, series, vaporiser};
use crate::audit::Solution;
use crate::audit::solution::{
    Emptying, FILLING_REFERENCE_K, FILLING_SHARE, PAST_FULL_K, StudiedRun, TankSolution, TankStudy,
};
use crate::eos::MoleFractions;
use crate::fuel::Library;
use crate::quantity::show::Show;
use crate::quantity::{AbsolutePressure, Kind, PressureDifference, ThermodynamicTemperature};
use crate::report::{Column, Fact, Report, Table, Value, figures};
use crate::tank::heat_gain::{HeatFlow, HeatGain, Surface};
use crate::tank::schedule::{Drawn, Schedule};

/// Rows of the run that are shown where no interval was asked for; JSON has all.
const MOST_ROWS: usize = 16;

/// Adds all of it to a report.
///
/// * `all_rows` — whether every row of the run is shown, because its interval was asked for
pub fn of_rig(
    report: &mut Report,
    library: &Library,
    s: &Solution<'_>,
    tank: &TankSolution,
    study: &TankStudy,
    all_rows: bool,
) {
    report.facts("Tank", overview(s, tank));
    report.table("What each duty needs of it", needs(s, tank));
    report.table("What one cylinder can give", gives(tank, study));
    why_not(report, tank, study);
    match &study.warmth {
        Ok(_) => report.table("Over temperature", over_temperature(s, tank, study)),
        Err(why) => report.remark(format!("There is no table over temperature: {why}.")),
    }
    match &study.run {
        Ok(run) => the_run(report, s, run, all_rows),
        Err(why) => report.remark(format!("The tank is not run: {why}.")),
    }
    match &study.emptying {
        Some(Ok(e)) => emptying(report, s, tank, e),
        Some(Err(why)) => report.remark(format!("The blend is not followed as it empties: {why}.")),
        None => {}
    }
    report.facts("Filling", filling(s, tank, study));
    report.facts("What the wall has to hold", strength(s, study));
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
    let held = |p: Option<AbsolutePressure>, margin: Option<PressureDifference>, what: &str| match (
        p, margin,
    ) {
        (Some(p), Some(m)) if m.pascals() < 0.0 => {
            format!("; OVER {what} of {}", s.gauge(p))
        }
        (Some(p), _) => format!("; {what} {}", s.gauge(p)),
        (None, _) => format!("; no {what} given"),
    };
    facts.push(match &tank.hottest {
        Ok(hot) => Fact::text(
            "On the hottest day",
            format!(
                "{} at {}{}{}",
                s.gauge(hot.pressure),
                s.rig
                    .site
                    .hottest
                    .map_or_else(String::new, |t| degrees(s, t)),
                held(
                    spec.and_then(|t| t.relief_pressure),
                    hot.to_relief,
                    "relief"
                ),
                held(spec.and_then(|t| t.rating), hot.to_rating, "rating"),
            ),
        ),
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
        Column::of("nearly empty", Kind::MassRate).digits(3),
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
            let names: Vec<&str> = tank
                .duties
                .iter()
                .zip(&w.feeds)
                .filter(|(_, f)| f.as_ref().is_some_and(pick))
                .map(|(d, _)| d.name.as_str())
                .collect();
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

// ---- the run -------------------------------------------------------------------------------------

fn the_run(report: &mut Report, s: &Solution<'_>, run: &StudiedRun, all_rows: bool) {
    let (q, a) = (&run.question, &run.answer);
    let level = figures::Level {
        kind: Kind::GaugePressure,
        zero_pa: s.rig.site.air_pressure.pascals(),
    };
    report.facts("Run", told(s, run));
    if let Some(r) = &a.remedies {
        super::remedies(report, q, a, r, s.units);
    }
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
        most: if all_rows { usize::MAX } else { MOST_ROWS },
    };
    report.table("Over the run", series(q, a, &shown));
    report.table("What happens", events(s, run));
    report.facts("Wall where the tank is coldest", wall(s, a.wall.as_ref()));
    let mut facts = vaporiser(a);
    if !facts.is_empty() {
        facts.extend(coil(q, a, s.units));
    }
    report.facts("Vaporiser of the liquid drawn", facts);
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
            let needed = step
                .and_then(|s| s.lowest_pressure)
                .map_or_else(String::new, |p| format!(", {} needed", s.gauge(p)));
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
    facts.push(Fact::text(
        "At the end",
        format!(
            "{} at {}, {} of fuel left, after {}",
            s.gauge(last.pressure),
            degrees(s, last.temperature),
            s.show(Kind::Mass, last.mass().value),
            s.show(Kind::Time, a.run.end.value),
        ),
    ));
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
    for e in &run.answer.run.events {
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

// ---- emptying ------------------------------------------------------------------------------------

fn emptying(report: &mut Report, s: &Solution<'_>, tank: &TankSolution, e: &Emptying) {
    let parts = s.fluid.composition().parts();
    let name = |k: usize| parts.get(k).map_or("", |p| p.fuel.name.as_str());
    let heading = format!("Emptying slowly at {}", degrees(s, e.temperature));
    let mut columns = vec![
        Column::of("liquid left", Kind::Ratio).digits(2),
        Column::of("pressure", Kind::GaugePressure).digits(3),
    ];
    // of two components the second is the rest
    let shown = if parts.len() == 2 { 1 } else { parts.len() };
    for k in 0..shown {
        let of = |what: &str| Column::of(format!("{} in {what}", name(k)), Kind::Ratio).digits(3);
        let (liquid, vapour) = (of("liquid"), of("vapour"));
        columns.extend(if k > 1 {
            [liquid.optional(), vapour.optional()]
        } else {
            [liquid, vapour]
        });
    }
    columns.push(Column::of("dew point in the line", Kind::Temperature).digits(3));
    let mut table = Table::new(columns);
    for row in &e.rows {
        let mut cells = vec![
            Value::of(Kind::Ratio, row.left.value),
            Value::of(Kind::GaugePressure, gauge(s, row.pressure)),
        ];
        for k in 0..shown {
            cells.push(Value::of(Kind::Ratio, row.liquid[k]));
            cells.push(Value::of(Kind::Ratio, row.vapour[k]));
        }
        cells.push(Value::of(Kind::Temperature, row.dew_point.map(|t| t.value)));
        table.row(cells);
    }
    report.table(&heading, table);
    let composition = |x: &MoleFractions| {
        let all: Vec<String> = x
            .iter()
            .enumerate()
            .map(|(k, x)| format!("{} {}", name(k), s.show(Kind::Ratio, *x)))
            .collect();
        all.join(", ")
    };
    let rest = |(d, u): (&crate::audit::solution::TankDuty, _)| {
        let u: Option<crate::audit::solution::Unusable> = u;
        let u = u?;
        let what = if u.still_fed {
            "still fed with".to_owned()
        } else {
            "leaves".to_owned()
        };
        Some(Fact::text(
            format!("Heavy rest: {}", d.name),
            format!(
                "{what} {}, {} of the liquid ({})",
                s.show(Kind::Mass, u.mass.value),
                s.show(Kind::Ratio, u.share.value),
                composition(&u.liquid)
            ),
        ))
    };
    let duties = tank.duties.iter().zip(e.unusable.iter().copied());
    report.facts(&heading, duties.filter_map(rest).collect());
    match e.line {
        Some(line) => report.assume(format!(
            "dew points are those at {} behind the first regulator, the highest of all duties; before it vapour from the tank is always at its dew point",
            s.gauge(line)
        )),
        None => report.remark(
            "There is no regulator: what is drawn is at its dew point as far as the line has the pressure of the tank, and condenses in any line that is colder than the tank.",
        ),
    }
}

// ---- filling and strength ------------------------------------------------------------------------

fn filling(s: &Solution<'_>, tank: &TankSolution, study: &TankStudy) -> Vec<Fact> {
    let f = &tank.filling;
    let reference = s.show(Kind::Temperature, FILLING_REFERENCE_K);
    let mut facts = vec![Fact::of("Filled", Kind::Mass, f.mass.value)];
    let name = format!("Liquid at {reference}, by volume");
    facts.push(match &f.share {
        Ok(Some(share)) => Fact::of(name, Kind::Ratio, share.value),
        Ok(None) => Fact::text(name, "none: gas alone"),
        Err(why) => Fact::text(name, why.clone()),
    });
    facts.push(match &f.limit_by_volume {
        Ok(m) => Fact::of("Limit by volume", Kind::Mass, m.value).note(format!(
            "{} liquid at {reference}: common practice",
            s.show(Kind::Ratio, FILLING_SHARE)
        )),
        Err(why) => Fact::text("Limit by volume", format!("not known: {why}")),
    });
    facts.push(match &f.limit_by_weight {
        Ok(m) => Fact::of("Limit by weight", Kind::Mass, m.value)
            .from_source("wac296307")
            .note("table of filling densities; transport cylinders follow their own rules"),
        Err(why) => Fact::text("Limit by weight", format!("none: {why}")),
    });
    match f.liquid_full {
        Some(t) => {
            let name = "Liquid-full when warmed to";
            facts.push(Fact::of(name, Kind::Temperature, t.value).note("if nothing is drawn"));
            if let Some(p) = study.strength.past_full {
                let more = s.show(Kind::TemperatureDifference, PAST_FULL_K);
                let name = format!("{more} warmer than that");
                facts.push(Fact::of(name, Kind::GaugePressure, gauge(s, p)).note("rigid wall"));
            }
        }
        None => facts.push(Fact::text(
            "Liquid-full when warmed to",
            "never: its mean density is too low",
        )),
    }
    facts
}

fn strength(s: &Solution<'_>, study: &TankStudy) -> Vec<Fact> {
    let strength = &study.strength;
    let mut facts = Vec::new();
    match &strength.design {
        Ok((at, least)) => facts.push(
            Fact::of("Least design pressure", Kind::GaugePressure, least.pascals())
                .from_source("cfr1910110")
                .note(format!(
                    "class of {} at 100 degF; storage containers, transport cylinders follow their own rules",
                    at.show(s.units)
                )),
        ),
        Err(why) => facts.push(Fact::text(
            "Least design pressure",
            format!("no class: {why}"),
        )),
    }
    if let Some(q) = strength.relief_air {
        facts.push(
            Fact::of("Relief valve must pass, as air", Kind::VolumeRate, q.value)
                .from_source("wac296307")
                .note("by the surface of the tank, at 120 % of its set pressure"),
        );
    }
    if let Some(w) = &strength.wall {
        let fact = Fact::of("Wall", Kind::Length, w.thickness.value);
        facts.push(if w.from_mass {
            fact.note("mean, from its mass, surface and metal; `wall_thickness` gives it")
        } else {
            fact
        });
        for (name, stress) in [
            ("Stress on the hottest day", w.hottest),
            ("Stress at the rated pressure", w.rated),
        ] {
            if let Some(p) = stress {
                facts.push(
                    Fact::of(name, Kind::PressureDifference, p.pascals())
                        .note("round the shell, seamless; the maker's papers say what it stands"),
                );
            }
        }
    }
    facts
}

// ---- what it rests on ----------------------------------------------------------------------------

fn assumptions(report: &mut Report, tank: &TankSolution, study: &TankStudy) {
    report.assume("the tank does not stretch");
    if let Ok(run) = &study.run {
        let q = &run.question;
        super::assumptions(report, q);
        if !run.from_plan {
            report.assume("the tank is drawn through the duties once, in the order of the file: there is no run plan (`[[steps]]`)");
        }
        if q.schedule.steps.iter().any(|s| s.phase == Drawn::Vapour)
            && run.answer.run.first_failure().is_some()
        {
            report.assume("rows after a failure are as if it could still be drawn");
        }
    }
    for sentence in &tank.cylinder.assumptions {
        report.assume(sentence.as_str());
    }
    if tank.number > 1 {
        report.assume(format!(
            "the {} cylinders share the draw alike",
            tank.number
        ));
    }
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
