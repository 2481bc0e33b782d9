//! What the reader of quantities takes, and what it says about the rest.

use super::parse::{FromText, parse};
use super::*;
use approx::assert_relative_eq;

fn message<T: FromText + std::fmt::Debug>(text: &str) -> String {
    parse::<T>(text).expect_err(text).to_string()
}

#[test]
fn pressure_levels_say_gauge_or_absolute() {
    let psi = 6_894.757_293_168; // 0.45359237 kg * 9.80665 m/s² / (0.0254 m)², by definition
    for (text, gauge, p_pa) in [
        ("3 barg", true, 3e5),
        ("3 bara", false, 3e5),
        ("3 bar(g)", true, 3e5),
        ("3 bar (a)", false, 3e5),
        ("3 bar gauge", true, 3e5),
        ("3 bar absolute", false, 3e5),
        ("6 psig", true, 6.0 * psi),
        ("14 PSIA", false, 14.0 * psi),
        ("37 mbar(a)", false, 3700.0),
        ("5 kPag", true, 5000.0),
        ("5 kPa(g)", true, 5000.0),
        ("101325 Pa(a)", false, 101_325.0),
        ("11 inH2O(g)", true, 11.0 * 249.088_91),
        ("11 in w.c.(g)", true, 11.0 * 249.088_91),
        ("760 mmHga", false, 101_325.0),
        ("1 atm(a)", false, 101_325.0),
        ("-0.2 bar(g)", true, -2e4),
    ] {
        let level: PressureLevel = parse(text).expect(text);
        let got = match level {
            PressureLevel::Gauge(p) => (true, p.pascals()),
            PressureLevel::Absolute(p) => (false, p.pascals()),
        };
        assert_eq!(got.0, gauge, "{text}");
        // 760 conventional mmHg make 101325 Pa to 1.4e-7 only.
        assert_relative_eq!(got.1, p_pa, max_relative = 2e-7);
    }
}

#[test]
fn a_bare_level_is_refused_with_both_spellings() {
    for unit in ["bar", "psi", "kPa", "mbar", "Pa", "MPa", "inH2O", "atm"] {
        let text = format!("3 {unit}");
        let said = message::<PressureLevel>(&text);
        for spelling in [
            format!("`3 {unit}(g)`"),
            format!("`3 {unit}(a)`"),
            format!("{unit}g, {unit}a"),
        ] {
            assert!(said.contains(&spelling), "{said}");
        }
        assert_eq!(said, message::<AbsolutePressure>(&text));
        assert_eq!(said, message::<GaugePressure>(&text));
    }
}

#[test]
fn differences_take_bare_units_and_no_mark() {
    let dp: PressureDifference = parse("37 mbar").expect("a difference");
    assert_relative_eq!(dp.pascals(), 3700.0, max_relative = 1e-12);
    assert_eq!(
        message::<PressureDifference>("37 mbar(g)"),
        "`37 mbar(g)` is a pressure difference, which is neither gauge nor absolute; write `37 mbar`"
    );
}

#[test]
fn the_wrong_mark_is_refused() {
    assert_eq!(
        message::<AbsolutePressure>("3 barg"),
        "`3 barg` is gauge, but this pressure must be absolute; write `bar(a)` (short: bara)"
    );
    assert_eq!(
        message::<GaugePressure>("3 bara"),
        "`3 bara` is absolute, but this pressure must be gauge; write `bar(g)` (short: barg)"
    );
}

#[test]
fn temperatures_have_a_zero_and_differences_do_not() {
    for (text, t_k) in [
        ("20 degC", 293.15),
        ("20 °C", 293.15),
        ("20C", 293.15),
        ("68 degF", 293.15),
        ("293.15 K", 293.15),
        ("527.67 degR", 293.15),
    ] {
        assert_relative_eq!(
            parse::<ThermodynamicTemperature>(text).expect(text).value,
            t_k,
            max_relative = 1e-12
        );
    }
    for (text, dt_k) in [
        ("10 K", 10.0),
        ("10 degC", 10.0),
        ("18 degF", 10.0),
        ("-5 K", -5.0),
    ] {
        assert_relative_eq!(
            parse::<TemperatureInterval>(text).expect(text).value,
            dt_k,
            max_relative = 1e-12
        );
    }
}

#[test]
fn trade_units_have_their_sizes() {
    // Sizes by definition (NIST SP 811); the doubled names are the trade's.
    assert_relative_eq!(
        parse::<Length>("1/16 in").expect("in").value,
        1.5875e-3,
        max_relative = 1e-12
    );
    assert_relative_eq!(
        parse::<Length>("40 thou").expect("thou").value,
        1.016e-3,
        max_relative = 1e-12
    );
    assert_relative_eq!(
        parse::<Length>("1/4\"").expect("in").value,
        6.35e-3,
        max_relative = 1e-12
    );
    assert_relative_eq!(
        parse::<Volume>("1 gal").expect("gal").value,
        3.785_411_784e-3,
        max_relative = 1e-12
    );
    assert_relative_eq!(
        parse::<Volume>("1 cf").expect("cf").value,
        0.028_316_846_592,
        max_relative = 1e-12
    );
    assert_relative_eq!(
        parse::<MassRate>("0.8 g/s").expect("g/s").value,
        8e-4,
        max_relative = 1e-12
    );
    assert_relative_eq!(
        parse::<MassRate>("3.6 kg/h").expect("kg/h").value,
        1e-3,
        max_relative = 1e-12
    );
    assert_relative_eq!(
        parse::<Power>("45 kW").expect("kW").value,
        45_000.0,
        max_relative = 1e-12
    );
    assert_relative_eq!(
        parse::<Power>("40000 BTU/h").expect("BTU/h").value,
        11_722.84,
        max_relative = 1e-6
    );
    assert_relative_eq!(
        parse::<SpecificHeatCapacity>("0.9 kJ/(kg K)")
            .expect("cp")
            .value,
        900.0,
        max_relative = 1e-12
    );
    assert_relative_eq!(
        parse::<SpecificHeatCapacity>("460 J/kgK")
            .expect("cp")
            .value,
        460.0,
        max_relative = 1e-12
    );
    assert_relative_eq!(
        parse::<ThermalConductance>("12 W/K").expect("UA").value,
        12.0,
        max_relative = 1e-12
    );
    assert_relative_eq!(
        parse::<Ratio>("35 %").expect("ratio").value,
        0.35,
        max_relative = 1e-12
    );
    assert_relative_eq!(
        parse::<Ratio>("0.35").expect("ratio").value,
        0.35,
        max_relative = 1e-12
    );
    assert_relative_eq!(
        parse::<Angle>("180°").expect("angle").value,
        std::f64::consts::PI,
        max_relative = 1e-12
    );
    assert_relative_eq!(
        parse::<Time>("1.5 h").expect("h").value,
        5400.0,
        max_relative = 1e-12
    );
    for text in ["0.4 Kv", "Kv 0.4", "kv=0.4"] {
        assert_relative_eq!(
            parse::<FlowCoefficient>(text).expect(text).kv(),
            0.4,
            max_relative = 1e-12
        );
    }
    assert_relative_eq!(
        parse::<FlowCoefficient>("Cv 1").expect("Cv").kv(),
        0.865,
        max_relative = 1e-12
    );
}

#[test]
fn each_mistake_has_its_own_message() {
    // Kv and Cv may stand before the number: the text is turned to be read, and told as typed
    for typed in ["kv ", "Cv mm", "Kv -1", "Cv 1,5", "Kv 0.4 mm"] {
        let said = message::<FlowCoefficient>(typed);
        assert!(said.contains(&format!("`{typed}`")), "{said}");
    }
    assert_eq!(
        message::<Length>("mm"),
        "`mm` has no number; write a number and its unit, such as `1.2 mm`"
    );
    assert_eq!(
        message::<Length>("1.2"),
        "`1.2` has no unit; a length takes m, cm, mm, um, km, in, thou or ft"
    );
    assert_eq!(
        message::<Length>("1.2 mn"),
        "`mn` in `1.2 mn` is not a known unit, did you mean `mm`?; a length takes m, cm, mm, um, km, in, thou or ft"
    );
    assert_eq!(
        message::<PressureLevel>("20 degC"),
        "`20 degC` is a temperature, expected a pressure in bar, mbar, kPa, MPa, Pa, psi, inH2O, mmHg or atm, each with (g) for gauge or (a) for absolute, such as `3 bar(g)`"
    );
    assert_eq!(
        message::<ThermodynamicTemperature>("3 barg"),
        "`3 barg` is a gauge pressure, expected a temperature in degC, K, degF or degR"
    );
    assert_eq!(
        message::<ThermodynamicTemperature>("-300 degC"),
        "`-300 degC` is below absolute zero (0 K, -273.15 degC, -459.67 degF)"
    );
    assert_eq!(
        message::<PressureLevel>("0 bara"),
        "`0 bara` is not above vacuum; an absolute pressure is above zero"
    );
    assert_eq!(
        message::<AbsolutePressure>("-1 bar(a)"),
        "`-1 bar(a)` is not above vacuum; an absolute pressure is above zero"
    );
    assert_eq!(
        message::<Mass>("-1 kg"),
        "`-1 kg` is negative; a mass is zero or more"
    );
    assert_eq!(
        message::<Length>("NaN mm"),
        "`NaN mm` is not a finite number"
    );
    assert_eq!(
        message::<Length>("inf mm"),
        "`inf mm` is not a finite number"
    );
    assert_eq!(
        message::<Length>("1e308 km"),
        "`1e308 km` is not a finite number"
    );
    assert_eq!(
        message::<Length>("1,2 mm"),
        "`1,2 mm` has a comma in its number; use a decimal point and no thousands separator"
    );
    assert!(message::<VolumeRate>("3 Nm3/h").contains("reference conditions"));
    assert!(message::<VolumeRate>("30 scfm").contains("reference conditions"));
}
