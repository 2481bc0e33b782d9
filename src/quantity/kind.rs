//! Which quantity a number is, for choosing units and wording messages.

/// What a quantity is, as far as units go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// Length.
    Length,
    /// Area.
    Area,
    /// Volume.
    Volume,
    /// Mass.
    Mass,
    /// Mass flow.
    MassRate,
    /// Volume flow, at the conditions it flows at.
    VolumeRate,
    /// Mass flow through an area.
    MassFlux,
    /// Density.
    Density,
    /// Molar mass.
    MolarMass,
    /// Absolute pressure.
    AbsolutePressure,
    /// Gauge pressure.
    GaugePressure,
    /// Pressure difference.
    PressureDifference,
    /// Temperature.
    Temperature,
    /// Temperature difference.
    TemperatureDifference,
    /// Power, heat flow.
    Power,
    /// Energy, heat.
    Energy,
    /// Energy by mass.
    SpecificEnergy,
    /// Energy by volume of gas.
    VolumetricEnergy,
    /// Heat capacity by mass.
    SpecificHeat,
    /// Heat capacity.
    HeatCapacity,
    /// Heat flow per kelvin.
    ThermalConductance,
    /// Heat flow an area and kelvin.
    HeatTransfer,
    /// Thermal conductivity.
    Conductivity,
    /// Heat flow an area.
    HeatFlux,
    /// Duration.
    Time,
    /// Velocity.
    Velocity,
    /// Angle.
    Angle,
    /// Valve flow coefficient.
    FlowCoefficient,
    /// Dimensionless ratio.
    Ratio,
    /// Dynamic viscosity.
    DynamicViscosity,
    /// Kinematic viscosity.
    KinematicViscosity,
    /// Surface tension.
    SurfaceTension,
    /// Temperature change for a pressure change.
    JouleThomson,
    /// Pressure change for a temperature change.
    PressurePerTemperature,
    /// Force.
    Force,
    /// Frequency.
    Frequency,
}

impl Kind {
    /// Its SI unit as machines write it; empty for a ratio.
    pub fn si_unit(self) -> &'static str {
        match self {
            Self::Length => "m",
            Self::Area => "m2",
            Self::Volume => "m3",
            Self::Mass => "kg",
            Self::MassRate => "kg/s",
            Self::VolumeRate => "m3/s",
            Self::MassFlux => "kg/(m2 s)",
            Self::Density => "kg/m3",
            Self::MolarMass => "kg/mol",
            Self::AbsolutePressure | Self::GaugePressure | Self::PressureDifference => "Pa",
            Self::Temperature | Self::TemperatureDifference => "K",
            Self::Power => "W",
            Self::Energy => "J",
            Self::Time => "s",
            Self::Velocity => "m/s",
            Self::SpecificEnergy => "J/kg",
            Self::VolumetricEnergy => "J/m3",
            Self::SpecificHeat => "J/(kg K)",
            Self::ThermalConductance => "W/K",
            Self::HeatTransfer => "W/(m2 K)",
            Self::Conductivity => "W/(m K)",
            Self::HeatFlux => "W/m2",
            Self::Frequency => "1/s",
            Self::PressurePerTemperature => "Pa/K",
            Self::FlowCoefficient => "m3/h",
            Self::DynamicViscosity => "Pa s",
            Self::KinematicViscosity => "m2/s",
            Self::SurfaceTension => "N/m",
            _ => "",
        }
    }

    /// Name with its article, as messages say it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Area => "an area",
            Self::Volume => "a volume",
            Self::Mass => "a mass",
            Self::MassRate => "a mass flow",
            Self::VolumeRate => "a volume flow",
            Self::MassFlux => "a mass flux",
            Self::Density => "a density",
            Self::MolarMass => "a molar mass",
            Self::AbsolutePressure => "an absolute pressure",
            Self::GaugePressure => "a gauge pressure",
            Self::PressureDifference => "a pressure difference",
            Self::Temperature => "a temperature",
            Self::TemperatureDifference => "a temperature difference",
            Self::Power => "a power",
            Self::Energy => "an energy",
            Self::SpecificEnergy => "an energy by mass",
            Self::VolumetricEnergy => "an energy by volume",
            Self::SpecificHeat => "a specific heat",
            Self::HeatCapacity => "a heat capacity",
            Self::ThermalConductance => "a thermal conductance",
            Self::HeatTransfer => "a heat transfer coefficient",
            Self::Conductivity => "a thermal conductivity",
            Self::HeatFlux => "a heat flux",
            Self::Time => "a duration",
            Self::Velocity => "a velocity",
            Self::Angle => "an angle",
            Self::FlowCoefficient => "a flow coefficient",
            Self::Ratio => "a ratio",
            Self::DynamicViscosity => "a dynamic viscosity",
            Self::KinematicViscosity => "a kinematic viscosity",
            Self::SurfaceTension => "a surface tension",
            Self::JouleThomson => "a Joule-Thomson coefficient",
            Self::PressurePerTemperature => "a pressure change by temperature",
            Self::Force => "a force",
            Self::Frequency => "a frequency",
        }
    }
}
