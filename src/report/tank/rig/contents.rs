//! What is in a rig's tank and what holds it: a blend as it empties, filling, strength.

use super::degrees;
use crate::audit::Solution;
use crate::audit::solution::{Emptying, PAST_FULL_K, TankDuty, TankSolution, TankStudy, Unusable};
use crate::eos::MoleFractions;
use crate::quantity::Kind;
use crate::report::record::{Row, table_of};
use crate::report::{Column, Fact, Report, Value};
use crate::tank::filling_check::{FILLING_REFERENCE_K, FILLING_SHARE};

/// Adds a blend as it empties.
pub(super) fn emptying(
    report: &mut Report,
    s: &Solution<'_>,
    tank: &TankSolution,
    e: &Emptying,
    row: &Row,
) {
    let parts = s.fluid.composition().parts();
    let name = |k: usize| parts.get(k).map_or("", |p| p.fuel.name.as_str());
    let heading = format!("Emptying slowly at {}", degrees(s, e.temperature));
    // of two components the second is the rest
    let shown = if parts.len() == 2 { 1 } else { parts.len() };
    let columns = (0..shown).flat_map(|k| {
        ["liquid", "vapour"].map(|what| {
            let column = Column::of(format!("{} in {what}", name(k)), Kind::Ratio);
            if k > 1 { column.optional() } else { column }
        })
    });
    let cells = e.rows.iter().map(|row| {
        let shares = (0..shown).flat_map(|k| [row.liquid[k], row.vapour[k]]);
        shares.map(|x| Value::of(Kind::Ratio, x)).collect()
    });
    let rows = row.row("emptying").map_or(&[][..], |e| e.rows("rows"));
    let mut table = table_of(rows, &["liquid_left", "pressure_pa", "dew_point_k"]);
    if !rows.is_empty() {
        table.insert(2, columns, cells);
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
            .sourced("wac296307")
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
                    None => Fact::of(
                        name,
                        Kind::GaugePressure,
                        p.gauge(s.rig.site.air_pressure).pascals(),
                    )
                    .note("rigid wall"),
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
