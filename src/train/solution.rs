//! What flows through a train: results of the solver, and why it found none.

use super::characteristic::OpeningError;
use crate::eos::{EosError, Phase};
use crate::flow::fittings::FittingError;
use crate::flow::line::{LineError, TwoPhaseBand};
use crate::flow::orifice::OrificeError;
use crate::flow::regulator::RegulatorError;
use crate::flow::valve::ValveError;
use crate::quantity::sentence::{
    Sentence, Told, displayed, flow, outside, pressure, sentence, temperature,
};
use crate::quantity::{
    AbsolutePressure, AvailableEnergy, FlowCoefficient, MassDensity, MassRate, Power,
    PressureDifference, ThermodynamicTemperature, Velocity,
};

/// State of the fuel at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Station {
    /// Static pressure.
    pub pressure: AbsolutePressure,
    /// Static temperature.
    pub temperature: ThermodynamicTemperature,
    /// Phase.
    pub phase: Phase,
    /// Share of the mass that is vapour.
    pub vapour_mass_fraction: f64,
    /// Density.
    pub density: MassDensity,
    /// Velocity; zero where the part has no bore.
    pub velocity: Velocity,
    /// Velocity over the speed of sound; `None` in two-phase flow.
    pub mach: Option<f64>,
    /// Total enthalpy, with the zero of the backend.
    pub total_enthalpy: AvailableEnergy,
}

/// Flow through one part.
#[derive(Debug, Clone, PartialEq)]
pub struct PartFlow {
    /// Name of the part.
    pub part: String,
    /// Kind of the part.
    pub kind: &'static str,
    /// Run or source it stands in.
    pub run: String,
    /// Flow through it (of one tank, for the parts of a source with several).
    pub flow: MassRate,
    /// Before it.
    pub inlet: Station,
    /// Behind it.
    pub outlet: Station,
    /// Flow does not depend on the pressure behind it: it is choked, or at its limit.
    pub choked: bool,
    /// Opening, of a valve.
    pub opening: Option<f64>,
    /// Flow coefficient in use.
    pub kv: Option<FlowCoefficient>,
    /// Regulator: the seat is wide open and does not regulate.
    pub wide_open: bool,
    /// Regulator: share of the wide-open capacity in use.
    pub load: Option<f64>,
    /// Reynolds number at the inlet, of a line.
    pub reynolds: Option<f64>,
    /// Heat taken up.
    pub heat: Power,
    /// Shaft work put in.
    pub work: Power,
    /// Work against height.
    pub lift: Power,
    /// Liquid and vapour flow together in it; taken as homogeneous and in equilibrium.
    pub two_phase: bool,
    /// Bounds on the outlet pressure, of a line with two phases.
    pub band: Option<TwoPhaseBand>,
}

impl PartFlow {
    /// Pressure lost (negative: added by a pump, or by falling liquid).
    pub fn pressure_drop(&self) -> PressureDifference {
        self.inlet.pressure - self.outlet.pressure
    }
}

/// Flow out of one outlet.
#[derive(Debug, Clone, PartialEq)]
pub struct OutletFlow {
    /// Name of the outlet.
    pub outlet: String,
    /// Flow.
    pub flow: MassRate,
    /// State before the holes, at rest.
    pub inlet: Station,
    /// Pressure it discharges to.
    pub chamber: AbsolutePressure,
    /// The holes are choked.
    pub choked: bool,
}

/// Flow from one source.
#[derive(Debug, Clone, PartialEq)]
pub struct SourceFlow {
    /// Name of the source.
    pub source: String,
    /// Flow of all its tanks together.
    pub flow: MassRate,
    /// State in the tank.
    pub tank: Station,
    /// Its pressure is too low to feed the node where the sources join.
    pub starved: bool,
}

/// A train with everything that flows in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// Total flow.
    pub flow: MassRate,
    /// Sources, in order.
    pub sources: Vec<SourceFlow>,
    /// Parts: those of the sources first, then run by run, each run before its branches.
    pub parts: Vec<PartFlow>,
    /// Outlets, in order.
    pub outlets: Vec<OutletFlow>,
}

impl Solution {
    /// Flow through the part of this name.
    pub fn part(&self, name: &str) -> Option<&PartFlow> {
        self.parts.iter().find(|p| p.part == name)
    }
    /// Flow out of the outlet of this name.
    pub fn outlet(&self, name: &str) -> Option<&OutletFlow> {
        self.outlets.iter().find(|o| o.outlet == name)
    }
}

/// Why a part cannot do what is asked of it.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PartProblem {
    /// It is closed.
    Closed,
    /// It passes no more.
    Limit {
        /// Most it passes, kg/s; NaN where not known.
        limit_kg_s: f64,
        /// Asked, kg/s.
        flow_kg_s: f64,
    },
    /// An excess-flow valve closes.
    ExcessFlow {
        /// Closes at, kg/s.
        closing_kg_s: f64,
        /// Flows, kg/s.
        flow_kg_s: f64,
    },
    /// A check valve is not lifted.
    NotLifted {
        /// Pressure there is, Pa.
        p_pa: f64,
        /// Cracking pressure, Pa.
        cracking_pa: f64,
    },
    /// Vapour at a pump.
    VapourAtPump {
        /// What there is.
        phase: Phase,
        /// Temperature, K.
        t_k: f64,
        /// Pressure, Pa.
        p_pa: f64,
    },
    /// Two phases where the flow law holds for one only.
    TwoPhase {
        /// Temperature, K.
        t_k: f64,
        /// Pressure, Pa.
        p_pa: f64,
    },
    /// Its data make no sense.
    Data {
        /// Which.
        name: &'static str,
        /// Value.
        value: f64,
        /// Lower end.
        lower: f64,
        /// Upper end.
        upper: f64,
    },
    /// Its opening or characteristic.
    Opening(#[from] OpeningError),
    /// Valve equations.
    Valve(#[from] ValveError),
    /// Line equations.
    Line(#[from] LineError),
    /// Regulator.
    Regulator(#[from] RegulatorError),
    /// Loss coefficient.
    Fitting(#[from] FittingError),
    /// Holes.
    Orifice(#[from] OrificeError),
    /// Properties.
    Property(#[from] EosError),
}

impl Told for PartProblem {
    fn told(&self) -> Sentence {
        match self {
            Self::Closed => sentence!("it is closed"),
            Self::Limit {
                limit_kg_s,
                flow_kg_s,
            } => sentence!(
                "it passes {} at most, and {} is asked of it",
                flow(*limit_kg_s).close(),
                flow(*flow_kg_s).close()
            ),
            Self::ExcessFlow {
                closing_kg_s,
                flow_kg_s,
            } => sentence!(
                "the excess-flow valve closes at {}, and {} flows",
                flow(*closing_kg_s).close(),
                flow(*flow_kg_s).close()
            ),
            Self::NotLifted { p_pa, cracking_pa } => sentence!(
                "{} does not lift the check valve, which cracks at {}",
                pressure(*p_pa).close(),
                pressure(*cracking_pa).close()
            ),
            Self::VapourAtPump { phase, t_k, p_pa } => sentence!(
                "the pump has {} at its inlet ({}, {}): it moves liquid only",
                phase.name(),
                temperature(*t_k),
                pressure(*p_pa)
            ),
            Self::TwoPhase { t_k, p_pa } => sentence!(
                "liquid and vapour together at its inlet ({}, {}): its flow law holds for one phase",
                temperature(*t_k),
                pressure(*p_pa)
            ),
            Self::Data {
                name,
                value,
                lower,
                upper,
            } => outside(name, *value, (*lower, *upper), name.contains("efficiency")),
            Self::Opening(error) => sentence!("{}", error),
            Self::Valve(error) => error.told(),
            Self::Line(error) => error.told(),
            Self::Regulator(error) => error.told(),
            Self::Fitting(error) => sentence!("{}", error),
            Self::Orifice(error) => error.told(),
            Self::Property(error) => error.told(),
        }
    }
}

displayed!(PartProblem);

/// Why a train could not be solved.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TrainError {
    /// The train is put together in a way that cannot be.
    Shape {
        /// Why.
        why: Sentence,
    },
    /// Nothing of this name.
    NoSuch {
        /// Part, outlet, source.
        what: &'static str,
        /// Name.
        name: String,
    },
    /// The state in a tank.
    Supply {
        /// Source.
        source_name: String,
        /// Why.
        error: EosError,
    },
    /// The fuel in a tank is in the other phase.
    WrongPhase {
        /// Source.
        source_name: String,
        /// Wanted.
        wanted: &'static str,
        /// Found.
        found: &'static str,
        /// Pressure, Pa.
        p_pa: f64,
        /// Temperature, K.
        t_k: f64,
    },
    /// A part cannot do what is asked.
    Part {
        /// Part or outlet.
        part: String,
        /// Why.
        problem: PartProblem,
    },
    /// Pressure is used up before the fuel is out.
    NotEnoughPressure {
        /// Part or outlet.
        at: String,
        /// Pressure there, Pa.
        p_pa: f64,
        /// Flow asked, kg/s.
        flow_kg_s: f64,
    },
    /// A search ended without result.
    NotConverged {
        /// What was sought.
        what: String,
        /// Steps.
        steps: usize,
    },
    /// The states of the fuel took too many steps of iteration in all.
    Spent {
        /// Steps allowed.
        steps: u64,
        /// Last flow tried, kg/s.
        flow_kg_s: f64,
        /// Pressure at the end of the row there, Pa.
        p_pa: f64,
        /// Temperature, K.
        t_k: f64,
    },
}

impl Told for TrainError {
    fn told(&self) -> Sentence {
        match self {
            Self::Shape { why } => sentence!("the train cannot be solved: {}", why.clone()),
            Self::NoSuch { what, name } => {
                sentence!("there is no {} named `{}` in the train", what, name)
            }
            Self::Supply { source_name, error } => {
                sentence!("source `{}`: {}", source_name, error.told())
            }
            Self::WrongPhase {
                source_name,
                wanted,
                found,
                p_pa,
                t_k,
            } => sentence!(
                "source `{}` is to give {}, and the fuel is {} at {} and {}",
                source_name,
                wanted,
                found,
                temperature(*t_k),
                pressure(*p_pa)
            ),
            Self::Part { part, problem } => sentence!("`{}`: {}", part, problem.told()),
            Self::NotEnoughPressure {
                at,
                p_pa,
                flow_kg_s,
            } => sentence!(
                "not enough pressure: `{}` has {} at its inlet, and what follows does not pass {} from that",
                at,
                pressure(*p_pa),
                flow(*flow_kg_s)
            ),
            Self::NotConverged { what, steps } => {
                sentence!("no solution found for {} after {} steps", what, steps)
            }
            Self::Spent {
                steps,
                flow_kg_s,
                p_pa,
                t_k,
            } => sentence!(
                "the flow was given up after {} steps of iteration for the states of the fuel: last {}, at {} and {}; near the critical point, and with much of a light gas, liquid and vapour are hard to tell apart",
                steps,
                flow(*flow_kg_s),
                pressure(*p_pa),
                temperature(*t_k)
            ),
        }
    }
}

displayed!(TrainError);
