//! A tank for people and machines: series, what it can keep up, what happened, what would help.

mod findings;

use super::{Column, Fact, Report, Table, Value, figures, json};
use crate::fuel::Library;
use crate::quantity::show::{Units, show};
use crate::quantity::{Kind, PressureDifference};
use crate::tank::answer::{Answer, Question};
use crate::tank::heat_gain::{HeatGain, Surface};
use crate::tank::record::{Event, Row};
use crate::tank::remedies::{Bath, Remedies};
use crate::tank::schedule::Drawn;
use serde_json::{Map, Value as Json, json};

/// Adds all of it to a report.
pub fn tank(report: &mut Report, library: &Library, units: Units, q: &Question, a: &Answer) {
    keys(report, q, a);
    report.facts("At the start", start(a));
    let level = figures::Level {
        kind: Kind::AbsolutePressure,
        zero_pa: 0.0,
    };
    for plot in figures::tank_run(&a.run, None, level, units) {
        report.plot("Run", plot);
    }
    report.table("Run", series(q, &a.run.rows));
    report.facts("What it can feed", capability(q, a));
    report.facts("At the end", end(a));
    if let Some(r) = &a.remedies {
        remedies(report, r, units);
    }
    let mut found = findings::happened(q, a, units);
    found.extend(findings::wall(q, a, units));
    if let (Some(hot), Some(asked)) = (&a.hottest, &q.hottest) {
        found.extend(findings::hot_day(hot, asked.relief, asked.rating, units));
        found.extend(findings::liquid_full(hot, asked.temperature, units));
    }
    found.sort_by(|x, y| x.signal.cmp(&y.signal).then_with(|| x.id.cmp(&y.id)));
    report.findings = Some(found);
    assumptions(report, q);
    cite(report, library, q, a);
}

// ---- machines ------------------------------------------------------------------------------------

fn keys(report: &mut Report, q: &Question, a: &Answer) {
    let rows: Vec<Json> = a.run.rows.iter().map(|r| row_json(q, r)).collect();
    report.key("series", rows);
    let steady = a.sustainable.as_ref().ok();
    report.number("sustainable_draw_kg_s", steady.map(|s| s.draw.value));
    report.number(
        "sustainable_temperature_k",
        steady.map(|s| s.temperature.value),
    );
    report.number("sustainable_heat_w", steady.map(|s| s.heat.value));
    report.number(
        "largest_draw_kg_s",
        a.largest.as_ref().ok().map(|w| w.value),
    );
    report.number("largest_draw_for_s", a.largest_for.value);
    report.number("lowest_pressure_pa", q.lowest.pascals());
    report.number("liquid_full_temperature_k", a.liquid_full.map(|t| t.value));
    report.number("drawn_kg", a.run.drawn.value);
    report.number("heat_j", a.run.heat.value);
    report.number("end_s", a.run.end.value);
    report.key("complete", a.run.complete);
    if let Some(why) = &a.run.stopped_by {
        report.key("stopped_by", why.as_str());
    }
    let events: Vec<Json> = a.run.events.iter().map(event_json).collect();
    report.key("events", events);
    report.number("balance_error_species", a.run.balance.species);
    report.number("balance_error_energy", a.run.balance.energy);
    if let Some(r) = &a.remedies {
        report.key("remedies", remedies_json(r));
    }
    if let Some(v) = &a.vaporiser {
        report.number("vaporiser_heat_w", v.heat().value);
        report.number("vaporiser_outlet_temperature_k", v.outlet.value);
        report.number(
            "vaporiser_share_of_burner",
            v.share_of_burner.map(|s| s.value),
        );
    }
    if let Some(h) = &a.hottest {
        report.number("hottest_pressure_pa", h.pressure.pascals());
        report.number(
            "hottest_to_relief_pa",
            h.to_relief.map(PressureDifference::pascals),
        );
        report.number(
            "hottest_to_rating_pa",
            h.to_rating.map(PressureDifference::pascals),
        );
    }
}

fn composition_json(q: &Question, x: &[f64]) -> Json {
    let parts = q.tank.backend.composition().parts();
    let map: Map<String, Json> = parts
        .iter()
        .zip(x)
        .map(|(p, x)| (p.fuel.name.clone(), json::number(*x)))
        .collect();
    Json::Object(map)
}

fn row_json(q: &Question, r: &Row) -> Json {
    let c = &r.contents;
    json!({
        "time_s": json::number(r.time.value),
        "temperature_k": json::number(c.temperature.value),
        "pressure_pa": json::number(c.pressure.pascals()),
        "liquid_mass_kg": json::number(c.liquid.value),
        "total_mass_kg": json::number(c.mass().value),
        "vapour_composition": composition_json(q, &c.vapour_composition),
        "liquid_composition": c.liquid_composition.map_or(Json::Null, |x| composition_json(q, &x)),
        "liquid_volume_fraction": json::number(c.liquid_volume.value),
        "heat_w": json::number(r.heat.value),
    })
}

fn event_json(e: &Event) -> Json {
    json!({
        "what": e.what.text(),
        "time_s": json::number(e.time.value),
        "temperature_k": json::number(e.contents.temperature.value),
        "pressure_pa": json::number(e.contents.pressure.pascals()),
        "step": e.step,
        "repeat": e.repeat,
        "failure": e.what.is_failure(),
    })
}

fn remedies_json(r: &Remedies) -> Json {
    let optional = |x: Option<f64>| x.map_or(Json::Null, json::number);
    let (water, conductance) = match r.bath {
        Some(Bath::Water(t)) => (Some(t.value), None),
        Some(Bath::Conductance(ua)) => (None, Some(ua.value)),
        None => (None, None),
    };
    json!({
        "warmer_k": optional(r.warmer.map(|t| t.value)),
        "larger_by": optional(r.larger.map(|s| s.value)),
        "cylinders": r.cylinders,
        "water_bath_k": optional(water),
        "conductance_w_k": optional(conductance),
        "liquid_draw_vaporiser_w": optional(r.liquid_draw.map(|v| v.heat().value)),
    })
}

// ---- people --------------------------------------------------------------------------------------

fn start(a: &Answer) -> Vec<Fact> {
    let c = &a.start;
    let mut facts = vec![
        Fact::of("Pressure", Kind::AbsolutePressure, c.pressure.pascals()),
        Fact::of("Liquid", Kind::Mass, c.liquid.value),
        Fact::of("Vapour", Kind::Mass, c.vapour.value),
        Fact::of("Liquid, by volume", Kind::Ratio, c.liquid_volume.value),
    ];
    if let Some(t) = a.liquid_full {
        let fact = Fact::of("Liquid-full when warmed to", Kind::Temperature, t.value);
        facts.push(fact.note("if nothing is drawn"));
    }
    if let Some(h) = &a.hottest {
        let p = h.pressure.pascals();
        facts.push(Fact::of(
            "Pressure on the hottest day",
            Kind::AbsolutePressure,
            p,
        ));
    }
    facts
}

fn series(q: &Question, rows: &[Row]) -> Table {
    let parts = q.tank.backend.composition().parts();
    let blend = parts.len() > 1;
    let mut columns = vec![
        Column::of("Time", Kind::Time),
        Column::of("Temperature", Kind::Temperature),
        Column::of("Pressure", Kind::AbsolutePressure),
        Column::of("Liquid", Kind::Mass),
        Column::of("Heat in", Kind::Power).digits(3).optional(),
    ];
    if blend {
        for part in parts {
            columns
                .push(Column::of(format!("{} in vapour", part.fuel.name), Kind::Ratio).digits(3));
        }
    }
    let mut table = Table::new(columns);
    for r in rows {
        let c = &r.contents;
        let mut cells = vec![
            Value::of(Kind::Time, r.time.value),
            Value::of(Kind::Temperature, c.temperature.value),
            Value::of(Kind::AbsolutePressure, c.pressure.pascals()),
            Value::of(Kind::Mass, c.liquid.value),
            Value::of(Kind::Power, r.heat.value),
        ];
        if blend {
            cells.extend(
                c.vapour_composition
                    .iter()
                    .map(|y| Value::of(Kind::Ratio, *y)),
            );
        }
        table.row(cells);
    }
    table
}

fn capability(q: &Question, a: &Answer) -> Vec<Fact> {
    let lowest = q.lowest.pascals();
    let mut facts = vec![Fact::of(
        "Lowest pressure that feeds",
        Kind::AbsolutePressure,
        lowest,
    )];
    let why = |e: &crate::tank::TankError| Fact::text("Draw it can keep up", format!("none: {e}"));
    match &a.sustainable {
        Ok(s) => {
            let draw =
                Fact::of("Draw it can keep up", Kind::MassRate, s.draw.value).within(band(a));
            facts.push(draw.note("at this filling; less as the level falls"));
            facts.push(Fact::of(
                "Tank settles at",
                Kind::Temperature,
                s.temperature.value,
            ));
        }
        Err(e) => facts.push(why(e)),
    }
    let name = "Largest draw for the time asked";
    facts.push(match &a.largest {
        Ok(w) => Fact::of(name, Kind::MassRate, w.value),
        Err(e) => Fact::text(name, format!("none: {e}")),
    });
    facts
}

/// Band on every figure that goes by the heat.
fn band(a: &Answer) -> f64 {
    a.wall.map_or(0.0, |w| w.band.value)
}

fn end(a: &Answer) -> Vec<Fact> {
    let mut facts = vec![
        Fact::of("Time", Kind::Time, a.run.end.value),
        Fact::of("Drawn", Kind::Mass, a.run.drawn.value),
        Fact::of("Heat taken up", Kind::Energy, a.run.heat.value),
    ];
    if let Some((wall, h)) = a.wall.and_then(|w| Some((w.wall, w.coefficient?))) {
        let name = "Convection outside the wetted wall";
        let fact = Fact::of(name, Kind::HeatTransfer, h.value).within(band(a));
        facts.push(fact.note("where it is coldest"));
        facts.push(Fact::of(
            "Wetted wall outside",
            Kind::Temperature,
            wall.value,
        ));
    }
    if let Some(v) = &a.vaporiser {
        facts.push(Fact::of("Vaporiser", Kind::Power, v.heat().value));
        if let Some(share) = v.share_of_burner {
            facts.push(Fact::of(
                "Share of the burner's heat",
                Kind::Ratio,
                share.value,
            ));
        }
        facts.push(Fact::of(
            "Vapour leaves it at",
            Kind::Temperature,
            v.outlet.value,
        ));
    }
    facts
}

fn remedies(report: &mut Report, r: &Remedies, units: Units) {
    let none = |name: &str, limit: &str| Fact::text(name, format!("does not help {limit}"));
    let warm = "up to 40 degC";
    let facts = vec![
        match r.warmer {
            Some(t) => Fact::of("Warmer tank and air, at least", Kind::Temperature, t.value),
            None => none("Warmer tank and air", warm),
        },
        match r.larger {
            Some(s) => Fact::plain("Larger tank, times the volume", s.value)
                .note("same shape, filled to the same level"),
            None => none("Larger tank", "up to 100 times the volume"),
        },
        match r.cylinders {
            Some(n) => Fact::new("Such tanks side by side", Value::Count(n as usize)),
            None => none("Such tanks side by side", "up to 64"),
        },
        match r.bath {
            Some(Bath::Water(t)) => Fact::of("Water bath, at least", Kind::Temperature, t.value),
            Some(Bath::Conductance(ua)) => {
                Fact::of("Conductance, at least", Kind::ThermalConductance, ua.value)
                    .note("a water bath has some 10 to 30 times that of still air")
            }
            None => none("Water bath", warm),
        },
        match &r.liquid_draw {
            Some(v) => Fact::text(
                "Liquid draw",
                format!(
                    "feeds it, with a vaporiser of {}",
                    show(Kind::Power, v.heat().value, units)
                ),
            ),
            None => none("Liquid draw", "here"),
        },
    ];
    report.facts("What would feed it, each by itself", facts);
}

// ---- what it rests on ----------------------------------------------------------------------------

fn assumptions(report: &mut Report, q: &Question) {
    report.assume("liquid, vapour and wall are at one temperature and in equilibrium; the liquid's surface, which is colder in a hard draw, is left out");
    report.assume("the tank does not stretch; `--fill` is liquid and vapour together");
    match &q.tank.heat_gain {
        HeatGain::Insulated => report.assume("no heat comes in"),
        HeatGain::Conductance { .. } => {
            report.assume("the conductance is the same at every level");
        }
        HeatGain::Air { frost, .. } => {
            report.assume("only the wetted wall brings heat to the liquid; heat through the dry wall leaves with the vapour");
            report.assume("coefficients outside are within 25 %; sunshine, rain and the heat that dew and frost give off are left out");
            if frost.is_none() {
                report.assume("no frost on the wall");
            }
        }
        HeatGain::WaterBath { .. } => {
            report.assume("the bath is still, covers the wetted wall and keeps its temperature");
        }
    }
    if q.schedule.steps.iter().any(|s| s.phase == Drawn::Liquid) {
        report.assume(
            "the liquid drawn is vaporised outside the tank at the lowest pressure that feeds",
        );
    }
}

fn humidity_known(q: &Question) -> bool {
    matches!(&q.tank.heat_gain, HeatGain::Air { air, .. } if air.relative_humidity.is_some())
}

fn cite(report: &mut Report, library: &Library, q: &Question, a: &Answer) {
    let keys: &[&str] = match &q.tank.heat_gain {
        HeatGain::Insulated | HeatGain::Conductance { .. } => &[],
        HeatGain::Air { .. } => &[
            "churchill1975a",
            "churchill1975b",
            "churchill1977",
            "popiel2007",
            "ussa1976",
        ],
        HeatGain::WaterBath { .. } => &[
            "churchill1975a",
            "churchill1975b",
            "popiel2007",
            "patek2009",
            "kell1975",
        ],
    };
    for key in keys {
        report.cite(library, key);
    }
    if humidity_known(q) && a.wall.is_some_and(|w| w.surface != Surface::Dry) {
        report.cite(library, "alduchov1996");
    }
}
