//! Quantities from text with a unit: `"3 bar(g)"`, `"1/16 in"`, `"20 degC"`, `"0.8 g/s"`.

use super::kind::Kind;
use super::lookup::{Mark, find, nearest};
use super::number::{Split, split};
use super::units::UNITS;
use super::{
    AbsolutePressure, Angle, Area, AvailableEnergy, DynamicViscosity, Energy, FlowCoefficient,
    Force, Frequency, GaugePressure, HeatCapacity, HeatFluxDensity, HeatTransfer,
    KinematicViscosity, Length, Mass, MassDensity, MassFlux, MassRate, MolarMass, Power,
    PressureDifference, PressureLevel, QuantityError, Ratio, SpecificHeatCapacity, SurfaceTension,
    TemperatureInterval, ThermalConductance, ThermalConductivity, ThermodynamicTemperature, Time,
    Velocity, Volume, VolumeRate,
};

/// A quantity that can be given as text.
pub trait FromText: Sized {
    /// Reads the quantity.
    ///
    /// # Errors
    /// [`QuantityError`] names the text, what is wrong with it and what is accepted.
    fn from_text(text: &str) -> Result<Self, QuantityError>;
}

/// Reads a quantity of the type asked for.
///
/// ```
/// use fuelwright::quantity::{Length, parse::parse, PressureLevel};
///
/// let hole: Length = parse("1/16 in")?;
/// assert!((hole.value - 1.5875e-3).abs() < 1e-12);
///
/// let bare = parse::<PressureLevel>("3 bar").unwrap_err();
/// assert_eq!(
///     bare.to_string(),
///     "`3 bar` does not say whether it is gauge or absolute; \
///      write `3 bar(g)` or `3 bar(a)` (short: barg, bara)"
/// );
/// # Ok::<(), fuelwright::quantity::QuantityError>(())
/// ```
///
/// # Errors
/// As [`FromText::from_text`].
pub fn parse<T: FromText>(text: &str) -> Result<T, QuantityError> {
    T::from_text(text)
}

/// The number at the front of a text and the unit behind it, as written; empty where there is none. `None` for
/// a text that is not a number, or with something behind it that is no unit.
///
/// ```
/// use fuelwright::quantity::parse::number_and_unit;
/// assert_eq!(number_and_unit("1.5 bar(g)"), Some((1.5, "bar(g)")));
/// assert_eq!(number_and_unit("0.3"), Some((0.3, "")));
/// assert_eq!(number_and_unit("310 stainless steel"), None);
/// ```
pub fn number_and_unit(text: &str) -> Option<(f64, &str)> {
    let split = split(text).ok()?;
    (split.unit.is_empty() || find(split.unit).is_some()).then_some((split.value, split.unit))
}

/// A number with a unit that was found.
struct Read<'a> {
    text: &'a str,
    split: Split<'a>,
    si: f64,
    factor: f64,
    symbol: &'static str,
    mark: Option<Mark>,
}

/// Reads number and unit; `want` is for the messages.
fn read(text: &str, want: Kind, level: bool) -> Result<Read<'_>, QuantityError> {
    let split = split(text)?;
    let accepted = || accepted(want, level);
    if split.unit.is_empty() {
        return Err(QuantityError::MissingUnit {
            text: text.to_owned(),
            what: what(want, level),
            accepted: accepted(),
        });
    }
    if counts_at_reference(split.unit) {
        return Err(QuantityError::ReferenceVolume {
            text: text.to_owned(),
            unit: split.unit.to_owned(),
        });
    }
    let Some((unit, mark)) = find(split.unit) else {
        return Err(QuantityError::UnknownUnit {
            text: text.to_owned(),
            unit: split.unit.to_owned(),
            what: what(want, level),
            suggestion: nearest(split.unit, units_of(want)),
            accepted: accepted(),
        });
    };
    let si = split.value * unit.factor + unit.offset;
    if !si.is_finite() {
        return Err(QuantityError::NotFinite {
            text: text.to_owned(),
        });
    }
    let fits = units_of(want).contains(&unit.kind);
    if !fits {
        return Err(QuantityError::WrongDimension {
            text: text.to_owned(),
            found: match mark {
                Some(Mark::Gauge) => Kind::GaugePressure.name(),
                Some(Mark::Absolute) => Kind::AbsolutePressure.name(),
                None if unit.kind == Kind::PressureDifference => "a pressure",
                None => unit.kind.name(),
            },
            what: what(want, level),
            accepted: accepted(),
        });
    }
    Ok(Read {
        text,
        split,
        si,
        factor: unit.factor,
        symbol: unit.symbol,
        mark,
    })
}

/// The kinds of the unit table that a kind of quantity is written in.
fn units_of(want: Kind) -> &'static [Kind] {
    match want {
        Kind::AbsolutePressure | Kind::GaugePressure | Kind::PressureDifference => {
            &[Kind::PressureDifference]
        }
        Kind::TemperatureDifference => &[Kind::Temperature],
        _ => UNITS
            .iter()
            .find(|u| u.kind == want)
            .map_or(&[], |u| std::slice::from_ref(&u.kind)),
    }
}

fn what(want: Kind, level: bool) -> &'static str {
    if level { "a pressure" } else { want.name() }
}

/// Units listed in messages.
fn accepted(want: Kind, level: bool) -> String {
    if level {
        return "bar, mbar, kPa, MPa, Pa, psi, inH2O, mmHg or atm, each with (g) for gauge or (a) for absolute, such as `3 bar(g)`".to_owned();
    }
    let marked = match want {
        Kind::AbsolutePressure => "(a)",
        Kind::GaugePressure => "(g)",
        _ => "",
    };
    let kinds = units_of(want);
    let symbols: Vec<String> = UNITS
        .iter()
        .filter(|u| kinds.contains(&u.kind))
        .map(|u| format!("{}{marked}", u.symbol))
        .collect();
    match symbols.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
        None => String::new(),
    }
}

/// Units that count gas at reference conditions: normal and standard volumes.
fn counts_at_reference(unit: &str) -> bool {
    let unit = unit
        .to_lowercase()
        .replace(['³', '^', ' '], "")
        .replace("m³", "m3");
    [
        "nm3", "sm3", "scf", "sl/", "nl/", "slpm", "nlpm", "sccm", "slm", "nlm",
    ]
    .iter()
    .any(|start| unit.starts_with(start))
}

fn refuse_negative(read: &Read<'_>, want: Kind) -> Result<(), QuantityError> {
    if read.si < 0.0 {
        return Err(QuantityError::Negative {
            text: read.text.to_owned(),
            what: want.name(),
        });
    }
    Ok(())
}

/// Implements [`FromText`] for `uom` types: type, kind, constructor, and whether it may be negative.
macro_rules! from_text {
    ($($quantity:ty, $kind:expr, $from_si:path, $sign:ident;)*) => {$(
        impl FromText for $quantity {
            fn from_text(text: &str) -> Result<Self, QuantityError> {
                let read = read(text, $kind, false)?;
                from_text!(@$sign read, $kind);
                Ok($from_si(read.si))
            }
        }
    )*};
    (@signed $read:ident, $kind:expr) => {};
    (@positive $read:ident, $kind:expr) => { refuse_negative(&$read, $kind)?; };
}

from_text! {
    Length, Kind::Length, super::metres, signed;
    Area, Kind::Area, super::square_metres, positive;
    Volume, Kind::Volume, super::cubic_metres, positive;
    Mass, Kind::Mass, super::kilograms, positive;
    MassRate, Kind::MassRate, super::kilograms_per_second, signed;
    VolumeRate, Kind::VolumeRate, super::cubic_metres_per_second, signed;
    MassFlux, Kind::MassFlux, super::kilograms_per_square_metre_second, signed;
    MassDensity, Kind::Density, super::kilograms_per_cubic_metre, positive;
    MolarMass, Kind::MolarMass, super::kilograms_per_mole, positive;
    Power, Kind::Power, super::watts, signed;
    Energy, Kind::Energy, super::joules, signed;
    AvailableEnergy, Kind::SpecificEnergy, super::joules_per_kilogram, signed;
    SpecificHeatCapacity, Kind::SpecificHeat, super::joules_per_kilogram_kelvin, positive;
    HeatCapacity, Kind::HeatCapacity, super::joules_per_kelvin, positive;
    ThermalConductance, Kind::ThermalConductance, super::watts_per_kelvin, positive;
    HeatTransfer, Kind::HeatTransfer, super::watts_per_square_metre_kelvin, positive;
    HeatFluxDensity, Kind::HeatFlux, super::watts_per_square_metre, signed;
    ThermalConductivity, Kind::Conductivity, super::watts_per_metre_kelvin, positive;
    Time, Kind::Time, super::seconds, positive;
    Velocity, Kind::Velocity, super::metres_per_second, signed;
    Angle, Kind::Angle, super::radians, signed;
    DynamicViscosity, Kind::DynamicViscosity, super::pascal_seconds, positive;
    KinematicViscosity, Kind::KinematicViscosity, super::square_metres_per_second, positive;
    SurfaceTension, Kind::SurfaceTension, super::newtons_per_metre, positive;
    Force, Kind::Force, super::newtons, signed;
    Frequency, Kind::Frequency, super::per_second, positive;
}

impl FromText for ThermodynamicTemperature {
    fn from_text(text: &str) -> Result<Self, QuantityError> {
        let read = read(text, Kind::Temperature, false)?;
        if read.si < 0.0 {
            return Err(QuantityError::BelowAbsoluteZero {
                text: text.to_owned(),
            });
        }
        Ok(super::kelvin(read.si))
    }
}

impl FromText for TemperatureInterval {
    /// A difference: `10 degC` and `10 K` are the same, `18 degF` too.
    fn from_text(text: &str) -> Result<Self, QuantityError> {
        let read = read(text, Kind::TemperatureDifference, false)?;
        Ok(super::kelvin_difference(read.split.value * read.factor))
    }
}

impl FromText for Ratio {
    /// `35 %` or `0.35`.
    fn from_text(text: &str) -> Result<Self, QuantityError> {
        let split = split(text)?;
        if split.unit.is_empty() {
            return Ok(super::ratio(split.value));
        }
        Ok(super::ratio(read(text, Kind::Ratio, false)?.si))
    }
}

impl FromText for FlowCoefficient {
    /// `0.4 Kv`, `Kv 0.4`, `0.46 Cv`, `Cv 0.46`.
    fn from_text(text: &str) -> Result<Self, QuantityError> {
        let trimmed = text.trim();
        let turned = trimmed
            .get(..2)
            .filter(|h| ["kv", "cv"].contains(&h.to_lowercase().as_str()));
        let turned = turned.map(|head| {
            let number = trimmed[2..]
                .trim_start()
                .trim_start_matches('=')
                .trim_start();
            format!("{number} {head}")
        });
        match turned {
            Some(turned) => flow_coefficient(&turned).map_err(|e| e.told_as_typed(text)),
            None => flow_coefficient(text),
        }
    }
}

fn flow_coefficient(text: &str) -> Result<FlowCoefficient, QuantityError> {
    let read = read(text, Kind::FlowCoefficient, false)?;
    refuse_negative(&read, Kind::FlowCoefficient)?;
    Ok(FlowCoefficient::from_kv(read.si))
}

impl FromText for PressureLevel {
    /// A level must say whether it is gauge or absolute.
    fn from_text(text: &str) -> Result<Self, QuantityError> {
        let read = read(text, Kind::AbsolutePressure, true)?;
        level(&read)
    }
}

fn level(read: &Read<'_>) -> Result<PressureLevel, QuantityError> {
    match read.mark {
        Some(Mark::Gauge) => Ok(GaugePressure::from_pascals(read.si).into()),
        Some(Mark::Absolute) if read.si > 0.0 => Ok(AbsolutePressure::from_pascals(read.si).into()),
        Some(Mark::Absolute) => Err(QuantityError::NotAboveVacuum {
            text: read.text.to_owned(),
        }),
        None => Err(QuantityError::UnmarkedLevel {
            text: read.text.to_owned(),
            number: read.split.number.to_owned(),
            unit: read.symbol,
        }),
    }
}

impl FromText for AbsolutePressure {
    fn from_text(text: &str) -> Result<Self, QuantityError> {
        let read = read(text, Kind::AbsolutePressure, false)?;
        match level(&read)? {
            PressureLevel::Absolute(p) => Ok(p),
            PressureLevel::Gauge(_) => Err(QuantityError::GaugeWhereAbsolute {
                text: text.to_owned(),
                unit: read.symbol,
            }),
        }
    }
}

impl FromText for GaugePressure {
    fn from_text(text: &str) -> Result<Self, QuantityError> {
        let read = read(text, Kind::GaugePressure, false)?;
        match level(&read)? {
            PressureLevel::Gauge(p) => Ok(p),
            PressureLevel::Absolute(_) => Err(QuantityError::AbsoluteWhereGauge {
                text: text.to_owned(),
                unit: read.symbol,
            }),
        }
    }
}

impl FromText for PressureDifference {
    /// A difference takes no mark.
    fn from_text(text: &str) -> Result<Self, QuantityError> {
        let read = read(text, Kind::PressureDifference, false)?;
        if read.mark.is_some() {
            return Err(QuantityError::MarkedDifference {
                text: text.to_owned(),
                number: read.split.number.to_owned(),
                unit: read.symbol,
            });
        }
        Ok(PressureDifference::from_pascals(read.si))
    }
}
