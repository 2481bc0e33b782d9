//! Values of keys: how each type is read from the file and written to it.

use super::field::{Field, Takes};
use super::reader::Reader;
use crate::quantity::printable::name;
use crate::quantity::{
    AbsolutePressure, Angle, Area, AvailableEnergy, FlowCoefficient, GaugePressure, HeatTransfer,
    Length, Mass, MassDensity, MassRate, Power, PressureDifference, PressureLevel, Ratio,
    SpecificHeatCapacity, TemperatureInterval, ThermalConductance, ThermalConductivity,
    ThermodynamicTemperature, Time, Velocity, Volume, VolumeRate, parse::FromText,
    pattern::Writing, ratio, span::Span,
};
use crate::train::rig::Date;
use toml::Spanned;
use toml::de::DeValue;

/// Longest text of a quantity.
const LONGEST_QUANTITY: usize = 80;
/// Longest text of any kind.
pub(super) const LONGEST_TEXT: usize = 4000;
/// Longest list.
pub const LONGEST_LIST: usize = 10_000;

/// A type that a key can have.
pub trait FieldValue: Sized + PartialEq + Clone + std::fmt::Debug {
    /// SI unit of its numbers, empty for none.
    const UNIT: &'static str = "";
    /// What the key takes.
    fn takes() -> Takes;
    /// Reads a value; notes what is wrong with it and gives `None`.
    fn read(value: &Spanned<DeValue<'_>>, field: &Field, reader: &mut Reader) -> Option<Self>;
    /// The value as TOML, read back as the same value to the last digit.
    fn write(&self) -> String;
    /// The numbers in it in SI units, to hold against the bounds of the key.
    fn numbers(&self) -> Vec<f64> {
        Vec::new()
    }
    /// The numbers in it in SI units, a pressure as a gauge in this air reads it.
    fn gauged(&self, _air: AbsolutePressure) -> Vec<f64> {
        self.numbers()
    }
    /// What `"none"` stands for in a key that takes it; `None`: no value, and the file says so.
    fn of_none() -> Option<Self> {
        None
    }
}

/// A number as TOML: all its digits, and a point so that it stays a float.
fn float(x: f64) -> String {
    format!("{x:?}")
}

/// Text as TOML.
fn text(s: &str) -> String {
    toml::Value::String(s.to_owned()).to_string()
}

/// Notes a value of the wrong type.
pub(super) fn wrong<T>(
    value: &Spanned<DeValue<'_>>,
    field: &Field,
    reader: &mut Reader,
) -> Option<T> {
    let example = format!("{} = {}", field.key, field.example);
    reader.wrong_type(field.key, value, &field.takes.to_string(), &example);
    None
}

/// Notes a number that is none of those the key takes, or a day that is no date, as it stands in the file.
fn not_taken<T>(
    value: &Spanned<DeValue<'_>>,
    field: &Field,
    reader: &mut Reader,
    takes: &str,
) -> Option<T> {
    let given = match value.get_ref() {
        DeValue::Integer(i) => i.to_string(),
        DeValue::Float(f) => f.to_string(),
        DeValue::Datetime(d) => d.to_string(),
        _ => return wrong(value, field, reader),
    };
    let meant = match (&field.takes, whole(value.get_ref())) {
        (Takes::Count, Some(n)) => n.to_string(),
        _ => field.example.to_owned(),
    };
    reader.mistake(
        "E202",
        format!("`{}` takes {takes}, not `{}`", field.key, name(&given)),
        value.span(),
        field.label(),
        Some(format!("write `{} = {meant}`", field.key)),
    );
    None
}

/// The whole number that somebody meant by `3.0`, `1e3` or `0x10`.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // held to the range before
fn whole(value: &DeValue<'_>) -> Option<u32> {
    match value {
        DeValue::Integer(i) => u32::from_str_radix(&i.as_str().replace('_', ""), i.radix()).ok(),
        value => plain_number(value)
            .filter(|x| x.fract().abs() < f64::EPSILON && (0.0..=f64::from(u32::MAX)).contains(x))
            .map(|x| x as u32),
    }
}

fn quantity<T: FromText>(
    value: &Spanned<DeValue<'_>>,
    field: &Field,
    reader: &mut Reader,
) -> Option<T> {
    let Some(written) = value.get_ref().as_str() else {
        let example = format!("{} = {}", field.key, field.example);
        let want = format!("{} as text with its unit", field.takes);
        reader.wrong_type(field.key, value, &want, &example);
        return None;
    };
    if written.len() > LONGEST_QUANTITY {
        reader.mistake(
            "E201",
            format!("`{}` is not {}", name(written), field.takes),
            value.span(),
            field.label(),
            Some(format!("for example `{} = {}`", field.key, field.example)),
        );
        return None;
    }
    match T::from_text(written) {
        Ok(read) => Some(read),
        Err(error) => {
            reader.mistake(
                "E201",
                error.to_string(),
                value.span(),
                field.label(),
                Some(format!("for example `{} = {}`", field.key, field.example)),
            );
            None
        }
    }
}

/// Quantities: type, what messages call it, its SI figure, unit to write it in.
macro_rules! quantities {
    ($($type:ty, $what:literal, $si:expr, $unit:literal;)*) => {$(
        impl FieldValue for $type {
            const UNIT: &'static str = $unit;
            fn takes() -> Takes {
                let writing = Writing::of($unit).expect("a unit of the table: a test reads every key");
                Takes::Quantity($what, writing)
            }
            fn read(v: &Spanned<DeValue<'_>>, field: &Field, reader: &mut Reader) -> Option<Self> {
                quantity(v, field, reader)
            }
            fn write(&self) -> String {
                let si: fn(&Self) -> f64 = $si;
                format!("\"{} {}\"", float(si(self)), $unit)
            }
            fn numbers(&self) -> Vec<f64> {
                let si: fn(&Self) -> f64 = $si;
                vec![si(self)]
            }
        }
    )*};
}

quantities! {
    Length, "a length", |q| q.value, "m";
    Area, "an area", |q| q.value, "m2";
    Volume, "a volume", |q| q.value, "m3";
    Mass, "a mass", |q| q.value, "kg";
    MassRate, "a mass flow", |q| q.value, "kg/s";
    VolumeRate, "a volume flow", |q| q.value, "m3/s";
    MassDensity, "a density", |q| q.value, "kg/m3";
    Power, "a power", |q| q.value, "W";
    AvailableEnergy, "an energy by mass", |q| q.value, "J/kg";
    SpecificHeatCapacity, "a specific heat", |q| q.value, "J/(kg K)";
    ThermalConductance, "a thermal conductance", |q| q.value, "W/K";
    ThermalConductivity, "a conductance by length", |q| q.value, "W/(m K)";
    HeatTransfer, "a heat transfer coefficient", |q| q.value, "W/(m2 K)";
    Time, "a duration", |q| q.value, "s";
    Velocity, "a velocity", |q| q.value, "m/s";
    Angle, "an angle", |q| q.value, "rad";
    ThermodynamicTemperature, "a temperature", |q| q.value, "K";
    TemperatureInterval, "a temperature difference", |q| q.value, "K";
    AbsolutePressure, "an absolute pressure", |q| q.pascals(), "Pa(a)";
    GaugePressure, "a gauge pressure", |q| q.pascals(), "Pa(g)";
    PressureDifference, "a pressure difference", |q| q.pascals(), "Pa";
    FlowCoefficient, "a flow coefficient", |q| q.kv(), "Kv";
}

impl FieldValue for PressureLevel {
    fn takes() -> Takes {
        Takes::Quantity("a pressure, gauge or absolute", Writing::EITHER)
    }
    fn read(v: &Spanned<DeValue<'_>>, field: &Field, reader: &mut Reader) -> Option<Self> {
        quantity(v, field, reader)
    }
    fn write(&self) -> String {
        match self {
            Self::Absolute(p) => p.write(),
            Self::Gauge(p) => p.write(),
        }
    }
    fn numbers(&self) -> Vec<f64> {
        match self {
            Self::Absolute(p) => p.numbers(),
            Self::Gauge(p) => p.numbers(),
        }
    }
    fn gauged(&self, air: AbsolutePressure) -> Vec<f64> {
        match self {
            Self::Absolute(p) => p.gauge(air).numbers(),
            Self::Gauge(p) => p.numbers(),
        }
    }
}

/// What a number is to be.
const PLAIN: &str = "finite numbers in plain digits";

/// A finite number of the file, whole or not.
fn plain_number(value: &DeValue<'_>) -> Option<f64> {
    let number = match value {
        DeValue::Integer(i) if i.radix() == 10 => i.as_str().replace('_', "").parse().ok(),
        DeValue::Float(f) => f.as_str().replace('_', "").parse().ok(),
        _ => None,
    };
    number.filter(|x: &f64| x.is_finite())
}

impl FieldValue for Ratio {
    fn takes() -> Takes {
        Takes::Ratio
    }
    fn read(v: &Spanned<DeValue<'_>>, field: &Field, reader: &mut Reader) -> Option<Self> {
        if v.get_ref().is_str() {
            return quantity(v, field, reader);
        }
        plain_number(v.get_ref())
            .map(ratio)
            .or_else(|| not_taken(v, field, reader, PLAIN))
    }
    fn write(&self) -> String {
        float(self.value)
    }
    fn numbers(&self) -> Vec<f64> {
        vec![self.value]
    }
}

impl FieldValue for Span<Ratio> {
    fn takes() -> Takes {
        Takes::RatioRange
    }
    fn read(v: &Spanned<DeValue<'_>>, field: &Field, reader: &mut Reader) -> Option<Self> {
        if v.get_ref().is_str() {
            return quantity(v, field, reader);
        }
        Ratio::read(v, field, reader).map(Self::of)
    }
    fn write(&self) -> String {
        match self.ends(|r| r.value) {
            (low, high) if low < high => format!("\"{}-{}\"", float(low), float(high)),
            (one, _) => float(one),
        }
    }
    fn numbers(&self) -> Vec<f64> {
        match self.ends(|r| r.value) {
            (low, high) if low < high => vec![low, high],
            (one, _) => vec![one],
        }
    }
}

impl FieldValue for f64 {
    fn takes() -> Takes {
        Takes::Number
    }
    fn read(v: &Spanned<DeValue<'_>>, field: &Field, reader: &mut Reader) -> Option<Self> {
        plain_number(v.get_ref()).or_else(|| not_taken(v, field, reader, PLAIN))
    }
    fn write(&self) -> String {
        float(*self)
    }
    fn numbers(&self) -> Vec<f64> {
        vec![*self]
    }
}

impl FieldValue for u32 {
    fn takes() -> Takes {
        Takes::Count
    }
    fn read(v: &Spanned<DeValue<'_>>, field: &Field, reader: &mut Reader) -> Option<Self> {
        v.get_ref()
            .as_integer()
            .filter(|i| i.radix() == 10)
            .and_then(|i| i.as_str().replace('_', "").parse().ok())
            .or_else(|| {
                let takes = format!("whole numbers of 0 to {} in plain digits", u32::MAX);
                not_taken(v, field, reader, &takes)
            })
    }
    fn write(&self) -> String {
        self.to_string()
    }
    fn numbers(&self) -> Vec<f64> {
        vec![f64::from(*self)]
    }
}

impl FieldValue for bool {
    fn takes() -> Takes {
        Takes::Flag
    }
    fn read(v: &Spanned<DeValue<'_>>, field: &Field, reader: &mut Reader) -> Option<Self> {
        v.get_ref().as_bool().or_else(|| wrong(v, field, reader))
    }
    fn write(&self) -> String {
        self.to_string()
    }
    fn of_none() -> Option<Self> {
        Some(false)
    }
}

impl FieldValue for String {
    fn takes() -> Takes {
        Takes::Text
    }
    fn read(v: &Spanned<DeValue<'_>>, field: &Field, reader: &mut Reader) -> Option<Self> {
        let written = v.get_ref().as_str();
        let Some(written) = written else {
            return wrong(v, field, reader);
        };
        if written.len() > LONGEST_TEXT || written.trim().is_empty() {
            reader.mistake(
                "E206",
                format!("`{}` takes text of 1 to {LONGEST_TEXT} bytes", field.key),
                v.span(),
                field.label(),
                None,
            );
            return None;
        }
        Some(written.to_owned())
    }
    fn write(&self) -> String {
        text(self)
    }
}

impl FieldValue for Date {
    fn takes() -> Takes {
        Takes::Date
    }
    fn read(v: &Spanned<DeValue<'_>>, field: &Field, reader: &mut Reader) -> Option<Self> {
        let date = v.get_ref().as_datetime().and_then(|d| d.date);
        let date = date.and_then(|d| Self::new(d.year, d.month, d.day));
        date.or_else(|| not_taken(v, field, reader, "a date"))
    }
    fn write(&self) -> String {
        self.to_string()
    }
}

impl<T: FieldValue> FieldValue for Vec<T> {
    const UNIT: &'static str = T::UNIT;
    fn takes() -> Takes {
        Takes::List(Box::new(T::takes()))
    }
    fn read(v: &Spanned<DeValue<'_>>, field: &Field, reader: &mut Reader) -> Option<Self> {
        let Some(items) = v.get_ref().as_array() else {
            return wrong(v, field, reader);
        };
        if items.is_empty() || items.len() > LONGEST_LIST {
            reader.mistake(
                "E207",
                format!("`{}` takes a list of 1 to {LONGEST_LIST} values", field.key),
                v.span(),
                field.label(),
                None,
            );
            return None;
        }
        let read: Vec<Option<T>> = items.iter().map(|i| T::read(i, field, reader)).collect();
        read.into_iter().collect()
    }
    fn write(&self) -> String {
        let items: Vec<String> = self.iter().map(FieldValue::write).collect();
        format!("[{}]", items.join(", "))
    }
    fn numbers(&self) -> Vec<f64> {
        self.iter().flat_map(FieldValue::numbers).collect()
    }
}

impl<A: FieldValue, B: FieldValue> FieldValue for (A, B) {
    fn takes() -> Takes {
        Takes::Pairs(Box::new(A::takes()), Box::new(B::takes()))
    }
    fn read(v: &Spanned<DeValue<'_>>, field: &Field, reader: &mut Reader) -> Option<Self> {
        let Some(pair) = v.get_ref().as_array() else {
            return wrong(v, field, reader);
        };
        if pair.len() != 2 {
            reader.mistake(
                "E207",
                format!(
                    "`{}` takes pairs, lists of two values; this one has {}",
                    field.key,
                    pair.len()
                ),
                v.span(),
                field.label(),
                Some(format!("write `{} = {}`", field.key, field.example)),
            );
            return None;
        }
        let mut items = pair.iter();
        let (a, b) = (items.next()?, items.next()?);
        let (a, b) = (A::read(a, field, reader), B::read(b, field, reader));
        Some((a?, b?))
    }
    fn write(&self) -> String {
        format!("[{}, {}]", self.0.write(), self.1.write())
    }
    fn numbers(&self) -> Vec<f64> {
        [self.0.numbers(), self.1.numbers()].concat()
    }
}
