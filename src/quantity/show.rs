//! Quantities as text: the unit that suits the size, SI or US, and the digits a number deserves.
//!
//! Nothing else writes a number for people. With a band: two digits of the band. Without: three digits, a temperature
//! to a tenth below 100 degrees and whole above. What somebody gave, sells or prints, such as a drill, a date or a
//! limit: as it is known.

use super::kind::Kind;
use super::units::{Unit, by_symbol};

mod shown;

pub use shown::Show;

/// Which units results are shown in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    /// Metric, as the trade uses it: bar, degC, mm, g/s, kW.
    #[default]
    Si,
    /// US customary: psi, degF, in, lb/h, BTU/h.
    Us,
}

/// Digits of a result without a band.
pub const DIGITS: usize = 3;
/// Digits of what is known as somebody gave it: no rounding noise shows.
pub const KNOWN: usize = 7;
/// From here on a temperature is whole, in degrees.
const WHOLE_DEGREES: f64 = 100.0;

/// A unit as a column or a value shows it: with the mark of a pressure level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shown {
    unit: Unit,
    mark: &'static str,
}

impl Shown {
    /// The unit that suits the size of `si` (in SI units).
    pub fn suited(kind: Kind, si: f64, units: Units) -> Self {
        let (table_kind, mark) = match kind {
            Kind::AbsolutePressure => (Kind::PressureDifference, "(a)"),
            Kind::GaugePressure => (Kind::PressureDifference, "(g)"),
            Kind::TemperatureDifference => (Kind::Temperature, ""),
            kind => (kind, ""),
        };
        let choices = choices(kind, units);
        let size = si.abs();
        // A whisker below the bound still counts: 1 bar less a rounding error is shown in bar.
        let fits = |&&(_, from): &&(&str, f64)| size >= from * (1.0 - 1e-9);
        let symbol = if size > 0.0 {
            choices.iter().find(fits).or(choices.last())
        } else if kind == Kind::Time {
            // no time at all is 0 s, not 0 d
            choices.iter().find(|(symbol, _)| *symbol == "s")
        } else {
            choices.first()
        };
        let symbol = symbol.map_or("", |&(symbol, _)| symbol);
        let mut unit = by_symbol(table_kind, symbol);
        if kind == Kind::TemperatureDifference {
            unit.offset = 0.0;
        }
        Self { unit, mark }
    }

    /// How the unit is written: `bar(a)`.
    pub fn symbol(&self) -> String {
        format!("{}{}", self.unit.symbol, self.mark)
    }

    /// A number in this unit, with the digits of its kind.
    pub fn number(&self, kind: Kind, si: f64, digits: usize) -> String {
        let x = self.convert(si);
        match kind {
            Kind::Temperature if digits <= DIGITS && x.is_finite() => {
                fixed(x, usize::from(x.abs() < WHOLE_DEGREES))
            }
            _ => significant(x, digits),
        }
    }

    /// The SI value in this unit.
    pub fn convert(&self, si: f64) -> f64 {
        (si - self.unit.offset) / self.unit.factor
    }
}

/// Units of a kind with the least SI size each is used for, largest first.
#[allow(clippy::too_many_lines, reason = "one table")]
fn choices(kind: Kind, units: Units) -> &'static [(&'static str, f64)] {
    use Kind as K;
    match (kind, units) {
        (K::Length, Units::Si) => &[("m", 1.0), ("mm", 1e-4), ("um", 0.0)],
        (K::Length, Units::Us) => &[("ft", 0.9144), ("in", 2.54e-4), ("thou", 0.0)],
        (K::Area, Units::Si) => &[("m2", 0.01), ("cm2", 1e-4), ("mm2", 0.0)],
        (K::Area, Units::Us) => &[("ft2", 0.0929), ("in2", 0.0)],
        (K::Volume, Units::Si) => &[("m3", 1.0), ("L", 1e-3), ("mL", 0.0)],
        (K::Volume, Units::Us) => &[("ft3", 1.0), ("gal", 1e-3), ("in3", 0.0)],
        (K::Mass, Units::Si) => &[("kg", 1.0), ("g", 1e-3), ("mg", 0.0)],
        (K::Mass, Units::Us) => &[("lb", 0.453_592), ("oz", 0.0)],
        (K::MassRate, Units::Si) => &[("kg/s", 1.0), ("g/s", 1e-4), ("mg/s", 0.0)],
        (K::MassRate, Units::Us) => &[("lb/h", 0.0)],
        (K::VolumeRate, Units::Si) => &[
            ("m3/s", 1.0),
            ("m3/h", 1.0 / 3600.0),
            ("L/min", 1e-7),
            ("mL/h", 0.0),
        ],
        (K::VolumeRate, Units::Us) => &[("cfm", 4.7e-4), ("cfh", 0.0)],
        (K::MassFlux, Units::Si) => &[("kg/(m2 s)", 0.0)],
        (K::MassFlux, Units::Us) => &[("lb/(ft2 s)", 0.0)],
        (K::Density, Units::Si) => &[("kg/m3", 0.0)],
        (K::Density, Units::Us) => &[("lb/ft3", 0.0)],
        (K::MolarMass, _) => &[("g/mol", 0.0)],
        (K::AbsolutePressure | K::GaugePressure | K::PressureDifference, Units::Si) => {
            &[("bar", 2e4), ("mbar", 100.0), ("Pa", 0.0)]
        }
        (K::AbsolutePressure | K::GaugePressure | K::PressureDifference, Units::Us) => {
            &[("psi", 5000.0), ("inH2O", 0.0)]
        }
        (K::Temperature, Units::Si) => &[("degC", 0.0)],
        (K::Temperature | K::TemperatureDifference, Units::Us) => &[("degF", 0.0)],
        (K::TemperatureDifference, Units::Si) => &[("K", 0.0)],
        (K::Power, Units::Si) => &[("MW", 1e6), ("kW", 1e3), ("W", 0.0)],
        (K::Power, Units::Us) => &[("BTU/h", 0.0)],
        (K::Energy, Units::Si) => &[("MJ", 1e6), ("kJ", 1e3), ("J", 1.0), ("mJ", 0.0)],
        (K::Energy, Units::Us) => &[("BTU", 100.0), ("J", 1.0), ("mJ", 0.0)],
        (K::SpecificEnergy, Units::Si) => &[("MJ/kg", 1e6), ("kJ/kg", 0.0)],
        (K::SpecificEnergy, Units::Us) => &[("BTU/lb", 0.0)],
        (K::VolumetricEnergy, Units::Si) => &[("MJ/m3", 0.0)],
        (K::VolumetricEnergy, Units::Us) => &[("BTU/ft3", 0.0)],
        (K::SpecificHeat, Units::Si) => &[("kJ/(kg K)", 0.0)],
        (K::SpecificHeat, Units::Us) => &[("BTU/(lb F)", 0.0)],
        (K::HeatCapacity, Units::Si) => &[("kJ/K", 1e3), ("J/K", 0.0)],
        (K::HeatCapacity, Units::Us) => &[("BTU/F", 0.0)],
        (K::ThermalConductance, Units::Si) => &[("W/K", 0.0)],
        (K::ThermalConductance, Units::Us) => &[("BTU/(h F)", 0.0)],
        (K::HeatTransfer, Units::Si) => &[("W/(m2 K)", 0.0)],
        (K::HeatTransfer, Units::Us) => &[("BTU/(h ft2 F)", 0.0)],
        (K::Conductivity, Units::Si) => &[("W/(m K)", 0.0)],
        (K::Conductivity, Units::Us) => &[("BTU/(h ft F)", 0.0)],
        (K::HeatFlux, Units::Si) => &[("kW/m2", 0.0)],
        (K::HeatFlux, Units::Us) => &[("BTU/(h ft2)", 0.0)],
        (K::Time, _) => &[
            ("d", 172_800.0),
            ("h", 7200.0),
            ("min", 120.0),
            ("s", 0.1),
            ("ms", 1e-4),
            ("us", 0.0),
        ],
        (K::Velocity, Units::Si) => &[("m/s", 0.1), ("mm/s", 0.0)],
        (K::Velocity, Units::Us) => &[("ft/s", 0.0)],
        (K::Angle, _) => &[("deg", 0.0)],
        (K::FlowCoefficient, Units::Si) => &[("Kv", 0.0)],
        (K::FlowCoefficient, Units::Us) => &[("Cv", 0.0)],
        (K::Ratio, _) => &[("%", 0.0)],
        (K::DynamicViscosity, _) => &[("mPa s", 1e-4), ("uPa s", 0.0)],
        (K::KinematicViscosity, _) => &[("mm2/s", 0.0)],
        (K::SurfaceTension, _) => &[("mN/m", 0.0)],
        (K::JouleThomson, Units::Si) => &[("K/bar", 0.0)],
        (K::JouleThomson, Units::Us) => &[("degF/psi", 0.0)],
        (K::PressurePerTemperature, Units::Si) => &[("bar/K", 1e3), ("Pa/K", 0.0)],
        (K::PressurePerTemperature, Units::Us) => &[("psi/degF", 0.0)],
        (K::Force, Units::Si) => &[("N", 0.0)],
        (K::Force, Units::Us) => &[("lbf", 0.0)],
        (K::Frequency, _) => &[("Hz", 0.1), ("1/h", 0.0)],
    }
}

/// A value in SI units as text with the unit that suits it, to [`DIGITS`] digits.
///
/// ```
/// use fuelwright::quantity::{Kind, show::{show, Units}};
/// assert_eq!(show(Kind::AbsolutePressure, 401_325.0, Units::Si), "4.01 bar(a)");
/// assert_eq!(show(Kind::AbsolutePressure, 401_325.0, Units::Us), "58.2 psi(a)");
/// assert_eq!(show(Kind::Length, 1.2e-3, Units::Si), "1.2 mm");
/// ```
pub fn show(kind: Kind, si: f64, units: Units) -> String {
    show_digits(kind, si, units, DIGITS)
}

/// As [`show`], to as many significant digits as wished.
pub fn show_digits(kind: Kind, si: f64, units: Units, digits: usize) -> String {
    let shown = Shown::suited(kind, si, units);
    let number = trimmed(&shown.number(kind, si, digits));
    format!("{number} {}", shown.symbol())
}

/// Below this, in the unit it is shown in, a number means nothing and is zero: no instrument sees it, and a flame's
/// equilibrium or a difference of equal figures leaves such rests behind. Our choice.
const LEAST: f64 = 1e-9;

/// A change below this, in the unit it is shown in, is none: what is computed is not known as well. Our choice.
const LEAST_CHANGE: f64 = 1e-3;

/// A number rounded to significant digits, plain from 0.001 to 10 million, otherwise with an exponent; what is
/// next to nothing is 0.
///
/// ```
/// use fuelwright::quantity::show::significant;
/// assert_eq!(significant(-2.5e-41, 3), "0");
/// assert_eq!(significant(1.23456, 4), "1.235");
/// assert_eq!(significant(0.0012, 4), "0.001200");
/// assert_eq!(significant(123_456.0, 4), "123500");
/// assert_eq!(significant(-3.0e-7, 3), "-3.00e-7");
/// ```
pub fn significant(value: f64, digits: usize) -> String {
    if value.abs() < LEAST {
        return "0".to_owned();
    }
    if !value.is_finite() {
        return "-".to_owned();
    }
    let decimals = digits.saturating_sub(1);
    let scientific = format!("{value:.decimals$e}");
    let exponent: i32 = scientific
        .split_once('e')
        .and_then(|(_, e)| e.parse().ok())
        .unwrap_or(0);
    if !(-3..7).contains(&exponent) {
        return scientific;
    }
    // Round first, so that 123456 shown to four digits does not pretend to six.
    let rounded: f64 = scientific.parse().unwrap_or(value);
    let after_point = usize::try_from(i32::try_from(decimals).unwrap_or(0) - exponent).unwrap_or(0);
    format!("{rounded:.after_point$}")
}

/// A number to fixed decimals. What rounds to zero has no sign.
///
/// ```
/// use fuelwright::quantity::show::fixed;
/// assert_eq!([fixed(-1.26, 1), fixed(-0.04, 1), fixed(-0.0, 0)], ["-1.3", "0.0", "0"]);
/// ```
pub fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(zero) if zero.bytes().all(|b| matches!(b, b'0' | b'.')) => zero.to_owned(),
        _ => text,
    }
}

/// A result without unit or band.
///
/// ```
/// use fuelwright::quantity::show::number;
/// assert_eq!([number(0.29649), number(1.5), number(12345.0)], ["0.296", "1.5", "12300"]);
/// ```
pub fn number(value: f64) -> String {
    rounded(value, DIGITS)
}

/// A number to some significant digits, without zeros that say nothing.
pub fn rounded(value: f64, digits: usize) -> String {
    trimmed(&significant(value, digits))
}

/// 1, 2 or 5 times a power of ten, not below `least`.
pub(crate) fn round_step(least: f64) -> f64 {
    let power = 10f64.powf(least.log10().floor());
    let steps = [1.0, 2.0, 5.0, 10.0].map(|s| s * power);
    let fits = |s: &f64| *s >= least * (1.0 - 1e-9);
    steps.into_iter().find(fits).unwrap_or(10.0 * power)
}

/// A share in percent.
///
/// ```
/// use fuelwright::quantity::show::percent;
/// assert_eq!([percent(0.8), percent(0.05282)], ["80 %", "5.28 %"]);
/// ```
pub fn percent(share: f64) -> String {
    format!("{} %", number(100.0 * share))
}

/// A change or a difference, which has fewer digits than what it is of: two, all before the decimal point; with its
/// sign.
///
/// ```
/// use fuelwright::quantity::show::signed;
/// assert_eq!([signed(1.264), signed(-133.7), signed(0.0), signed(-0.0349)], ["+1.3", "-134", "0", "-0.035"]);
/// ```
pub fn signed(value: f64) -> String {
    let text = if value.abs() < LEAST_CHANGE {
        "0".to_owned()
    } else if value.abs() < 10.0 {
        rounded(value, 2)
    } else {
        fixed(value, 0)
    };
    if value > 0.0 && text != "0" {
        format!("+{text}")
    } else {
        text
    }
}

/// Value and ends of its band, to two digits of half the band; as many as a result has where the band is next to
/// nothing.
///
/// ```
/// use fuelwright::quantity::show::banded;
/// assert_eq!(banded(12.345, 11.123, 13.567), ["12.3", "11.1", "13.6"]);
/// assert_eq!(banded(4321.0, 3900.0, 4700.0), ["4320", "3900", "4700"]);
/// ```
pub fn banded(value: f64, low: f64, high: f64) -> [String; 3] {
    let all = [value, low, high];
    let half = (high - low) / 2.0;
    if !(half > LEAST && value.is_finite()) {
        return all.map(number);
    }
    let place = power_of_ten(half) - 1;
    all.map(|x| {
        let digits = usize::try_from(power_of_ten(x) - place + 1).unwrap_or(0);
        significant(x, digits.clamp(1, KNOWN))
    })
}

/// Power of ten of a number's first digit.
fn power_of_ten(x: f64) -> i32 {
    let scientific = format!("{:e}", x.abs());
    let power = scientific.split_once('e').map(|(_, e)| e.parse());
    power.and_then(Result::ok).unwrap_or(0)
}

/// A share in parts per million, to three digits; what no instrument tells from nothing is only bounded.
///
/// ```
/// use fuelwright::quantity::show::ppm;
/// assert_eq!([ppm(12.345), ppm(2.5e-41), ppm(0.0)], ["12.3 ppm", "< 0.001 ppm", "0 ppm"]);
/// ```
pub fn ppm(value: f64) -> String {
    if value > 0.0 && value < 1e-3 {
        "< 0.001 ppm".to_owned()
    } else {
        format!("{} ppm", significant(value, 3))
    }
}

/// A number for a message: up to seven significant digits, so that no rounding noise shows.
///
/// ```
/// use fuelwright::quantity::show::short;
/// assert_eq!(short(-250.0 + 273.15), "23.15");
/// ```
pub fn short(value: f64) -> String {
    if value.is_finite() {
        rounded(value, KNOWN)
    } else {
        value.to_string()
    }
}

/// What to write where a share is asked for and a number far above 1 was given, which is often meant in
/// percent; empty elsewhere.
///
/// ```
/// use fuelwright::quantity::show::percent_hint;
/// assert_eq!(percent_hint(65.0, 1.0), "; if percent is meant, write `65 %` or 0.65");
/// assert_eq!(percent_hint(-1.0, 1.0), "");
/// ```
pub fn percent_hint(value: f64, upper: f64) -> String {
    let share = (upper - 1.0).abs() < f64::EPSILON;
    // 1.2 is as likely to be 120 %
    if share && (5.0..=100.0).contains(&value) {
        let (percent, share) = (short(value), short(value / 100.0));
        format!("; if percent is meant, write `{percent} %` or {share}")
    } else {
        String::new()
    }
}

/// Without zeros behind the decimal point that say nothing.
pub(crate) fn trimmed(number: &str) -> String {
    let (mantissa, exponent) = number.split_once('e').unwrap_or((number, ""));
    let short = if mantissa.contains('.') {
        mantissa.trim_end_matches('0').trim_end_matches('.')
    } else {
        mantissa
    };
    if exponent.is_empty() {
        short.to_owned()
    } else {
        format!("{short}e{exponent}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_unit_suits_the_size() {
        for (kind, si, metric, us) in [
            (Kind::Length, 1.2e-3, "1.2 mm", "0.0472 in"),
            (Kind::Length, 2.0, "2 m", "6.56 ft"),
            (Kind::GaugePressure, 3e5, "3 bar(g)", "43.5 psi(g)"),
            (Kind::GaugePressure, 2740.0, "27.4 mbar(g)", "11 inH2O(g)"),
            (Kind::PressureDifference, 0.0, "0 bar", "0 psi"),
            (Kind::Temperature, 288.15, "15 degC", "59 degF"),
            (Kind::TemperatureDifference, 10.0, "10 K", "18 degF"),
            (Kind::MassRate, 8e-4, "0.8 g/s", "6.35 lb/h"),
            (Kind::Power, 45e3, "45 kW", "154000 BTU/h"),
            (Kind::Ratio, 0.35, "35 %", "35 %"),
            (Kind::Time, 5400.0, "90 min", "90 min"),
        ] {
            assert_eq!(show(kind, si, Units::Si), metric);
            assert_eq!(show(kind, si, Units::Us), us);
        }
    }

    #[test]
    fn every_kind_has_units_both_ways() {
        for u in super::super::units::UNITS {
            for units in [Units::Si, Units::Us] {
                for &(symbol, _) in choices(u.kind, units) {
                    by_symbol(u.kind, symbol);
                }
                assert!(!choices(u.kind, units).is_empty());
            }
        }
    }
}
