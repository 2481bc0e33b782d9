//! Kinds of remark on a solved train, with their words.

/// Kind of remark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum CheckKind {
    /// Flow in a line is fast.
    Velocity,
    /// Flow in a line is near the speed of sound.
    Mach,
    /// A part is choked: flow does not answer to what lies behind it.
    Choked,
    /// Pressure in the running train is above a part's rating.
    PressureAboveRating,
    /// Pressure with the flow stopped (tank pressure, lock-up) is above a part's rating.
    PressureAtRestAboveRating,
    /// What comes on the part if the regulator before it alone fails wide open is above its rating.
    PressureAfterRegulatorFailure,
    /// Fuel is colder than the part is made for.
    ColderThanRating,
    /// Fuel, or the surroundings, are hotter than the part is made for.
    HotterThanRating,
    /// Fuel is below the freezing point of water: frost outside, ice inside from wet fuel.
    BelowFreezing,
    /// Fuel is close to its dew point, or below it where walls are as cold as the surroundings.
    Condensation,
    /// Liquid and vapour flow together.
    TwoPhase,
    /// Liquid flashes in the part.
    Flashing,
    /// Liquid boils and collapses in the part.
    Cavitation,
    /// Too little pressure above the vapour pressure at a pump.
    VapourLock,
    /// The pump asks for more power than there is.
    PumpPower,
    /// Inlet pressure of a regulator is below what its maker asks for, or the seat stands wide open.
    RegulatorStarved,
    /// Flow is above a regulator's rated flow or near its capacity.
    RegulatorOverloaded,
    /// Inlet pressure of a regulator is above what its maker allows.
    RegulatorInletHigh,
    /// An excess-flow valve would close on ordinary flow.
    ExcessFlowTooSmall,
    /// An excess-flow valve would not close unless the line broke wide open.
    ExcessFlowTooLarge,
    /// A source gives nothing: its pressure is too low.
    SourceStarved,
}

impl CheckKind {
    /// The word used in machine output.
    pub fn name(self) -> &'static str {
        match self {
            Self::Velocity => "velocity",
            Self::Mach => "mach",
            Self::Choked => "choked",
            Self::PressureAboveRating => "pressure-above-rating",
            Self::PressureAtRestAboveRating => "pressure-at-rest-above-rating",
            Self::PressureAfterRegulatorFailure => "pressure-after-regulator-failure",
            Self::ColderThanRating => "colder-than-rating",
            Self::HotterThanRating => "hotter-than-rating",
            Self::BelowFreezing => "below-freezing",
            Self::Condensation => "condensation",
            Self::TwoPhase => "two-phase",
            Self::Flashing => "flashing",
            Self::Cavitation => "cavitation",
            Self::VapourLock => "vapour-lock",
            Self::PumpPower => "pump-power",
            Self::RegulatorStarved => "regulator-starved",
            Self::RegulatorOverloaded => "regulator-overloaded",
            Self::RegulatorInletHigh => "regulator-inlet-high",
            Self::ExcessFlowTooSmall => "excess-flow-too-small",
            Self::ExcessFlowTooLarge => "excess-flow-too-large",
            Self::SourceStarved => "source-starved",
        }
    }
    /// What it means, for a table.
    pub fn meaning(self) -> &'static str {
        match self {
            Self::Velocity => "velocity in the line, against what is usual",
            Self::Mach => "Mach number in the line, against what is usual",
            Self::Choked => {
                "choked: pressure behind and before it; flow does not answer to what lies behind"
            }
            Self::PressureAboveRating => "pressure while running above its rating",
            Self::PressureAtRestAboveRating => "pressure with the flow stopped above its rating",
            Self::PressureAfterRegulatorFailure => {
                "what the regulator before it lets through if it alone fails wide open, above its rating"
            }
            Self::ColderThanRating => "fuel colder than it is made for",
            Self::HotterThanRating => "hotter than it is made for",
            Self::BelowFreezing => {
                "fuel falls below the freezing point of water here: frost, and ice from wet fuel"
            }
            Self::Condensation => {
                "coldest of fuel and air, against the dew point with a margin: fuel condenses"
            }
            Self::TwoPhase => "liquid and vapour flow together; vapour by mass",
            Self::Flashing => "liquid boils as it passes; vapour by mass behind it",
            Self::Cavitation => {
                "pressure drop over drop to the vapour pressure, against where bubbles collapse"
            }
            Self::VapourLock => {
                "pressure above the vapour pressure at the pump, against what it needs"
            }
            Self::PumpPower => "shaft power, against what there is",
            Self::RegulatorStarved => "too little pressure for the regulator to hold its setting",
            Self::RegulatorOverloaded => {
                "flow, or share of the open capacity, against what it is made for"
            }
            Self::RegulatorInletHigh => "inlet pressure above what the regulator allows",
            Self::ExcessFlowTooSmall => {
                "closing flow over running flow: it closes on ordinary flow"
            }
            Self::ExcessFlowTooLarge => {
                "closing flow over running flow: it closes only on a wide break"
            }
            Self::SourceStarved => {
                "its pressure is too low to feed the others' node: it gives nothing"
            }
        }
    }
}
