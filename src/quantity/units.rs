//! Every unit the program reads or shows, with its factor to SI.
//!
//! Factors are exact by definition where the comment says so: inch, pound, litre, US gallon, calorie of
//! the international steam table (from which the BTU), standard gravity, standard atmosphere
//! (`nistsp811`). Water and mercury columns are the conventional ones, 1000 and 13595.1 kg/m³ at standard
//! gravity.

use super::kind::Kind;

/// A unit: `SI = value * factor + offset`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// What it measures. Pressure units stand once, under [`Kind::PressureDifference`].
    pub kind: Kind,
    /// How the program writes it.
    pub symbol: &'static str,
    /// Other ways to write it that are read as well.
    pub aliases: &'static [&'static str],
    /// Size in SI units.
    pub factor: f64,
    /// SI value of its zero; only temperatures have one.
    pub offset: f64,
}

const INCH_M: f64 = 0.0254; // exact
const FOOT_M: f64 = 0.3048; // exact
const POUND_KG: f64 = 0.453_592_37; // exact
const GALLON_M3: f64 = 231.0 * INCH_M * INCH_M * INCH_M; // exact, US liquid gallon
const CUBIC_FOOT_M3: f64 = FOOT_M * FOOT_M * FOOT_M;
const STANDARD_GRAVITY: f64 = 9.806_65; // exact, m/s²
const BTU_J: f64 = 4186.8 * POUND_KG / 1.8; // international steam table, exact
const PSI_PA: f64 = POUND_KG * STANDARD_GRAVITY / (INCH_M * INCH_M);
const FAHRENHEIT_K: f64 = 1.0 / 1.8;
const WATER: f64 = 1000.0 * STANDARD_GRAVITY; // Pa a metre of water column
const MERCURY: f64 = 13_595.1 * STANDARD_GRAVITY; // Pa a metre of mercury column

const fn unit(
    kind: Kind,
    symbol: &'static str,
    aliases: &'static [&'static str],
    factor: f64,
) -> Unit {
    Unit {
        kind,
        symbol,
        aliases,
        factor,
        offset: 0.0,
    }
}

const fn temperature(
    symbol: &'static str,
    aliases: &'static [&'static str],
    factor: f64,
    offset: f64,
) -> Unit {
    Unit {
        kind: Kind::Temperature,
        symbol,
        aliases,
        factor,
        offset,
    }
}

/// All units, by kind; within a kind in the order messages list them.
pub static UNITS: &[Unit] = &[
    unit(
        Kind::Length,
        "m",
        &["metre", "meter", "metres", "meters"],
        1.0,
    ),
    unit(Kind::Length, "cm", &[], 1e-2),
    unit(Kind::Length, "mm", &[], 1e-3),
    unit(Kind::Length, "um", &["micron", "microns"], 1e-6),
    unit(Kind::Length, "km", &[], 1e3),
    unit(Kind::Length, "in", &["inch", "inches", "\"", "''"], INCH_M),
    unit(Kind::Length, "thou", &["mil", "mils"], INCH_M / 1000.0),
    unit(Kind::Length, "ft", &["foot", "feet", "'"], FOOT_M),
    unit(Kind::Area, "m2", &["sq m"], 1.0),
    unit(Kind::Area, "cm2", &[], 1e-4),
    unit(Kind::Area, "mm2", &["sq mm"], 1e-6),
    unit(Kind::Area, "in2", &["sq in"], INCH_M * INCH_M),
    unit(Kind::Area, "ft2", &["sq ft"], FOOT_M * FOOT_M),
    unit(Kind::Volume, "m3", &["cu m"], 1.0),
    unit(
        Kind::Volume,
        "L",
        &["litre", "liter", "litres", "liters", "dm3"],
        1e-3,
    ),
    unit(Kind::Volume, "mL", &["cm3", "cc"], 1e-6),
    unit(Kind::Volume, "mm3", &[], 1e-9),
    unit(
        Kind::Volume,
        "gal",
        &["US gal", "gallon", "gallons"],
        GALLON_M3,
    ),
    unit(Kind::Volume, "ft3", &["cf", "cu ft"], CUBIC_FOOT_M3),
    unit(Kind::Volume, "in3", &["cu in"], INCH_M * INCH_M * INCH_M),
    unit(Kind::Mass, "kg", &[], 1.0),
    unit(Kind::Mass, "g", &["gram", "grams"], 1e-3),
    unit(Kind::Mass, "mg", &[], 1e-6),
    unit(Kind::Mass, "t", &["tonne", "tonnes"], 1e3),
    unit(
        Kind::Mass,
        "lb",
        &["lbs", "lbm", "pound", "pounds"],
        POUND_KG,
    ),
    unit(Kind::Mass, "oz", &["ounce", "ounces"], POUND_KG / 16.0),
    unit(Kind::MassRate, "kg/s", &[], 1.0),
    unit(Kind::MassRate, "g/s", &[], 1e-3),
    unit(Kind::MassRate, "mg/s", &[], 1e-6),
    unit(Kind::MassRate, "kg/h", &["kg/hr"], 1.0 / 3600.0),
    unit(Kind::MassRate, "g/h", &["g/hr"], 1e-3 / 3600.0),
    unit(Kind::MassRate, "kg/min", &[], 1.0 / 60.0),
    unit(Kind::MassRate, "g/min", &[], 1e-3 / 60.0),
    unit(
        Kind::MassRate,
        "lb/h",
        &["lb/hr", "lbs/h", "lbs/hr", "lbm/h", "pph"],
        POUND_KG / 3600.0,
    ),
    unit(
        Kind::MassRate,
        "lb/min",
        &["lbs/min", "lbm/min"],
        POUND_KG / 60.0,
    ),
    unit(Kind::MassRate, "lb/s", &["lbs/s", "lbm/s"], POUND_KG),
    unit(Kind::MassRate, "oz/min", &[], POUND_KG / 960.0),
    unit(Kind::VolumeRate, "m3/s", &[], 1.0),
    unit(Kind::VolumeRate, "m3/h", &["m3/hr"], 1.0 / 3600.0),
    unit(Kind::VolumeRate, "m3/min", &[], 1.0 / 60.0),
    unit(Kind::VolumeRate, "L/s", &[], 1e-3),
    unit(Kind::VolumeRate, "L/min", &["lpm"], 1e-3 / 60.0),
    unit(Kind::VolumeRate, "L/h", &["L/hr", "lph"], 1e-3 / 3600.0),
    unit(Kind::VolumeRate, "mL/s", &["cm3/s", "cc/s"], 1e-6),
    unit(
        Kind::VolumeRate,
        "mL/min",
        &["cm3/min", "cc/min"],
        1e-6 / 60.0,
    ),
    unit(Kind::VolumeRate, "mL/h", &["cm3/h", "cc/h"], 1e-6 / 3600.0),
    unit(
        Kind::VolumeRate,
        "cfm",
        &["ft3/min", "cf/min"],
        CUBIC_FOOT_M3 / 60.0,
    ),
    unit(
        Kind::VolumeRate,
        "cfh",
        &["ft3/h", "cf/h", "ft3/hr", "cf/hr"],
        CUBIC_FOOT_M3 / 3600.0,
    ),
    unit(Kind::VolumeRate, "ft3/s", &["cf/s", "cfs"], CUBIC_FOOT_M3),
    unit(Kind::VolumeRate, "gpm", &["gal/min"], GALLON_M3 / 60.0),
    unit(
        Kind::VolumeRate,
        "gph",
        &["gal/h", "gal/hr"],
        GALLON_M3 / 3600.0,
    ),
    unit(
        Kind::MassFlux,
        "kg/(m2 s)",
        &["kg/m2/s", "kg/s/m2", "kg/m2s"],
        1.0,
    ),
    unit(Kind::MassFlux, "g/(mm2 s)", &["g/mm2/s", "g/s/mm2"], 1e3),
    unit(
        Kind::MassFlux,
        "lb/(ft2 s)",
        &["lb/ft2/s", "lb/s/ft2"],
        POUND_KG / (FOOT_M * FOOT_M),
    ),
    unit(Kind::Density, "kg/m3", &["g/L"], 1.0),
    unit(Kind::Density, "kg/L", &["g/mL", "g/cm3", "g/cc"], 1e3),
    unit(
        Kind::Density,
        "lb/ft3",
        &["lb/cf", "lbs/ft3", "lbm/ft3"],
        POUND_KG / CUBIC_FOOT_M3,
    ),
    unit(Kind::Density, "lb/gal", &["lbs/gal"], POUND_KG / GALLON_M3),
    unit(Kind::MolarMass, "g/mol", &["kg/kmol", "lb/lbmol"], 1e-3),
    unit(Kind::MolarMass, "kg/mol", &[], 1.0),
    unit(Kind::PressureDifference, "bar", &[], 1e5),
    unit(Kind::PressureDifference, "mbar", &[], 1e2),
    unit(Kind::PressureDifference, "Pa", &["pascal", "pascals"], 1.0),
    unit(Kind::PressureDifference, "hPa", &[], 1e2),
    unit(Kind::PressureDifference, "kPa", &[], 1e3),
    unit(Kind::PressureDifference, "MPa", &[], 1e6),
    unit(
        Kind::PressureDifference,
        "psi",
        &["lb/in2", "lbf/in2"],
        PSI_PA,
    ),
    unit(
        Kind::PressureDifference,
        "inH2O",
        &["inWC", "in H2O", "in WC", "in w.c.", "inAq"],
        INCH_M * WATER,
    ),
    unit(
        Kind::PressureDifference,
        "mmH2O",
        &["mmWC", "mm H2O", "mm WC", "mm w.c.", "mmAq"],
        1e-3 * WATER,
    ),
    unit(
        Kind::PressureDifference,
        "inHg",
        &["in Hg"],
        INCH_M * MERCURY,
    ),
    unit(Kind::PressureDifference, "mmHg", &["mm Hg"], 1e-3 * MERCURY),
    unit(Kind::PressureDifference, "atm", &[], 101_325.0),
    temperature("degC", &["C", "deg C", "Celsius"], 1.0, 273.15),
    temperature("K", &["kelvin", "kelvins"], 1.0, 0.0),
    temperature(
        "degF",
        &["F", "deg F", "Fahrenheit"],
        FAHRENHEIT_K,
        459.67 * FAHRENHEIT_K,
    ),
    temperature("degR", &["deg R", "Rankine"], FAHRENHEIT_K, 0.0),
    unit(Kind::Power, "W", &["watt", "watts", "J/s"], 1.0),
    unit(Kind::Power, "kW", &["kJ/s"], 1e3),
    unit(Kind::Power, "MW", &[], 1e6),
    unit(Kind::Power, "mW", &[], 1e-3),
    unit(Kind::Power, "BTU/h", &["BTU/hr", "BTUh"], BTU_J / 3600.0),
    unit(Kind::Power, "kBTU/h", &["kBTU/hr"], BTU_J / 3.6),
    unit(
        Kind::Power,
        "hp",
        &[],
        550.0 * FOOT_M * POUND_KG * STANDARD_GRAVITY,
    ),
    unit(Kind::Energy, "J", &["joule", "joules"], 1.0),
    unit(Kind::Energy, "kJ", &[], 1e3),
    unit(Kind::Energy, "MJ", &[], 1e6),
    unit(Kind::Energy, "mJ", &[], 1e-3),
    unit(Kind::Energy, "Wh", &["W h"], 3600.0),
    unit(Kind::Energy, "kWh", &["kW h"], 3.6e6),
    unit(Kind::Energy, "BTU", &[], BTU_J),
    unit(Kind::SpecificEnergy, "kJ/kg", &["J/g"], 1e3),
    unit(Kind::SpecificEnergy, "MJ/kg", &[], 1e6),
    unit(Kind::SpecificEnergy, "J/kg", &[], 1.0),
    unit(Kind::SpecificEnergy, "Wh/kg", &[], 3600.0),
    unit(Kind::SpecificEnergy, "kWh/kg", &[], 3.6e6),
    unit(Kind::SpecificEnergy, "BTU/lb", &[], BTU_J / POUND_KG),
    unit(Kind::VolumetricEnergy, "MJ/m3", &["kJ/L"], 1e6),
    unit(Kind::VolumetricEnergy, "J/m3", &[], 1.0),
    unit(Kind::VolumetricEnergy, "kWh/m3", &[], 3.6e6),
    unit(
        Kind::VolumetricEnergy,
        "BTU/ft3",
        &["BTU/cf"],
        BTU_J / CUBIC_FOOT_M3,
    ),
    unit(
        Kind::SpecificHeat,
        "kJ/(kg K)",
        &["kJ/kg/K", "kJ/kgK", "kJ/kg K", "J/(g K)"],
        1e3,
    ),
    unit(
        Kind::SpecificHeat,
        "J/(kg K)",
        &["J/kg/K", "J/kgK", "J/kg K"],
        1.0,
    ),
    unit(
        Kind::SpecificHeat,
        "BTU/(lb F)",
        &["BTU/lb/F", "BTU/lbF", "BTU/lb F", "BTU/(lb degF)"],
        4186.8,
    ),
    unit(Kind::HeatCapacity, "kJ/K", &["kJ/degC"], 1e3),
    unit(Kind::HeatCapacity, "J/K", &["J/degC"], 1.0),
    unit(Kind::HeatCapacity, "BTU/F", &["BTU/degF"], BTU_J * 1.8),
    unit(Kind::ThermalConductance, "W/K", &["W/degC"], 1.0),
    unit(Kind::ThermalConductance, "kW/K", &[], 1e3),
    unit(
        Kind::ThermalConductance,
        "BTU/(h F)",
        &["BTU/h/F", "BTU/(hr F)", "BTU/(h degF)"],
        BTU_J / 2000.0,
    ),
    unit(
        Kind::HeatTransfer,
        "W/(m2 K)",
        &["W/m2/K", "W/m2K", "W/m2 K"],
        1.0,
    ),
    unit(
        Kind::HeatTransfer,
        "BTU/(h ft2 F)",
        &["BTU/h/ft2/F", "BTU/(hr ft2 F)"],
        BTU_J / 2000.0 / (FOOT_M * FOOT_M),
    ),
    unit(
        Kind::Conductivity,
        "W/(m K)",
        &["W/m/K", "W/mK", "W/m K"],
        1.0,
    ),
    unit(
        Kind::Conductivity,
        "BTU/(h ft F)",
        &["BTU/h/ft/F"],
        BTU_J / 2000.0 / FOOT_M,
    ),
    unit(Kind::HeatFlux, "kW/m2", &[], 1e3),
    unit(Kind::HeatFlux, "W/m2", &[], 1.0),
    unit(
        Kind::HeatFlux,
        "BTU/(h ft2)",
        &["BTU/h/ft2"],
        BTU_J / 3600.0 / (FOOT_M * FOOT_M),
    ),
    unit(Kind::Time, "s", &["sec", "second", "seconds"], 1.0),
    unit(Kind::Time, "ms", &[], 1e-3),
    unit(Kind::Time, "us", &[], 1e-6),
    unit(Kind::Time, "min", &["minute", "minutes"], 60.0),
    unit(Kind::Time, "h", &["hr", "hrs", "hour", "hours"], 3600.0),
    unit(Kind::Time, "d", &["day", "days"], 86_400.0),
    unit(Kind::Velocity, "m/s", &[], 1.0),
    unit(Kind::Velocity, "mm/s", &[], 1e-3),
    unit(Kind::Velocity, "cm/s", &[], 1e-2),
    unit(Kind::Velocity, "km/h", &[], 1.0 / 3.6),
    unit(Kind::Velocity, "ft/s", &["fps"], FOOT_M),
    unit(Kind::Velocity, "ft/min", &["fpm"], FOOT_M / 60.0),
    unit(Kind::Velocity, "mph", &[], 5280.0 * FOOT_M / 3600.0),
    unit(
        Kind::Angle,
        "deg",
        &["degree", "degrees"],
        std::f64::consts::PI / 180.0,
    ),
    unit(Kind::Angle, "rad", &["radian", "radians"], 1.0),
    unit(Kind::FlowCoefficient, "Kv", &[], 1.0),
    unit(
        Kind::FlowCoefficient,
        "Cv",
        &[],
        super::coefficient::KV_PER_CV,
    ),
    unit(Kind::Ratio, "%", &["percent", "pct"], 1e-2),
    unit(Kind::Ratio, "ppm", &[], 1e-6),
    unit(Kind::Ratio, "kg/kg", &["lb/lb"], 1.0),
    unit(Kind::Ratio, "g/kg", &[], 1e-3),
    // 7000 grains are a pound, by definition
    unit(Kind::Ratio, "gr/lb", &["grains/lb"], 1.0 / 7000.0),
    unit(Kind::DynamicViscosity, "Pa s", &["Pa.s", "Pas"], 1.0),
    unit(
        Kind::DynamicViscosity,
        "mPa s",
        &["mPa.s", "mPas", "cP"],
        1e-3,
    ),
    unit(Kind::DynamicViscosity, "uPa s", &["uPa.s", "uPas"], 1e-6),
    unit(Kind::KinematicViscosity, "mm2/s", &["cSt"], 1e-6),
    unit(Kind::KinematicViscosity, "m2/s", &[], 1.0),
    unit(Kind::SurfaceTension, "mN/m", &["dyn/cm"], 1e-3),
    unit(Kind::SurfaceTension, "N/m", &[], 1.0),
    unit(Kind::JouleThomson, "K/bar", &[], 1e-5),
    unit(Kind::JouleThomson, "K/Pa", &[], 1.0),
    unit(
        Kind::JouleThomson,
        "degF/psi",
        &["F/psi"],
        FAHRENHEIT_K / PSI_PA,
    ),
    unit(Kind::PressurePerTemperature, "bar/K", &[], 1e5),
    unit(Kind::PressurePerTemperature, "Pa/K", &[], 1.0),
    unit(
        Kind::PressurePerTemperature,
        "psi/degF",
        &["psi/F"],
        PSI_PA * 1.8,
    ),
    unit(Kind::Force, "N", &["newton", "newtons"], 1.0),
    unit(Kind::Force, "kN", &[], 1e3),
    unit(Kind::Force, "lbf", &[], POUND_KG * STANDARD_GRAVITY),
    unit(Kind::Frequency, "Hz", &["1/s"], 1.0),
    unit(Kind::Frequency, "1/h", &["/h", "ACH"], 1.0 / 3600.0),
];

/// The unit a symbol or alias names, as written; see [`super::lookup`] for lenient spelling.
pub(super) fn by_symbol(kind: Kind, symbol: &str) -> Unit {
    *UNITS
        .iter()
        .find(|u| u.kind == kind && u.symbol == symbol)
        .expect("asked only for symbols of the table, which a test visits")
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn factors_match_the_published_conversion_table() {
        // NIST Special Publication 811 (2008), appendix B.8, all digits printed there; from memory of
        // that table where a digit string could be derived from the definitions it states.
        for (kind, symbol, si) in [
            (Kind::PressureDifference, "psi", 6.894_757e3),
            (Kind::PressureDifference, "inHg", 3.386_389e3),
            (Kind::PressureDifference, "mmHg", 1.333_224e2),
            (Kind::PressureDifference, "inH2O", 2.490_889e2),
            (Kind::PressureDifference, "mmH2O", 9.806_65),
            (Kind::Energy, "BTU", 1.055_056e3),
            (Kind::Power, "BTU/h", 2.930_711e-1),
            (Kind::Power, "hp", 7.456_999e2),
            (Kind::SpecificHeat, "BTU/(lb F)", 4.1868e3),
            (Kind::Volume, "gal", 3.785_412e-3),
            (Kind::Volume, "ft3", 2.831_685e-2),
            (Kind::Density, "lb/ft3", 1.601_846e1),
            (Kind::MassRate, "lb/h", 1.259_979e-4),
            (Kind::VolumeRate, "cfm", 4.719_474e-4),
            (Kind::ThermalConductance, "BTU/(h F)", 5.275_279e-1),
        ] {
            assert_relative_eq!(by_symbol(kind, symbol).factor, si, max_relative = 3e-7);
        }
    }
}
