//! A switch to a liquid: the fuel as it stands in tank and line: light-off, suction, vapour lock.

use crate::convert::{SuctionLimit, ToLiquid};
use crate::quantity::Kind;
use crate::quantity::sentence::{Told, sentence};
use crate::quantity::show::fixed;
use crate::report::{Column, Fact, Report, Table, Value};

pub(super) fn light_off(report: &mut Report, plan: &ToLiquid) {
    let light = &plan.light_off;
    let mut facts: Vec<Fact> = light
        .flash_points
        .iter()
        .map(|f| {
            Fact::of(
                format!("Flash point of {}", f.fuel),
                Kind::Temperature,
                f.temperature.value,
            )
            .from_source(f.source.clone())
        })
        .collect();
    if let Some(t) = light.autoignition {
        facts.push(Fact::of(
            "Auto-ignition, lowest",
            Kind::Temperature,
            t.value,
        ));
    }
    if let Some(p) = light.preheat {
        facts.push(
            Fact::of("Preheat of the smallest flow", Kind::Power, p.value)
                .note("from the coldest day to 10 K above the highest flash point"),
        );
    }
    report.facts("Light-off", facts);
    let mut table = Table::new(vec![
        Column::new("when"),
        Column::of("fuel", Kind::Temperature).digits(3),
        Column::of("above flash", Kind::TemperatureDifference).digits(2),
        Column::of("vapour over it", Kind::Ratio).digits(2),
        Column::new("that"),
        Column::of("viscosity", Kind::KinematicViscosity).digits(3),
        Column::of("density", Kind::Density).digits(3).optional(),
    ]);
    for s in &light.standing {
        let liquid = s.liquid.as_ref().ok();
        table.row(vec![
            Value::Text(s.when.to_owned()),
            Value::of(Kind::Temperature, s.temperature.value),
            Value::of(Kind::TemperatureDifference, s.above_flash.map(|t| t.value)),
            Value::of(Kind::Ratio, s.vapour.as_ref().ok().map(|y| y.value)),
            s.ullage
                .map_or(Value::Absent, |u| Value::Text(u.name().to_owned())),
            Value::of(
                Kind::KinematicViscosity,
                liquid.map(|l| l.kinematic_viscosity().value),
            ),
            Value::of(Kind::Density, liquid.map(|l| l.density.value)),
        ]);
        if let Err(why) = &s.liquid {
            report.remark(sentence!("{}: {}.", &s.when, why.told()));
        }
    }
    report.table("Light-off", table);
}

pub(super) fn suction(report: &mut Report, plan: &ToLiquid) {
    let s = &plan.suction;
    let mut table = Table::new(vec![
        Column::new("where"),
        Column::of("air", Kind::AbsolutePressure).digits(4),
        Column::of("fuel", Kind::Temperature).digits(3),
        Column::of("vapour pressure", Kind::AbsolutePressure).digits(3),
        Column::of("head available", Kind::Length).digits(3),
        Column::of("margin", Kind::Length).digits(3),
    ]);
    for row in &s.rows {
        match row {
            Ok(r) => table.row(vec![
                Value::Text(r.place.clone()),
                Value::of(Kind::AbsolutePressure, r.air.pascals()),
                Value::of(Kind::Temperature, r.temperature.value),
                Value::of(Kind::AbsolutePressure, r.vapour.pascals()),
                Value::of(Kind::Length, r.available.value),
                Value::of(Kind::Length, r.margin.value),
            ]),
            Err(why) => report.remark(sentence!("Suction: {}.", why.told())),
        }
    }
    report.table("Suction and vapour lock", table);
    let mut facts = vec![
        Fact::of("Pump above the lowest level", Kind::Length, s.lift.value),
        Fact::of("Head the pump needs", Kind::Length, s.required.value)
            .from_source("tp410")
            .note("times 1.3 for a margin"),
        Fact::of("Loss of the suction line", Kind::Length, s.friction.value).note(
            s.bore.map_or_else(
                || "no bore found".to_owned(),
                |b| format!("1 m of {:.0} mm bore", b.value * 1e3),
            ),
        ),
    ];
    let used_up = "Margin used up at a fuel temperature of";
    facts.push(match s.limit {
        SuctionLimit::At(t) => {
            Fact::of(used_up, Kind::Temperature, t.value).note("at the air pressure of the site")
        }
        SuctionLimit::Already => Fact::text(used_up, "that of the test day, or colder"),
        SuctionLimit::NotBelow(t) => Fact::of("Margin left up to", Kind::Temperature, t.value)
            .note("where the data of the fuel end"),
        SuctionLimit::NotKnown => Fact::text(used_up, "not known"),
    });
    match &s.hot_line {
        Ok((t, p)) => facts.push(
            Fact::of(
                "Vapour pressure in a line near the fire",
                Kind::AbsolutePressure,
                p.pascals(),
            )
            .note(format!(
                "{} degC",
                fixed(t.value - crate::quantity::ZERO_CELSIUS_K, 0)
            )),
        ),
        Err(why) => report.remark(sentence!("Line near the fire: {}.", why.told())),
    }
    report.facts("Suction and vapour lock", facts);
}
