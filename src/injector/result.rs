//! What is found of one set of holes.

use super::drills::Drill;
use super::solve::Unknown;
use crate::eos::State;
use crate::flow::discharge::DischargeCoefficient;
use crate::flow::orifice::Throat;
use crate::fuel::SourceKey;
use crate::quantity::sentence::Sentence;
use crate::quantity::{
    AbsolutePressure, Length, MassFlux, MassRate, Ratio, TemperatureInterval, Velocity,
};

/// A value with the band it lies in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlowBand {
    /// Best estimate.
    pub value: MassRate,
    /// Smallest hole of the tolerance with the lowest coefficient (and, for a blend of expansions, flux).
    pub low: MassRate,
    /// Largest hole with the highest.
    pub high: MassRate,
}

/// A drill near the diameter, and what holes made with it pass.
#[derive(Debug, Clone, PartialEq)]
pub struct DrillChoice {
    /// The drill.
    pub drill: &'static Drill,
    /// Flow of all holes, if they have the drill's diameter.
    pub flow: FlowBand,
    /// `flow / wanted − 1`.
    pub flow_error: Ratio,
    /// Discharge coefficient of this hole.
    pub coefficient: f64,
}

/// A whole number of holes, and what they pass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CountChoice {
    /// Number of holes.
    pub holes: u32,
    /// Flow of all of them.
    pub flow: MassRate,
    /// `flow / wanted − 1`.
    pub flow_error: Ratio,
}

/// An injector with everything that follows from it.
#[derive(Debug, Clone)]
pub struct InjectorResult {
    /// What was found.
    pub unknown: Unknown,
    /// The fuel before the holes.
    pub supply: State,
    /// Pressure behind the holes.
    pub chamber: AbsolutePressure,
    /// Number of holes.
    pub holes: u32,
    /// Number of holes that would pass exactly the flow wanted.
    pub exact_holes: f64,
    /// Diameter of each.
    pub diameter: Length,
    /// Length of each.
    pub length: Length,
    /// Fuel flow of all.
    pub flow: FlowBand,
    /// Flow wanted; the flow itself where that was free.
    pub wanted: MassRate,
    /// Ideal mass flux, before the discharge coefficient.
    pub flux: MassFlux,
    /// Whether the hole is choked.
    pub choked: bool,
    /// State in the throat.
    pub throat: Throat,
    /// Pressure at which the expansion enters the two-phase region, at or above the throat.
    pub crosses_saturation: Option<AbsolutePressure>,
    /// Discharge coefficient with its band and models.
    pub coefficient: DischargeCoefficient,
    /// Reynolds number of the hole; `None` if the fuel has no viscosity model.
    pub reynolds: Option<f64>,
    /// Velocity of the jet once it has expanded to chamber pressure.
    pub jet_velocity: Velocity,
    /// Drop over the holes over chamber pressure.
    pub stiffness: Ratio,
    /// How far the fuel before the holes is above its dew point; `None` for liquid, wet fuel or above
    /// the critical pressure.
    pub superheat: Option<TemperatureInterval>,
    /// How far it is below its bubble point; `None` for vapour.
    pub subcooling: Option<TemperatureInterval>,
    /// Drills around the diameter, by rising size.
    pub drills: Vec<DrillChoice>,
    /// Whole numbers around the exact one, where that was free.
    pub counts: Vec<CountChoice>,
    /// What a reader must know; one sentence each.
    pub notes: Vec<Sentence>,
    /// What was taken for granted; one sentence each.
    pub assumptions: Vec<Sentence>,
    /// Sources of the methods.
    pub sources: Vec<SourceKey>,
}

impl InjectorResult {
    /// The drill whose flow is nearest to the one wanted.
    pub fn nearest_drill(&self) -> Option<&DrillChoice> {
        let off = |c: &DrillChoice| c.flow_error.value.abs();
        let drills = self.drills.iter();
        drills.min_by(|a, b| off(a).total_cmp(&off(b)))
    }
}
