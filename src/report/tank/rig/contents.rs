//! What is in a rig's tank and what holds it: a blend as it empties, filling, strength.

use super::{degrees, gauge};
use crate::audit::Solution;
use crate::audit::solution::{Emptying, PAST_FULL_K, TankDuty, TankSolution, TankStudy, Unusable};
use crate::eos::MoleFractions;
use crate::quantity::Kind;
use crate::quantity::show::{Show, Units, show};
use crate::report::{Column, Fact, Report, Table, Value};
use crate::tank::filling_check::{FILLING_REFERENCE_K, FILLING_SHARE};

/// Adds a blend as it empties.
pub(super) fn emptying(report: &mut Report, s: &Solution<'_>, tank: &TankSolution, e: &Emptying) {
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
    let rest = |(d, u): (&TankDuty, _)| {
        let u: Option<Unusable> = u;
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

/// How full it is.
pub(super) fn filling(s: &Solution<'_>, tank: &TankSolution, study: &TankStudy) -> Vec<Fact> {
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
                let relief = s.rig.supply.tank().and_then(|t| t.relief_pressure);
                facts.push(match relief.filter(|opens| *opens < p) {
                    Some(opens) => Fact::text(
                        name,
                        format!(
                            "the relief has opened at {} and throws liquid",
                            s.gauge(opens)
                        ),
                    ),
                    None => Fact::of(name, Kind::GaugePressure, gauge(s, p)).note("rigid wall"),
                });
            }
        }
        None => facts.push(Fact::text(
            "Liquid-full when warmed to",
            "never: its mean density is too low",
        )),
    }
    facts
}

/// What the wall has to hold.
pub(super) fn strength(s: &Solution<'_>, study: &TankStudy) -> Vec<Fact> {
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
                    Fact::text(name, stress_text(s.units, p.pascals()))
                        .note("round the shell, seamless; the maker's papers say what it stands"),
                );
            }
        }
    }
    facts
}

/// A stress as the trade writes it.
fn stress_text(units: Units, pa: f64) -> String {
    match units {
        Units::Si => format!("{:.0} MPa", pa / 1e6),
        Units::Us => show(Kind::PressureDifference, pa, units),
    }
}
