//! Groups of parts, for a mass list.

use crate::train::PartKind;

/// What a part is, on a mass list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PartGroup {
    /// Tanks and cylinders.
    Tank,
    /// Fuel.
    Fuel,
    /// Pressure regulators.
    Regulator,
    /// Valves of any kind.
    Valve,
    /// Tubes and hoses.
    Line,
    /// Bends, elbows, tees, orifice plates.
    Fitting,
    /// Filters and flame arrestors.
    Filter,
    /// Pumps and vaporisers.
    Pump,
    /// Gauges, sensors, bleeds.
    Gauge,
    /// The tube that the holes are drilled in.
    Injector,
}

impl PartGroup {
    /// The group of a kind of part.
    pub fn of(kind: &PartKind) -> Self {
        match kind {
            PartKind::Regulator(_) => Self::Regulator,
            PartKind::DipTube(_) | PartKind::Hose(_) | PartKind::Tube(_) => Self::Line,
            PartKind::Fitting(_) | PartKind::OrificePlate(_) => Self::Fitting,
            PartKind::Filter(_) | PartKind::FlameArrestor(_) => Self::Filter,
            PartKind::Pump(_) | PartKind::Vaporiser(_) => Self::Pump,
            PartKind::Tapping(_) => Self::Gauge,
            PartKind::CylinderValve(_)
            | PartKind::ExcessFlowValve(_)
            | PartKind::BallValve(_)
            | PartKind::NeedleValve(_)
            | PartKind::SolenoidValve(_)
            | PartKind::MeteringValve(_)
            | PartKind::CheckValve(_)
            | PartKind::ReliefValve(_) => Self::Valve,
        }
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Tank => "tank",
            Self::Fuel => "fuel",
            Self::Regulator => "regulator",
            Self::Valve => "valves",
            Self::Line => "lines",
            Self::Fitting => "fittings",
            Self::Filter => "filters and arrestors",
            Self::Pump => "pump and vaporiser",
            Self::Gauge => "gauges",
            Self::Injector => "injector",
        }
    }

    /// Whether it only joins or reads: it neither holds, moves, meters nor burns fuel.
    pub fn only_joins(self) -> bool {
        matches!(self, Self::Fitting | Self::Gauge)
    }

    /// Whether it is tube or hose.
    pub fn is_line(self) -> bool {
        self == Self::Line
    }

    /// Whether it belongs to the train: neither tank nor fuel.
    pub fn of_train(self) -> bool {
        !matches!(self, Self::Tank | Self::Fuel)
    }
}
