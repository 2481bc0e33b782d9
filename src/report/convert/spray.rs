//! A switch to a liquid: nozzles, drops, evaporation, vaporiser tubes.

use crate::convert::evaporation::{CONSTANT_BAND, InZone, second_opinion};
use crate::convert::nozzle::NozzleOption;
use crate::convert::{ConvertInput, ToLiquid};
use crate::quantity::show::{show, significant};
use crate::quantity::{Kind, Length};
use crate::report::{Column, Fact, Report, Table, Value};

/// Drops are given in micrometres everywhere.
fn micrometres(d: Length) -> Value {
    Value::Number(d.value * 1e6)
}

/// Lives in milliseconds and ways in millimetres, one unit down the column.
fn thousandths(si: f64) -> Value {
    Value::Number(si * 1e3)
}

/// Options, then the drops of the proposed one.
pub(super) fn nozzles(report: &mut Report, input: &ConvertInput<'_>, plan: &ToLiquid) {
    let mut table = Table::new(vec![
        Column::new("nozzles"),
        Column::of("exit", Kind::Length).digits(3),
        Column::new("nearest drill"),
        Column::of("its flow error", Kind::Ratio).digits(2),
        Column::of("smallest passage", Kind::Length)
            .digits(3)
            .optional(),
        Column::new("made with"),
        Column::new(""),
    ]);
    for (i, o) in plan.nozzles.options.iter().enumerate() {
        table.row(vec![
            Value::Text(o.short_title()),
            Value::of(Kind::Length, o.exit.value),
            o.drill.map_or(Value::Text("none".to_owned()), |d| {
                Value::Text(d.name.clone())
            }),
            Value::of(Kind::Ratio, o.flow_error.map(|e| e.value)),
            Value::of(Kind::Length, o.passage.value),
            Value::Text(o.making.name().to_owned()),
            Value::Text(
                if plan.nozzles.proposed == Some(i) {
                    "proposed"
                } else {
                    ""
                }
                .to_owned(),
            ),
        ]);
    }
    report.table("Nozzles for the largest duty", table);
    for why in &plan.nozzles.refused {
        report.remark(format!("{why}."));
    }
    let l = &plan.liquid;
    let mut facts = vec![
        Fact::of("Density", Kind::Density, l.density.value),
        Fact::of("Viscosity", Kind::DynamicViscosity, l.viscosity.value)
            .within(l.viscosity_band.unwrap_or(0.0)),
        Fact::of(
            "Surface tension",
            Kind::SurfaceTension,
            l.surface_tension.value,
        ),
    ];
    if let Some(n) = plan.nozzles.proposed() {
        facts.push(
            Fact::plain("Discharge coefficient", n.discharge.0)
                .between(n.discharge.1, n.discharge.2),
        );
        facts.push(
            Fact::of("Filter mesh at most", Kind::Length, n.filter_mesh().value)
                .note("a third of the smallest passage; common practice, no source"),
        );
    }
    report.facts("Liquid at the nozzles, test day", facts);
    for kind in [
        crate::convert::nozzle::NozzleKind::PressureSwirl,
        crate::convert::nozzle::NozzleKind::PlainOrifice,
    ] {
        let of_kind = plan.nozzles.options.iter().filter(|o| o.kind == kind);
        let proposed = plan.nozzles.proposed().filter(|p| p.kind == kind);
        if let Some(option) = proposed.or_else(|| of_kind.min_by_key(|o| o.number)) {
            drops(report, option);
        }
    }
    for key in [
        "lefebvre1989",
        "jasuja1979",
        "radcliffe1960",
        "elkotb1982",
        "harmon1955",
        "rizk-lefebvre-1985",
    ] {
        report.cite(input.library, key);
    }
}

fn drops(report: &mut Report, option: &NozzleOption) {
    let first = option.drops.iter().find_map(|d| d.sizes.as_ref().ok());
    let mut columns = vec![
        Column::new("duty"),
        Column::of("nozzle drop", Kind::PressureDifference).digits(3),
    ];
    if let Some(sizes) = first {
        for each in &sizes.each {
            let author = each.correlation.split(' ').next().unwrap_or_default();
            columns.push(Column::new(format!("{author}, um")).digits(2));
        }
    }
    for name in ["mean, um", "least", "most"] {
        columns.push(Column::new(name).digits(2));
    }
    let width = columns.len();
    let mut table = Table::new(columns);
    for d in &option.drops {
        let mut row = vec![
            Value::Text(d.duty.clone()),
            Value::of(Kind::PressureDifference, d.drop.pascals()),
        ];
        match &d.sizes {
            Ok(sizes) => {
                row.extend(sizes.each.iter().map(|e| micrometres(e.mean)));
                row.extend([sizes.mean, sizes.low, sizes.high].map(micrometres));
            }
            Err(why) => {
                row.resize(width, Value::Absent);
                report.remark(format!("{}: {why}.", d.duty));
            }
        }
        table.row(row);
    }
    let heading = format!(
        "Drops of {}: Sauter mean by each correlation, and their spread",
        option.title()
    );
    report.table(&heading, table);
}

/// Heat, then life against stay in every zone.
pub(super) fn evaporation(report: &mut Report, plan: &ToLiquid) {
    let mut table = Table::new(vec![
        Column::new("duty"),
        Column::new("zone"),
        Column::of("gas", Kind::Temperature).digits(3),
        Column::new("mean drop lives, ms").digits(2),
        Column::new("large").digits(2),
        Column::new("gas stays").digits(2),
        Column::of("still liquid", Kind::Ratio).digits(2),
    ]);
    let mut lengths = Table::new(vec![
        Column::new("duty"),
        Column::new("zone"),
        Column::new("transfer number").digits(2),
        Column::of("constant", Kind::KinematicViscosity).digits(2),
        Column::new("mean drop flies, mm").digits(2),
        Column::new("large").digits(2),
        Column::new("largest gone, um").digits(2),
    ]);
    let mut heat = Table::new(vec![
        Column::new("duty"),
        Column::new("mean drop, um").digits(2),
        Column::new("a tenth of the fuel above, um").digits(2),
        Column::of("heat to vaporise", Kind::Power).digits(3),
        Column::of("of the heat release", Kind::Ratio).digits(2),
    ]);
    for duty in &plan.evaporation {
        let e = match duty {
            Ok(e) => e,
            Err(why) => {
                report.remark(format!("{why}."));
                continue;
            }
        };
        heat.row(vec![
            Value::Text(e.duty.clone()),
            micrometres(e.mean),
            micrometres(e.large),
            Value::of(Kind::Power, e.heat.value),
            Value::of(Kind::Ratio, e.share.value),
        ]);
        for zone in &e.zones {
            match zone {
                Ok(z) => {
                    table.row(life_row(&e.duty, z));
                    lengths.row(length_row(&e.duty, z));
                }
                Err(why) => report.remark(format!("{}: {why}.", e.duty)),
            }
        }
    }
    report.table("Heat to vaporise", heat);
    report.table("Drops against the time they have", table);
    report.table("How far drops fly before they are gone", lengths);
    report.assume(format!(
        "the evaporation constant of the d-squared law is good to {:.0} % [turns, godsave1953]; `still liquid` sums it over the spread of sizes",
        100.0 * CONSTANT_BAND
    ));
}

fn life_row(duty: &str, z: &InZone) -> Vec<Value> {
    vec![
        Value::Text(duty.to_owned()),
        Value::Text(z.zone.name.to_owned()),
        Value::of(Kind::Temperature, z.zone.gas.value),
        thousandths(z.mean_life.value),
        thousandths(z.large_life.value),
        z.zone
            .residence
            .map_or(Value::Absent, |t| thousandths(t.value)),
        Value::of(Kind::Ratio, z.liquid_left.map(|l| l.value)),
    ]
}

fn length_row(duty: &str, z: &InZone) -> Vec<Value> {
    vec![
        Value::Text(duty.to_owned()),
        Value::Text(z.zone.name.to_owned()),
        Value::Number(z.transfer_number.value),
        Value::of(
            Kind::KinematicViscosity,
            z.constant.square_metres_per_second(),
        ),
        z.mean_length
            .map_or(Value::Absent, |l| thousandths(l.value)),
        z.large_length
            .map_or(Value::Absent, |l| thousandths(l.value)),
        z.largest_gone.map_or(Value::Absent, micrometres),
    ]
}

/// Tubes in the flame.
pub(super) fn vaporiser(report: &mut Report, plan: &ToLiquid) {
    let v = match &plan.vaporiser {
        Ok(v) => v,
        Err(why) => {
            report.remark(format!("Vaporiser tubes: {why}."));
            return;
        }
    };
    let mut facts = vec![
        Fact::text("Tubes", format!("{} in parallel", v.number)),
        Fact::of("Outside diameter", Kind::Length, v.outside.value),
        Fact::of("Bore", Kind::Length, v.bore.value),
        Fact::of(
            "Fuel boils at",
            Kind::Temperature,
            v.volatility.boiling.value,
        )
        .note(
            v.volatility
                .surrogate
                .as_ref()
                .map_or_else(|| "own equation".to_owned(), |s| format!("as {s}")),
        ),
        Fact::of(
            "Heat to vaporise",
            Kind::SpecificEnergy,
            v.volatility.heat.value,
        )
        .within(v.volatility.band)
        .note("from the test day's liquid to dry vapour"),
        Fact::of("Heat at the largest duty", Kind::Power, v.heat.value),
    ];
    if let Some((zone, t)) = v.gas {
        facts.push(Fact::of(
            format!("Gas around them, {zone}"),
            Kind::Temperature,
            t.value,
        ));
    }
    if let Some(h) = v.coefficient {
        facts.push(
            Fact::of("Coefficient outside", Kind::HeatTransfer, h.value)
                .from_source("churchill1977"),
        );
    }
    if let Some(q) = v.flux {
        facts.push(Fact::of("Heat flux", Kind::HeatFlux, q.value));
    }
    if let Some([best, least, most]) = v.length {
        facts.push(
            Fact::of("Length of each in the flame", Kind::Length, best.value)
                .between(least.value, most.value)
                .note(v.turns.map_or_else(
                    || "clean tube, radiation left out".to_owned(),
                    |t| {
                        format!(
                            "{} turns round the can; clean tube, radiation left out",
                            significant(t, 2)
                        )
                    },
                )),
        );
    } else {
        report.remark("The length of the vaporiser tubes is not known: the rig file gives no can volume and length, or the flame is not known.");
    }
    facts.push(Fact::of(
        "Vapour at their ends",
        Kind::Velocity,
        v.vapour_velocity.value,
    ));
    facts.push(match &v.jet {
        Ok((d, making)) => Fact::of("Metering jet of each", Kind::Length, d.value)
            .note(format!("{}; at a drop of 1 bar", making.name())),
        Err(why) => Fact::text("Metering jet of each", format!("not known: {why}")),
    });
    report.facts("Vaporiser tubes", facts);
    report.remark("Vaporiser tubes need a flame before they work: start on a gas pilot or an electric heater of the power shown. Kerosene and diesel leave coke in tubes whose wall passes about 400 degC (common practice, no source).");
    ring(report, plan);
}

fn ring(report: &mut Report, plan: &ToLiquid) {
    let Ok(v) = &plan.vaporiser else { return };
    match &v.through_ring {
        Some(Ok(r)) => {
            let units = crate::quantity::show::Units::Si;
            report.facts(
                "Vapour through the old gas holes",
                vec![
                    Fact::of(
                        "Pressure before them at the largest duty",
                        Kind::AbsolutePressure,
                        r.pressure.pascals(),
                    ),
                    Fact::of("Vapour", Kind::Temperature, r.temperature.value).note(
                        r.surrogate
                            .as_ref()
                            .map_or_else(|| "own equation".to_owned(), |s| format!("as {s}")),
                    ),
                    Fact::of("It condenses below", Kind::Temperature, r.dew.value).note(format!(
                        "every part of ring and line must stay hotter; margin {}",
                        show(Kind::TemperatureDifference, r.superheat.value, units)
                    )),
                ],
            );
        }
        Some(Err(why)) => report.remark(format!("Vapour through the old gas holes: {why}.")),
        None => {}
    }
}

/// A line on the measured burning constant, where one is listed.
pub(super) fn second(report: &mut Report, input: &ConvertInput<'_>) {
    if let Some(k) = second_opinion(input) {
        report.remark(format!(
            "Single drops of {} that burn with a flame of their own have been measured at about {} mm²/s [burning-constant-memory].",
            input.to.composition().label(),
            significant(k.square_metres_per_second() * 1e6, 2)
        ));
    }
}
