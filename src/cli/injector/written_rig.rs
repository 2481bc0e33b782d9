//! A rig file of the flags of `injector`: what they say, and a `"?"` for what they do not.

use super::{EdgeKind, InjectorArgs};
use crate::cli::context::Context;
use crate::cli::error::CliError;
use crate::cli::save::write_new;
use crate::injector::size::{InjectorResult, Unknown};
use crate::input::starter::{Answers, OPEN};
use crate::quantity::show::{Units, show_digits};
use crate::quantity::{Kind, PressureLevel, pascals_absolute};
use crate::report::Report;
use crate::report::injector::Written;
use std::path::Path;

/// Digits of a value: more than anybody types.
const DIGITS: usize = 6;

/// Writes the file and says so.
///
/// # Errors
/// [`CliError::NotWritten`].
pub(super) fn write(
    path: &Path,
    args: &InjectorArgs,
    found: &InjectorResult,
    context: &Context,
    report: &mut Report,
) -> Result<(), CliError> {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    let answers = Answers {
        name: stem.replace(['-', '_'], " "),
        given: given(args, found, context),
        train: false,
    };
    write_new(path, &answers.file())?;
    let open = answers
        .given
        .iter()
        .filter(|(_, value)| value.starts_with("\"?"));
    let open: Vec<String> = open.map(|(key, _)| format!("`{key}`")).collect();
    let path = path.display().to_string();
    report.paragraph(
        "Rig file",
        format!(
            "Wrote {path}. Fill in {}, or `[mains]` with its pressure in place of `[tank]`; then run: fuelwright audit {path}",
            open.join(", ")
        ),
    );
    report.keys(&Written::row(&path));
    Ok(())
}

fn quoted(kind: Kind, si: f64) -> String {
    format!("\"{}\"", show_digits(kind, si, Units::Si, DIGITS))
}

fn level(p: PressureLevel) -> String {
    match p {
        PressureLevel::Absolute(p) => quoted(Kind::AbsolutePressure, p.pascals()),
        PressureLevel::Gauge(p) => quoted(Kind::GaugePressure, p.pascals()),
    }
}

fn given(
    args: &InjectorArgs,
    found: &InjectorResult,
    context: &Context,
) -> Vec<(&'static str, String)> {
    let mut given: Vec<(&'static str, String)> = Vec::new();
    let mut add = |key, value: Option<String>| given.extend(value.map(|v| (key, v)));
    add("site.setting", Some(OPEN.to_owned()));
    let fuel = args
        .fuel
        .clone()
        .map(|f| toml::Value::String(f).to_string());
    add("fuel.composition", fuel);
    let air = args.air.map(|m| quoted(Kind::MassRate, m.value));
    add("air.flow", air.or(Some("\"? g/s\"".to_owned())));
    let ratio = args.equivalence_ratio.map(|x| match x.ends(|r| r.value) {
        (low, high) if low < high => format!("\"{low}-{high}\""),
        (one, _) => one.to_string(),
    });
    let flow = quoted(Kind::MassRate, found.flow.value.value);
    match ratio {
        Some(ratio) => add("duties.equivalence_ratio", Some(ratio)),
        None => add("duties.fuel_flow", Some(flow)),
    }
    add("duties.chamber_pressure", args.chamber.map(level));
    add("injector.holes", Some(found.holes.to_string()));
    let sized = found.unknown == Unknown::Diameter;
    let diameter = quoted(Kind::Length, found.diameter.value);
    add("injector.hole_diameter", (!sized).then_some(diameter));
    let supply_pa = found.supply.pressure_pa;
    let pressure = match args.upstream {
        Some(p) if p.from == p.to => level(p.from),
        Some(_) => level(pascals_absolute(supply_pa).gauge(context.ambient).into()),
        None => quoted(Kind::AbsolutePressure, supply_pa),
    };
    add("injector.pressure", Some(pressure));
    let temperature = quoted(Kind::Temperature, found.supply.temperature_k);
    add("injector.temperature", Some(temperature));
    let length = |x: crate::quantity::Length| quoted(Kind::Length, x.value);
    add("injector.hole_length", args.hole_length.map(length));
    let measured = args.discharge_coefficient.map(|c| c.value.to_string());
    let edge = match (args.edge, args.inlet_radius) {
        (EdgeKind::Rounded, _) | (EdgeKind::Drilled, Some(_)) => "rounded",
        (EdgeKind::Sharp, _) => "sharp",
        (EdgeKind::Drilled, None) => "drilled",
    };
    add(
        "injector.edge",
        measured.is_none().then(|| format!("\"{edge}\"")),
    );
    add("injector.edge_radius", args.inlet_radius.map(length));
    add("injector.discharge_coefficient", measured);
    add("tank.volume", Some("\"? L\"".to_owned()));
    add("tank.fuel_mass", Some("\"? kg\"".to_owned()));
    given
}
