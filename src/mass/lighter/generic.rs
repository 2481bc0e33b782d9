//! A generic part of the catalogue in place of a part of the rig.

use crate::quantity::parse::{FromText, parse};
use crate::quantity::{AbsolutePressure, FlowCoefficient, Length, Mass, PressureLevel};
use crate::train::catalogue::GenericPart;
use crate::train::{Actuation, Characteristic, Part, PartKind, Rating};

fn value<T: FromText>(generic: &GenericPart, key: &str) -> Option<T> {
    parse(generic.values.get(key)?.as_str()?).ok()
}

/// Mass of a generic part, where it has one.
pub fn mass(generic: &GenericPart) -> Option<Mass> {
    value(generic, "mass")
}

/// What a generic part goes by: Kv of a regulator's seat, else its bore in metres.
pub fn size(generic: &GenericPart) -> Option<f64> {
    let seat: Option<FlowCoefficient> = value(generic, "wide_open");
    let bore: Option<Length> = value(generic, "bore");
    seat.map(FlowCoefficient::kv).or(bore.map(|b| b.value))
}

/// What moves a generic part.
fn actuation(generic: &GenericPart) -> Option<Actuation> {
    match generic.values.get("actuation")?.as_str()? {
        "manual" => Some(Actuation::Manual),
        "solenoid-spring-closed" => Some(Actuation::SolenoidSpringClosed),
        "solenoid-spring-open" => Some(Actuation::SolenoidSpringOpen),
        "motor" => Some(Actuation::Motor),
        "motor-spring-return" => Some(Actuation::MotorSpringReturn),
        "self-acting" => Some(Actuation::SelfActing),
        _ => None,
    }
}

fn characteristic(generic: &GenericPart) -> Option<Characteristic> {
    let rangeability = || generic.values.get("rangeability")?.as_float();
    match generic.values.get("curve")?.as_str()? {
        "on-off" => Some(Characteristic::OnOff),
        "linear" => Some(Characteristic::Linear {
            rangeability: rangeability()?,
        }),
        "equal-percentage" => Some(Characteristic::EqualPercentage {
            rangeability: rangeability()?,
        }),
        _ => None,
    }
}

fn rating(generic: &GenericPart, air: AbsolutePressure) -> Rating {
    let level: Option<PressureLevel> = value(generic, "max_pressure");
    Rating {
        max_pressure: level.and_then(|l| l.absolute(air).ok()),
        min_temperature: value(generic, "min_temperature"),
        max_temperature: value(generic, "max_temperature"),
    }
}

/// A part with the size, rating and mass of a generic part of its kind, and all else its own.
///
/// `None` where the two are not of one kind, are not moved by the same means, or the generic part does not
/// give what counts. Fittings and lines are not replaced: a fitting's shape is its purpose, and tube has a
/// table of its own.
pub fn replaced(part: &Part, generic: &GenericPart, air: AbsolutePressure) -> Option<Part> {
    if generic.kind != part.kind.name() {
        return None;
    }
    let moved = part.closure.as_ref().map(|c| c.actuation);
    if moved.is_some() && moved != actuation(generic) {
        return None;
    }
    let mut other = part.clone();
    match &mut other.kind {
        PartKind::CylinderValve(v)
        | PartKind::BallValve(v)
        | PartKind::NeedleValve(v)
        | PartKind::SolenoidValve(v)
        | PartKind::MeteringValve(v) => {
            v.bore = value(generic, "bore")?;
            v.full_open = generic.flow_coefficient()?;
            v.characteristic = characteristic(generic)?;
        }
        PartKind::CheckValve(c) => {
            c.bore = value(generic, "bore")?;
            c.open = generic.flow_coefficient()?;
        }
        PartKind::ExcessFlowValve(e) => {
            e.bore = value(generic, "bore")?;
            e.open = generic.flow_coefficient()?;
            e.closing_flow = value(generic, "closing_flow")?;
            e.closing_density = value(generic, "closing_density")?;
        }
        PartKind::Filter(r) | PartKind::FlameArrestor(r) => {
            r.bore = value(generic, "bore")?;
            r.clean = generic.flow_coefficient()?;
        }
        PartKind::Regulator(r) => {
            r.wide_open = value(generic, "wide_open")?;
            let level: Option<PressureLevel> = value(generic, "max_inlet");
            r.max_inlet = level.and_then(|l| l.absolute(air).ok());
        }
        _ => return None,
    }
    other.mass = Some(mass(generic)?);
    other.rating = rating(generic, air);
    other.catalogue = Some(generic.name.clone());
    Some(other)
}
