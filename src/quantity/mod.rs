//! Typed quantities: the types and short constructors that every other module uses.
//!
//! Most are the SI types of `uom` in `f64`; `.value` is the figure in SI base units. Pressure has three
//! types of our own, because an absolute level, a gauge level and a difference are not the same thing,
//! and a valve's flow coefficient has one, because Kv and Cv are one thing in two units.
//!
//! ```
//! use fuelwright::quantity::{kelvin, pascals_absolute, pascals_gauge, PressureLevel};
//!
//! let supply = PressureLevel::from(pascals_gauge(3e5));
//! let ambient = pascals_absolute(101_325.0);
//! assert!((supply.absolute(ambient)?.pascals() - 401_325.0).abs() < 1e-6);
//! assert!((kelvin(288.15).value - 288.15).abs() < 1e-12);
//! # Ok::<(), fuelwright::quantity::QuantityError>(())
//! ```

pub mod coefficient;
pub mod error;
pub mod kind;
pub mod lookup;
mod number;
pub mod parse;
#[cfg(test)]
mod parse_tests;
pub mod pattern;
pub mod pressure;
pub mod printable;
pub mod range;
pub mod sentence;
pub mod show;
pub mod span;
pub mod suggest;
pub(crate) mod told;
pub mod units;

pub use coefficient::FlowCoefficient;
pub use error::QuantityError;
pub use kind::Kind;
pub use pressure::{
    AbsolutePressure, GaugePressure, PressureDifference, PressureLevel, STANDARD_ATMOSPHERE_PA,
};
pub use uom::si::f64::{
    Acceleration, Angle, Area, AvailableEnergy, DynamicViscosity, Energy, Force, Frequency,
    HeatCapacity, HeatFluxDensity, HeatTransfer, KinematicViscosity, Length, Mass, MassDensity,
    MassFlux, MassRate, MolarMass, Power, Ratio, SpecificHeatCapacity, SurfaceTension,
    TemperatureInterval, ThermalConductance, ThermalConductivity, ThermodynamicTemperature, Time,
    Velocity, Volume, VolumeRate,
};

/// Molar gas constant, J/(mol K), exact since 2019 (`codata2018`).
pub const GAS_CONSTANT_J_MOL_K: f64 = 8.314_462_618_153_24;

/// 0 °C in kelvin, by definition of the Celsius scale.
pub const ZERO_CELSIUS_K: f64 = 273.15;

/// Declares `fn name(value: f64) -> Type`, the value being in the SI unit of the name.
macro_rules! constructors {
    ($($(#[$doc:meta])* $name:ident -> $quantity:ty, $unit:path;)*) => {$(
        $(#[$doc])*
        pub fn $name(value: f64) -> $quantity {
            <$quantity>::new::<$unit>(value)
        }
    )*};
}

constructors! {
    /// A length in m.
    metres -> Length, uom::si::length::meter;
    /// An area in m².
    square_metres -> Area, uom::si::area::square_meter;
    /// A volume in m³.
    cubic_metres -> Volume, uom::si::volume::cubic_meter;
    /// A mass in kg.
    kilograms -> Mass, uom::si::mass::kilogram;
    /// A mass flow in kg/s.
    kilograms_per_second -> MassRate, uom::si::mass_rate::kilogram_per_second;
    /// A volume flow in m³/s.
    cubic_metres_per_second -> VolumeRate, uom::si::volume_rate::cubic_meter_per_second;
    /// A mass flux in kg/(m² s).
    kilograms_per_square_metre_second -> MassFlux, uom::si::mass_flux::kilogram_per_square_meter_second;
    /// A density in kg/m³.
    kilograms_per_cubic_metre -> MassDensity, uom::si::mass_density::kilogram_per_cubic_meter;
    /// A molar mass in kg/mol.
    kilograms_per_mole -> MolarMass, uom::si::molar_mass::kilogram_per_mole;
    /// A power in W.
    watts -> Power, uom::si::power::watt;
    /// An energy in J.
    joules -> Energy, uom::si::energy::joule;
    /// A specific energy in J/kg.
    joules_per_kilogram -> AvailableEnergy, uom::si::available_energy::joule_per_kilogram;
    /// A specific heat capacity in J/(kg K).
    joules_per_kilogram_kelvin -> SpecificHeatCapacity, uom::si::specific_heat_capacity::joule_per_kilogram_kelvin;
    /// A heat capacity in J/K.
    joules_per_kelvin -> HeatCapacity, uom::si::heat_capacity::joule_per_kelvin;
    /// A thermal conductance (heat flow per kelvin) in W/K.
    watts_per_kelvin -> ThermalConductance, uom::si::thermal_conductance::watt_per_kelvin;
    /// A heat transfer coefficient in W/(m² K).
    watts_per_square_metre_kelvin -> HeatTransfer, uom::si::heat_transfer::watt_per_square_meter_kelvin;
    /// A thermal conductivity in W/(m K).
    watts_per_metre_kelvin -> ThermalConductivity, uom::si::thermal_conductivity::watt_per_meter_kelvin;
    /// A heat flux in W/m².
    watts_per_square_metre -> HeatFluxDensity, uom::si::heat_flux_density::watt_per_square_meter;
    /// A duration in s.
    seconds -> Time, uom::si::time::second;
    /// A frequency in 1/s.
    per_second -> Frequency, uom::si::frequency::hertz;
    /// A temperature in K.
    kelvin -> ThermodynamicTemperature, uom::si::thermodynamic_temperature::kelvin;
    /// A temperature in °C.
    celsius -> ThermodynamicTemperature, uom::si::thermodynamic_temperature::degree_celsius;
    /// A temperature difference in K.
    kelvin_difference -> TemperatureInterval, uom::si::temperature_interval::kelvin;
    /// A velocity in m/s.
    metres_per_second -> Velocity, uom::si::velocity::meter_per_second;
    /// An acceleration in m/s².
    metres_per_second_squared -> Acceleration, uom::si::acceleration::meter_per_second_squared;
    /// A force in N.
    newtons -> Force, uom::si::force::newton;
    /// A dynamic viscosity in Pa s.
    pascal_seconds -> DynamicViscosity, uom::si::dynamic_viscosity::pascal_second;
    /// A kinematic viscosity in m²/s.
    square_metres_per_second -> KinematicViscosity, uom::si::kinematic_viscosity::square_meter_per_second;
    /// A surface tension in N/m.
    newtons_per_metre -> SurfaceTension, uom::si::surface_tension::newton_per_meter;
    /// An angle in rad.
    radians -> Angle, uom::si::angle::radian;
    /// A dimensionless ratio, 1 being the whole.
    ratio -> Ratio, uom::si::ratio::ratio;
}

/// An absolute pressure in Pa.
pub fn pascals_absolute(p_pa: f64) -> AbsolutePressure {
    AbsolutePressure::from_pascals(p_pa)
}

/// A gauge pressure in Pa above (or below) the surroundings.
pub fn pascals_gauge(p_pa: f64) -> GaugePressure {
    GaugePressure::from_pascals(p_pa)
}

/// A pressure difference in Pa.
pub fn pascals_difference(p_pa: f64) -> PressureDifference {
    PressureDifference::from_pascals(p_pa)
}

/// A flow coefficient by its Kv value, m³/h of water at 1 bar.
pub fn kv(kv_m3_h: f64) -> FlowCoefficient {
    FlowCoefficient::from_kv(kv_m3_h)
}
