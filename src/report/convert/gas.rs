//! A switch to a gas: Wobbe index, holes and pressures, storage.

use super::{fates, findings, gas_json, limits, materials, old_train};
use crate::combustion::gas_quality::GasQuality;
use crate::convert::concern::of_gas;
use crate::convert::gas::{Burns, SAME_WOBBE, diameter_factor, pressure_factor};
use crate::convert::through::HolesOnGas;
use crate::convert::{ConvertInput, HighestSupply, ToGas};
use crate::quantity::Kind;
use crate::quantity::show::{Units, show, signed};
use crate::report::{Column, Fact, Report, Table, Value};

/// Adds the whole plan.
pub fn gas(report: &mut Report, input: &ConvertInput<'_>, plan: &ToGas) {
    in_short(report, input, plan);
    super::duties(report, input, &plan.duties);
    limits(report, &plan.limits);
    wobbe(report, plan);
    holes(report, input, plan);
    redrill(report, plan);
    for side in &plan.side_holes {
        report.remark(format!(
            "{}: its hole of {} becomes {} for the same heat at the same pressure, far from choking.",
            side.outlet,
            show(Kind::Length, side.now.value, input.units),
            show(Kind::Length, side.then.value, input.units)
        ));
    }
    supply(report, plan, input.units);
    fates(report, &plan.fates);
    materials(report, &plan.materials);
    findings(report, &of_gas(plan, input), input.units);
    for sentence in &plan.assumptions {
        report.assume(sentence.as_str());
    }
    report.cite(input.library, "iso6976");
    gas_json::keys(report, plan);
}

fn in_short(report: &mut Report, input: &ConvertInput<'_>, plan: &ToGas) {
    let units = input.units;
    let mut facts = Vec::new();
    if let Some(ratio) = plan.wobbe.ratio() {
        let off = signed(100.0 * (ratio - 1.0), 1);
        facts.push(Fact::text(
            "Interchange",
            if (ratio - 1.0).abs() <= SAME_WOBBE {
                format!(
                    "Wobbe index {off} %: the old holes and pressure nearly do; check the flame"
                )
            } else {
                format!(
                    "Wobbe index {off} %: not interchangeable; {:.2} times the drop or {:.2} times the hole diameter, far from choking",
                    pressure_factor(ratio).value,
                    diameter_factor(ratio).value
                )
            },
        ));
    }
    if let Ok(r) = &plan.redrill {
        let gauge = r.pressure.pascals() - input.rig.site.air_pressure.pascals();
        facts.push(Fact::text(
            "New holes",
            format!(
                "{} of {} at {}{}",
                r.number,
                show(Kind::Length, r.exact.value, units),
                show(Kind::GaugePressure, gauge, units),
                r.drill
                    .map_or_else(String::new, |d| format!("; nearest drill {}", d.name)),
            ),
        ));
    }
    facts.push(
        Fact::of("Fuel for the endurance", Kind::Mass, plan.supply.fuel.value).note(format!(
            "{}, {}",
            show(Kind::Time, plan.supply.endurance.value, units),
            plan.supply.endurance_from
        )),
    );
    facts.push(old_train(&plan.fates));
    report.facts("In short", facts);
}

fn wobbe(report: &mut Report, plan: &ToGas) {
    let mut table = Table::new(vec![
        Column::new("gas"),
        Column::of("Wobbe index, gross", Kind::VolumetricEnergy),
        Column::of("gross heat", Kind::VolumetricEnergy),
        Column::new("relative density").digits(4),
        Column::of("burning velocity", Kind::Velocity).digits(2),
        Column::of("quenching distance", Kind::Length)
            .digits(2)
            .optional(),
    ]);
    let mut row = |name: &str, quality: Option<&GasQuality>, burns: &Burns| {
        table.row(vec![
            Value::from(name),
            Value::of(Kind::VolumetricEnergy, quality.map(|q| q.wobbe_gross_j_m3)),
            Value::of(Kind::VolumetricEnergy, quality.map(|q| q.gross_j_m3)),
            Value::Number(quality.map_or(burns.relative_density, |q| q.relative_density)),
            Value::of(Kind::Velocity, burns.velocity_m_s),
            Value::of(Kind::Length, burns.quenching_m),
        ]);
    };
    let from = plan.wobbe.from.as_ref();
    row("old", from.and_then(|q| q.as_ref().ok()), &plan.burns.0);
    row("new", plan.wobbe.to.as_ref().ok(), &plan.burns.1);
    report.table("Old and new fuel, 15 degC and 1 atm", table);
    let qualities = [from, Some(&plan.wobbe.to)];
    for why in qualities
        .into_iter()
        .flatten()
        .filter_map(|q| q.as_ref().err())
    {
        report.remark(format!("No Wobbe index: {why}."));
    }
}

fn on_gas(input: &ConvertInput<'_>, holes: &Result<HolesOnGas, String>) -> [Value; 4] {
    let Ok(h) = holes else {
        return [Value::Absent, Value::Absent, Value::Absent, Value::Absent];
    };
    let gauge = h.pressure.pascals() - input.rig.site.air_pressure.pascals();
    [
        Value::of(Kind::GaugePressure, gauge),
        Value::of(Kind::Ratio, h.stiffness.value),
        Value::Flag(h.choked),
        Value::of(Kind::TemperatureDifference, h.superheat.map(|t| t.value)),
    ]
}

fn holes(report: &mut Report, input: &ConvertInput<'_>, plan: &ToGas) {
    let columns = || {
        vec![
            Column::new("duty"),
            Column::of("old fuel needs", Kind::GaugePressure).digits(4),
            Column::of("new gas needs", Kind::GaugePressure).digits(4),
            Column::of("drop / chamber", Kind::Ratio).digits(3),
            Column::new("choked"),
            Column::of("above dew point", Kind::TemperatureDifference)
                .digits(2)
                .optional(),
        ]
    };
    let (mut old, mut new) = (Table::new(columns()), Table::new(columns()));
    for duty in &plan.holes {
        let now = plan.duties.iter().find(|d| d.now.name == duty.duty);
        let before = now.and_then(|d| d.now.injector_pressure);
        let site = input.rig.site.air_pressure.pascals();
        let head = || {
            vec![
                Value::Text(duty.duty.clone()),
                Value::of(Kind::GaugePressure, before.map(|p| p.pascals() - site)),
            ]
        };
        let mut row = head();
        row.extend(on_gas(input, &duty.old_holes));
        old.row(row);
        if let Err(why) = &duty.old_holes {
            report.remark(format!("{} with the old holes: {why}.", duty.duty));
        }
        if let Some(holes) = &duty.new_holes {
            let mut row = head();
            row.extend(on_gas(input, holes));
            new.row(row);
            if let Err(why) = holes {
                report.remark(format!("{} with the new holes: {why}.", duty.duty));
            }
        }
    }
    through_train(report, plan);
    report.table("Old holes kept: pressure before them", old);
    report.table("Drilled anew: pressure before them", new);
}

/// Duties that the old supply and train do not feed with the holes proposed; a reason that several have stands once.
fn through_train(report: &mut Report, plan: &ToGas) {
    let which = if plan.redrill.is_ok() { "new" } else { "old" };
    let mut told: Vec<(&str, Vec<&str>)> = Vec::new();
    for duty in &plan.holes {
        let why = match &duty.train {
            Some(Ok(through)) => through.why_not.as_deref(),
            Some(Err(why)) => Some(why.as_str()),
            None => None,
        };
        let Some(why) = why else { continue };
        match told.iter_mut().find(|(w, _)| *w == why) {
            Some((_, duties)) => duties.push(&duty.duty),
            None => told.push((why, vec![&duty.duty])),
        }
    }
    for (why, duties) in told {
        report.remark(format!(
            "Not fed with the {which} holes from the supply and through the train as they are: {} ({why}).",
            duties.join(", ")
        ));
    }
}

fn redrill(report: &mut Report, plan: &ToGas) {
    let r = match &plan.redrill {
        Ok(r) => r,
        Err(why) => {
            report.remark(format!("No new holes: {why}."));
            return;
        }
    };
    if r.not_at.is_some() {
        report.remark(format!(
            "The pressure asked for before the holes is not taken. They are sized for {}.",
            r.pressure_from
        ));
    }
    let mut table = Table::new(vec![
        Column::new("drill"),
        Column::of("diameter", Kind::Length),
        Column::of("flow error", Kind::Ratio).digits(2),
        Column::new("coefficient").digits(3),
    ]);
    for d in &r.drills {
        table.row(vec![
            Value::Text(d.drill.name.clone()),
            Value::of(Kind::Length, d.drill.diameter.value),
            Value::of(Kind::Ratio, d.flow_error.value),
            Value::Number(d.coefficient),
        ]);
    }
    report.table("Drills for the new holes", table);
    report.assume(format!(
        "new holes are sized at {}, for a pressure before them that is {}",
        r.duty, r.pressure_from
    ));
}

fn supply(report: &mut Report, plan: &ToGas, units: Units) {
    let s = &plan.supply;
    let mut facts = vec![
        Fact::of("Endurance", Kind::Time, s.endurance.value).note(s.endurance_from),
        Fact::of("Mean flow", Kind::MassRate, s.mean_flow.value).note(s.mean_from),
        Fact::of("Fuel", Kind::Mass, s.fuel.value),
    ];
    if let Some(v) = s.volume {
        facts.push(
            Fact::of("Cylinder volume", Kind::Volume, v.value).note(if s.liquefied {
                "80 % liquid; common practice"
            } else {
                "compressed gas at 200 bar(a); common practice"
            }),
        );
    }
    for (name, p) in [
        ("Vapour pressure, coldest day", s.coldest),
        ("Vapour pressure, hottest day", s.hottest),
    ] {
        if let Some(p) = p {
            facts.push(Fact::of(name, Kind::AbsolutePressure, p.pascals()));
        }
    }
    match &s.highest {
        HighestSupply::Compressed(p) => facts.push(
            Fact::of(
                "Cylinder pressure, hottest day",
                Kind::AbsolutePressure,
                p.pascals(),
            )
            .note("filled to 200 bar(a) on the test day"),
        ),
        other => {
            if let Some(why) = other.open(units) {
                facts.push(Fact::text("Pressure, hottest day", why));
            }
        }
    }
    if let Some(t) = s.coldest_feeding {
        facts.push(
            Fact::of(
                "Coldest liquid that feeds the largest duty",
                Kind::Temperature,
                t.value,
            )
            .note(match &s.coldest_limited_by {
                Some(part) => format!(
                    "through the train as it is, throttle wide open; below it `{part}` gives out, and a draw chills the tank"
                ),
                None => "losses of the train come on top; `tank` tells how it chills".to_owned(),
            }),
        );
    }
    report.facts("Supply", facts);
}
