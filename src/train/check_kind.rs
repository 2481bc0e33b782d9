//! What a solved train is held against: a line each, with its word, its figure and who sets the limit.

use crate::quantity::Kind;

/// Basis of a limit that the rig gives for the part.
const GIVEN: &str = "the part's own data";
/// Basis of a limit from practice.
const PRACTICE: &str = "common practice, no source";
/// Basis of a limit of physics.
const PHYSICS: &str = "property of the fuel or of water";
/// Basis of a limit of ours.
const CHOICE: &str = "our choice";

macro_rules! kinds {
    ($($(#[doc = $about:literal])+ $kind:ident = $word:literal, $figure:ident, $basis:ident;)+) => {
        /// What is held against a limit.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum CheckKind {
            $($(#[doc = $about])+ $kind,)+
        }

        impl CheckKind {
            /// The word used in machine output.
            pub fn name(self) -> &'static str {
                match self { $(Self::$kind => $word,)+ }
            }
            /// Kind of both figures.
            pub fn figure(self) -> Kind {
                match self { $(Self::$kind => Kind::$figure,)+ }
            }
            /// Who sets the limit.
            pub fn basis(self) -> &'static str {
                match self { $(Self::$kind => $basis,)+ }
            }
        }
    };
}

kinds! {
    /// Flow in a line is fast.
    Velocity = "velocity", Velocity, PRACTICE;
    /// Flow in a line is near the speed of sound.
    Mach = "mach", Ratio, PRACTICE;
    /// A part is choked: flow does not answer to what lies behind it. Pressure behind it, against that before it.
    Choked = "choked", AbsolutePressure, PHYSICS;
    /// Pressure in the running train is above a part's rating.
    PressureAboveRating = "pressure-above-rating", AbsolutePressure, GIVEN;
    /// Pressure with the flow stopped (tank pressure, lock-up) is above a part's rating.
    PressureAtRestAboveRating = "pressure-at-rest-above-rating", AbsolutePressure, GIVEN;
    /// What comes on the part if the regulator before it alone fails wide open is above its rating.
    PressureAfterRegulatorFailure = "pressure-after-regulator-failure", AbsolutePressure, GIVEN;
    /// Fuel is colder than the part is made for.
    ColderThanRating = "colder-than-rating", Temperature, GIVEN;
    /// Fuel, or the surroundings, are hotter than the part is made for.
    HotterThanRating = "hotter-than-rating", Temperature, GIVEN;
    /// Fuel is below the freezing point of water: frost outside, ice inside from wet fuel.
    BelowFreezing = "below-freezing", Temperature, PHYSICS;
    /// Fuel is close to its dew point, or below it where walls are as cold as the surroundings.
    Condensation = "condensation", Temperature, CHOICE;
    /// Liquid and vapour flow together; vapour by mass.
    TwoPhase = "two-phase", Ratio, PHYSICS;
    /// Liquid flashes in the part; vapour by mass behind it.
    Flashing = "flashing", Ratio, PHYSICS;
    /// Liquid boils and collapses in the part: drop over that to the vapour pressure.
    Cavitation = "cavitation", Ratio, CHOICE;
    /// Too little pressure above the vapour pressure at a pump.
    VapourLock = "vapour-lock", PressureDifference, GIVEN;
    /// The pump asks for more power than there is.
    PumpPower = "pump-power", Power, GIVEN;
    /// Inlet pressure of a regulator is below what its maker asks for, or the seat stands wide open.
    RegulatorStarved = "regulator-starved", AbsolutePressure, GIVEN;
    /// Flow is above a regulator's rated flow.
    RegulatorOverloaded = "regulator-overloaded", MassRate, GIVEN;
    /// Flow is near a regulator's capacity.
    RegulatorNearCapacity = "regulator-overloaded", Ratio, PRACTICE;
    /// Inlet pressure of a regulator is above what its maker allows.
    RegulatorInletHigh = "regulator-inlet-high", AbsolutePressure, GIVEN;
    /// An excess-flow valve would close on ordinary flow: closing flow over running flow.
    ExcessFlowTooSmall = "excess-flow-too-small", Ratio, PRACTICE;
    /// An excess-flow valve would not close unless the line broke wide open.
    ExcessFlowTooLarge = "excess-flow-too-large", Ratio, PRACTICE;
    /// A source gives nothing: its pressure is too low.
    SourceStarved = "source-starved", AbsolutePressure, PHYSICS;
}

impl CheckKind {
    /// Whether the limit is one that the rig gives for the part.
    pub fn is_given(self) -> bool {
        self.basis() == GIVEN
    }
}
