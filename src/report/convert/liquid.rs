//! A switch to a liquid: in short, the gas holes, feed, suction, light-off, masses.

use super::{fates, findings, limits, liquid_json, materials, old_train, spray, stands};
use crate::convert::concern::of_liquid;
use crate::convert::feed::{BATTERY_USABLE, FULL_ON_HOTTEST};
use crate::convert::gas_holes::{LEAST_STIFFNESS, LEAST_WEBER};
use crate::convert::{ConvertError, ConvertInput, LiquidSystem, ToLiquid};
use crate::quantity::Kind;
use crate::quantity::show::{Units, show};
use crate::report::{Column, Fact, Report, Table, Value};

/// Adds the whole plan.
///
/// # Errors
/// [`ConvertError`]: masses for the endurance.
pub fn liquid(
    report: &mut Report,
    input: &ConvertInput<'_>,
    plan: &ToLiquid,
) -> Result<(), ConvertError> {
    let system = plan.system(input, plan.tank.endurance)?;
    in_short(report, input, plan, &system);
    super::duties(report, input, &plan.duties);
    limits(report, &plan.limits);
    gas_holes(report, plan, input.units);
    spray::nozzles(report, input, plan);
    spray::evaporation(report, plan);
    spray::vaporiser(report, plan);
    tank(report, plan);
    pump(report, plan);
    lines(report, plan);
    valve(report, plan);
    stands::light_off(report, plan);
    stands::suction(report, plan);
    hazards(report, plan);
    fates(report, &plan.fates);
    materials(report, &plan.materials);
    masses(report, &system);
    findings(report, &of_liquid(plan, input), input.units);
    for sentence in plan.assumptions.iter().chain(&plan.suction.assumptions) {
        report.assume(sentence.as_str());
    }
    for key in [
        "iec60534-2-1",
        "turns",
        "colebrook1939",
        "churchill1977",
        "white-viscous",
        "chung1988",
    ] {
        report.cite(input.library, key);
    }
    liquid_json::keys(report, input, plan, &system);
    Ok(())
}

/// What it comes to, for the top of the page.
fn in_short(report: &mut Report, input: &ConvertInput<'_>, plan: &ToLiquid, system: &LiquidSystem) {
    let units = input.units;
    let tank = &plan.tank;
    let mut facts = vec![
        Fact::of(
            "Fuel for the endurance",
            Kind::Mass,
            tank.filled(tank.endurance).value,
        )
        .note(format!(
            "{} at a mean of {}; {}",
            show(Kind::Time, tank.endurance.value, units),
            show(Kind::MassRate, tank.mean_flow.value, units),
            tank.mean_from
        )),
        Fact::of("Tank", Kind::Volume, tank.volume(tank.endurance).value),
    ];
    if let Ok(p) = &plan.pump {
        let gauge = p.outlet.pascals() - input.rig.site.air_pressure.pascals();
        facts.push(Fact::text(
            "Pump",
            format!(
                "{} at {}, {} electric ({} to {})",
                show(Kind::VolumeRate, p.flow.value, units),
                show(Kind::GaugePressure, gauge, units),
                show(Kind::Power, p.electric.value.value, units),
                show(Kind::Power, p.electric.low.value, units),
                show(Kind::Power, p.electric.high.value, units),
            ),
        ));
    }
    facts.push(match plan.nozzles.proposed() {
        Some(n) => Fact::text(
            "Nozzles",
            format!(
                "{} of {} exit at {}; {}",
                n.title(),
                show(Kind::Length, n.exit.value, units),
                show(
                    Kind::GaugePressure,
                    plan.feed_pressure.pascals() - input.rig.site.air_pressure.pascals(),
                    units
                ),
                n.making.name()
            ),
        ),
        None => Fact::text("Nozzles", "none that can be made: vaporiser tubes"),
    });
    if let Some((left, duty)) = liquid_left(plan) {
        facts.push(
            Fact::of("Still liquid at the end of the can", Kind::Ratio, left)
                .note(format!("at {duty}, the worst of the duties with a spray")),
        );
    }
    facts.push(old_train(&plan.fates));
    let (total, missing) = system.total();
    let mut mass = Fact::of("Liquid system with fuel", Kind::Mass, total.value.value)
        .between(total.low.value, total.high.value);
    if !missing.is_empty() {
        mass = mass.note(format!("without {}: no mass given", missing.join(", ")));
    }
    facts.push(mass);
    report.facts("In short", facts);
}

fn liquid_left(plan: &ToLiquid) -> Option<(f64, &str)> {
    let known = plan.evaporation.iter().filter_map(|e| e.as_ref().ok());
    known
        .filter_map(|e| {
            let can = e.zones.iter().filter_map(|z| z.as_ref().ok()).next_back()?;
            Some((can.liquid_left?.value, e.duty.as_str()))
        })
        .max_by(|a, b| a.0.total_cmp(&b.0))
}

fn gas_holes(report: &mut Report, plan: &ToLiquid, units: Units) {
    if !plan.from_gas {
        return;
    }
    let mut table = Table::new(vec![
        Column::new("duty"),
        Column::of("drop", Kind::PressureDifference).digits(3),
        Column::of("as column of fuel", Kind::Length).digits(3),
        Column::of("drop / chamber", Kind::Ratio).digits(2),
        Column::of("jet", Kind::Velocity).digits(2),
        Column::new("Weber number").digits(2),
        Column::new("coefficient").digits(2).optional(),
    ]);
    let mut lowest: Option<(f64, &str)> = None;
    for hole in &plan.gas_holes {
        match hole {
            Ok(h) => {
                table.row(vec![
                    Value::Text(h.duty.clone()),
                    Value::of(Kind::PressureDifference, h.drop.pascals()),
                    Value::of(Kind::Length, h.column.value),
                    Value::of(Kind::Ratio, h.stiffness.value),
                    Value::of(Kind::Velocity, h.velocity.value),
                    Value::Number(h.weber),
                    Value::Number(h.discharge),
                ]);
                if lowest.is_none_or(|(drop, _)| h.drop.pascals() < drop) {
                    lowest = Some((h.drop.pascals(), &h.duty));
                }
            }
            Err(why) => report.remark(format!("Liquid through the gas holes: {why}.")),
        }
    }
    let heading = "Why the gas holes cannot be kept";
    report.table(heading, table);
    let (Some(against), Some((drop, duty))) = (&plan.against, lowest) else {
        return;
    };
    let mut text = format!(
        "At {duty} {} drives the liquid through all holes; {:.0} % of the chamber pressure would be wanted against surges, and a Weber number of {LEAST_WEBER} for jets instead of drips. Surface tension alone holds back {} at a hole",
        show(Kind::PressureDifference, drop, units),
        100.0 * LEAST_STIFFNESS,
        show(Kind::PressureDifference, against.capillary.pascals(), units),
    );
    if let Some(head) = against.across_ring {
        text = format!(
            "{text}, and in a ring that stands upright the fuel weighs {} from top to bottom: the lowest holes get it all",
            show(Kind::PressureDifference, head.pascals(), units)
        );
    }
    if let Some(area) = against.area_over_nozzles {
        text = format!(
            "{text}. They have {:.0} times the area of the nozzles proposed here",
            area.value
        );
    }
    report.paragraph(heading, format!("{text}."));
}

fn tank(report: &mut Report, plan: &ToLiquid) {
    let t = &plan.tank;
    let (d, l) = t.size(t.endurance);
    let dry = t.dry_mass(t.endurance);
    report.facts(
        "Tank",
        vec![
            Fact::of("Endurance", Kind::Time, t.endurance.value).note(t.endurance_from),
            Fact::of("Fuel burnt", Kind::Mass, t.burnt(t.endurance).value),
            Fact::of("Fuel filled", Kind::Mass, t.filled(t.endurance).value)
                .note("5 % stays behind: our choice"),
            Fact::of(
                "Density on the hottest day",
                Kind::Density,
                t.hottest_density.value,
            ),
            Fact::of("Volume", Kind::Volume, t.volume(t.endurance).value).note(format!(
                "{:.0} % full on the hottest day: our choice",
                100.0 * FULL_ON_HOTTEST
            )),
            Fact::of("Diameter, as a cylinder", Kind::Length, d.value),
            Fact::of("Length", Kind::Length, l.value),
            Fact::of("Mass, empty", Kind::Mass, dry.value.value)
                .between(dry.low.value, dry.high.value)
                .note("1 mm steel and fittings; weigh it"),
        ],
    );
}

fn pump(report: &mut Report, plan: &ToLiquid) {
    let pump = match &plan.pump {
        Ok(pump) => pump,
        Err(why) => {
            report.remark(format!("No pump: {why}."));
            return;
        }
    };
    let band = |b: &crate::convert::feed::Band<crate::quantity::Power>| (b.low.value, b.high.value);
    let (low, high) = band(&pump.electric);
    let mut facts = vec![
        Fact::of(
            "Flow at the largest duty",
            Kind::VolumeRate,
            pump.flow.value,
        )
        .note("what the burner does not take goes back to the tank"),
        Fact::of(
            "Pressure added",
            Kind::PressureDifference,
            pump.rise.pascals(),
        )
        .note("nozzles, valve and line"),
        Fact::of("Head", Kind::Length, pump.head.value),
        Fact::of("Hydraulic power", Kind::Power, pump.hydraulic.value),
        Fact::of(
            "Efficiency, electric to hydraulic",
            Kind::Ratio,
            pump.efficiency.value.value,
        )
        .between(pump.efficiency.low.value, pump.efficiency.high.value)
        .note("small gear and vane pumps with motor; common practice, no source"),
        Fact::of("Electric power", Kind::Power, pump.electric.value.value).between(low, high),
        Fact::of("Mass with motor", Kind::Mass, pump.mass.value.value)
            .between(pump.mass.low.value, pump.mass.high.value)
            .note("0.25 kg and 80 W/kg: our choice; weigh it"),
    ];
    match &plan.battery {
        Ok(b) => {
            facts.push(Fact::of(
                "Battery energy taken out",
                Kind::Energy,
                b.energy.value,
            ));
            facts.push(
                Fact::of("Battery mass", Kind::Mass, b.mass.value.value)
                    .between(b.mass.low.value, b.mass.high.value)
                    .note(format!(
                        "{:.0} % of its energy used",
                        100.0 * BATTERY_USABLE
                    )),
            );
        }
        Err(why) => report.remark(format!("No battery: {why}.")),
    }
    report.facts("Pump and battery", facts);
}

fn lines(report: &mut Report, plan: &ToLiquid) {
    let mut table = Table::new(vec![
        Column::of("bore", Kind::Length).digits(3),
        Column::of("loss", Kind::PressureDifference).digits(3),
        Column::of("loss, coldest", Kind::PressureDifference).digits(3),
        Column::of("speed", Kind::Velocity).digits(2),
        Column::of("holds", Kind::Volume).digits(3),
        Column::of("fills in", Kind::Time).digits(2).optional(),
        Column::of("mass", Kind::Mass).digits(2),
        Column::new(""),
    ]);
    for (i, o) in plan.lines.options.iter().enumerate() {
        table.row(vec![
            Value::of(Kind::Length, o.bore.value),
            Value::of(Kind::PressureDifference, o.loss.pascals()),
            Value::of(
                Kind::PressureDifference,
                o.cold_loss.as_ref().ok().map(|p| p.pascals()),
            ),
            Value::of(Kind::Velocity, o.velocity.value),
            Value::of(Kind::Volume, o.holds.value),
            Value::of(Kind::Time, o.fills_in.value),
            Value::of(Kind::Mass, o.mass.value),
            Value::Text(
                if plan.lines.chosen == Some(i) {
                    "taken"
                } else {
                    ""
                }
                .to_owned(),
            ),
        ]);
        if let Err(why) = &o.cold_loss {
            report.remark(format!(
                "The loss of the lines on the coldest day is not known: {why}."
            ));
        }
    }
    report.table("Line bores", table);
    report.assume(format!(
        "the line is {:.2} m of drawn stainless tube with 1 mm wall and six elbows ({}); the narrowest with at most a tenth of the nozzles' drop on the coldest day is taken",
        plan.lines.length.value, plan.lines.length_from
    ));
}

fn valve(report: &mut Report, plan: &ToLiquid) {
    let Some(valve) = &plan.valve else { return };
    let mut table = Table::new(vec![
        Column::new("duty"),
        Column::new("Kv, m³/h").digits(3),
        Column::of("before", Kind::AbsolutePressure).digits(4),
        Column::of("behind", Kind::AbsolutePressure).digits(4),
        Column::new("choked"),
    ]);
    for (name, passage) in &valve.duties {
        match passage {
            Ok(p) => table.row(vec![
                Value::Text(name.clone()),
                Value::Number(p.kv.kv()),
                Value::of(Kind::AbsolutePressure, before_valve(plan)),
                Value::of(Kind::AbsolutePressure, p.outlet.pascals()),
                Value::Flag(p.choked),
            ]),
            Err(why) => report.remark(format!("Valve at {name}: {why}.")),
        }
    }
    report.table("Metering valve by IEC 60534-2-1", table);
    if let Some((least, most)) = valve.range() {
        report.remark(format!(
            "The metering valve needs Kv {least:.2e} to {most:.2e} m³/h, {:.1} to 1.",
            most / least
        ));
    }
}

fn before_valve(plan: &ToLiquid) -> Option<f64> {
    let pump = plan.pump.as_ref().ok()?;
    let loss = plan.lines.chosen().map_or(0.0, |l| l.loss.pascals());
    Some(pump.outlet.pascals() - loss)
}

fn hazards(report: &mut Report, plan: &ToLiquid) {
    let mut table = Table::new(vec![Column::new("hazard"), Column::new("")]);
    for gained in [false, true] {
        for h in plan.hazards.iter().filter(|h| h.gained == gained) {
            table.row(vec![
                Value::Text(if gained { "gained" } else { "lost" }.to_owned()),
                Value::Text(h.what.clone()),
            ]);
        }
    }
    report.table("Hazards lost and gained", table);
}

fn masses(report: &mut Report, system: &LiquidSystem) {
    let mut table = Table::new(vec![
        Column::new("part"),
        Column::new("group"),
        Column::of("mass", Kind::Mass).digits(3),
        Column::of("least", Kind::Mass).digits(2),
        Column::of("most", Kind::Mass).digits(2),
        Column::new("how").optional(),
    ]);
    let mut items: Vec<_> = system.items.iter().collect();
    let mass = |i: &crate::convert::MassItem| i.mass.map_or(0.0, |m| m.value.value);
    items.sort_by(|a, b| mass(b).total_cmp(&mass(a)));
    for item in items {
        table.row(vec![
            Value::Text(item.name.clone()),
            Value::Text(item.group.name().to_owned()),
            Value::of(Kind::Mass, item.mass.map(|m| m.value.value)),
            Value::of(Kind::Mass, item.mass.map(|m| m.low.value)),
            Value::of(Kind::Mass, item.mass.map(|m| m.high.value)),
            Value::Text(item.how.clone()),
        ]);
    }
    report.table("Masses of the liquid system", table);
}
