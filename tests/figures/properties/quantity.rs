//! Quantities as text: nothing typed panics, and what is shown reads back.

use crate::times::cases;
use fuelwright::quantity::parse::{FromText, parse};
use fuelwright::quantity::show::{DIGITS, Show, Units};
use fuelwright::quantity::units::UNITS;
use fuelwright::quantity::{
    AbsolutePressure, Angle, Area, AvailableEnergy, DynamicViscosity, Energy, FlowCoefficient,
    GaugePressure, HeatTransfer, Kind, Length, Mass, MassDensity, MassRate, Power,
    PressureDifference, PressureLevel, Ratio, SpecificHeatCapacity, TemperatureInterval,
    ThermalConductance, ThermodynamicTemperature, Time, Velocity, Volume, VolumeRate, kelvin,
    kelvin_difference, kilograms_per_second, kv, metres, pascals_absolute, pascals_difference,
    pascals_gauge, watts,
};
use proptest::prelude::*;

/// Reads the text as every type; a value must be finite, a refusal must say the text.
fn read_as_everything(text: &str) -> Result<(), TestCaseError> {
    fn one<T: FromText>(text: &str, si: impl Fn(&T) -> f64) -> Result<(), TestCaseError> {
        match parse::<T>(text) {
            Ok(value) => prop_assert!(si(&value).is_finite(), "{text:?}"),
            Err(error) => {
                let said = error.to_string();
                prop_assert!(said.contains(text), "{text:?}: {said}");
            }
        }
        Ok(())
    }
    one::<AbsolutePressure>(text, |p| p.pascals())?;
    one::<GaugePressure>(text, |p| p.pascals())?;
    one::<PressureDifference>(text, |p| p.pascals())?;
    one::<PressureLevel>(text, |p| match p {
        PressureLevel::Absolute(p) => p.pascals(),
        PressureLevel::Gauge(p) => p.pascals(),
    })?;
    one::<FlowCoefficient>(text, |k| k.kv())?;
    one::<Length>(text, |q| q.value)?;
    one::<Area>(text, |q| q.value)?;
    one::<Volume>(text, |q| q.value)?;
    one::<Mass>(text, |q| q.value)?;
    one::<MassRate>(text, |q| q.value)?;
    one::<VolumeRate>(text, |q| q.value)?;
    one::<MassDensity>(text, |q| q.value)?;
    one::<Power>(text, |q| q.value)?;
    one::<Energy>(text, |q| q.value)?;
    one::<AvailableEnergy>(text, |q| q.value)?;
    one::<SpecificHeatCapacity>(text, |q| q.value)?;
    one::<ThermalConductance>(text, |q| q.value)?;
    one::<HeatTransfer>(text, |q| q.value)?;
    one::<Time>(text, |q| q.value)?;
    one::<Velocity>(text, |q| q.value)?;
    one::<Angle>(text, |q| q.value)?;
    one::<DynamicViscosity>(text, |q| q.value)?;
    one::<ThermodynamicTemperature>(text, |q| q.value)?;
    one::<TemperatureInterval>(text, |q| q.value)?;
    one::<Ratio>(text, |q| q.value)
}

/// A number as people and machines write it.
fn number() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<f64>().prop_map(|x| x.to_string()),
        any::<f64>().prop_map(|x| format!("{x:e}")),
        (any::<u16>(), any::<u8>(), any::<u8>()).prop_map(|(a, b, c)| format!("{a} {b}/{c}")),
        "[-+]?[0-9.,eE/-]{0,8}",
    ]
}

/// Every spelling of every unit, with and without a mark.
fn spelling() -> impl Strategy<Value = String> {
    let all: Vec<String> = UNITS
        .iter()
        .flat_map(|u| std::iter::once(&u.symbol).chain(u.aliases))
        .flat_map(|s| ["", "g", "(a)", " gauge"].map(|mark| format!("{s}{mark}")))
        .collect();
    prop::sample::select(all)
}

/// Half a unit in the last digit shown, as a share of the value.
fn half_digit() -> f64 {
    0.5 * 10f64.powi(1 - i32::try_from(DIGITS).expect("a few digits")) * (1.0 + 1e-9)
}

fn units() -> impl Strategy<Value = Units> {
    prop_oneof![Just(Units::Si), Just(Units::Us)]
}

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn no_text_panics(text in "\\PC{0,20}") {
        read_as_everything(&text)?;
    }

    #[test]
    fn no_number_with_a_unit_panics(number in number(), unit in spelling()) {
        read_as_everything(&format!("{number} {unit}"))?;
        read_as_everything(&format!("{number}{unit}"))?;
    }

    #[test]
    fn a_value_written_in_full_reads_back_in_every_unit(
        value in prop_oneof![1e-6..1e6f64, -1e6..-1e-6f64],
        unit in prop::sample::select(UNITS),
    ) {
        // Lengths may be negative and stand in for all plain units; temperatures have offsets.
        let text = format!("{value} {}", unit.symbol);
        match unit.kind {
            Kind::Length => {
                let got = parse::<Length>(&text)?.value / unit.factor;
                prop_assert!((got - value).abs() <= 1e-12 * value.abs());
            }
            Kind::Temperature if value * unit.factor + unit.offset >= 0.0 => {
                let got = (parse::<ThermodynamicTemperature>(&text)?.value - unit.offset) / unit.factor;
                prop_assert!((got - value).abs() <= 1e-12 * (value.abs() + unit.offset / unit.factor));
            }
            Kind::PressureDifference => {
                let got = parse::<PressureDifference>(&text)?.pascals() / unit.factor;
                prop_assert!((got - value).abs() <= 1e-12 * value.abs());
                let gauge = parse::<GaugePressure>(&format!("{text}(g)"))?.pascals() / unit.factor;
                prop_assert!((gauge - value).abs() <= 1e-12 * value.abs());
            }
            _ => {}
        }
    }

    #[test]
    fn what_is_shown_reads_back_to_the_digits_shown(
        exponent in -6.0..8.0f64,
        units in units(),
    ) {
        let si = 10f64.powf(exponent);
        let share = |got: f64| (got / si - 1.0).abs();
        prop_assert!(share(parse::<AbsolutePressure>(&pascals_absolute(si).show(units))?.pascals()) <= half_digit());
        prop_assert!(share(parse::<GaugePressure>(&pascals_gauge(si).show(units))?.pascals()) <= half_digit());
        prop_assert!(share(parse::<PressureDifference>(&pascals_difference(si).show(units))?.pascals()) <= half_digit());
        prop_assert!(share(parse::<Length>(&metres(si).show(units))?.value) <= half_digit());
        prop_assert!(share(parse::<MassRate>(&kilograms_per_second(si).show(units))?.value) <= half_digit());
        prop_assert!(share(parse::<Power>(&watts(si).show(units))?.value) <= half_digit());
        prop_assert!(share(parse::<FlowCoefficient>(&kv(si).show(units))?.kv()) <= half_digit());
        prop_assert!(share(parse::<TemperatureInterval>(&kelvin_difference(si).show(units))?.value) <= half_digit());
    }

    #[test]
    fn a_temperature_shown_reads_back_to_the_digits_shown(t_k in 1.0..3000.0f64, units in units()) {
        let got = parse::<ThermodynamicTemperature>(&kelvin(t_k).show(units))?.value;
        // Four digits of a Celsius or Fahrenheit figure up to 5000.
        prop_assert!((got - t_k).abs() <= 0.5 + 1e-9, "{t_k} {got}");
    }
}
