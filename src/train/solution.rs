//! What flows through a train: results of the solver, and why it found none.

use super::characteristic::OpeningError;
use crate::eos::{EosError, Phase};
use crate::flow::line::{LineError, TwoPhaseBand};
use crate::flow::orifice::OrificeError;
use crate::flow::regulator::RegulatorError;
use crate::flow::valve::ValveError;
use crate::quantity::range::OutOfRange;
use crate::quantity::sentence::{Sentence, flow, pressure, temperature};
use crate::quantity::told::errors;
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

errors! {
    /// Why a part cannot do what is asked of it.
    pub enum PartProblem {
        Closed => "it is closed";
        Limit {
            /// Most it passes, kg/s; NaN where not known.
            limit_kg_s: f64,
            flow_kg_s: f64,
        } =>
            "it passes {} at most, and {} is asked of it",
            flow(limit_kg_s).close(), flow(flow_kg_s).close();
        ExcessFlow { closing_kg_s: f64, flow_kg_s: f64 } =>
            "the excess-flow valve closes at {}, and {} flows",
            flow(closing_kg_s).close(), flow(flow_kg_s).close();
        NotLifted { p_pa: f64, cracking_pa: f64 } =>
            "{} does not lift the check valve, which cracks at {}",
            pressure(p_pa).close(), pressure(cracking_pa).close();
        VapourAtPump { phase: Phase, t_k: f64, p_pa: f64 } =>
            "the pump has {} at its inlet ({}, {}): it moves liquid only",
            phase.name(), temperature(t_k), pressure(p_pa);
        TwoPhase { t_k: f64, p_pa: f64 } =>
            "liquid and vapour together at its inlet ({}, {}): its flow law holds for one phase",
            temperature(t_k), pressure(p_pa);
        Data(OutOfRange);
        Opening(OpeningError);
        Valve(ValveError);
        Line(LineError);
        Regulator(RegulatorError);
        Orifice(OrificeError);
        Property(EosError);
    }
}

errors! {
    /// Why a train could not be solved.
    pub enum TrainError {
        Shape { why: Sentence } => "the train cannot be solved: {}", why;
        NoSuch { what: &'static str, name: String } =>
            "there is no {} named `{}` in the train", what, name;
        Supply { source_name: String, error: EosError } =>
            "source `{}`: {}", source_name, error.told();
        WrongPhase {
            source_name: String,
            wanted: &'static str,
            found: &'static str,
            p_pa: f64,
            t_k: f64,
        } =>
            "source `{}` is to give {}, and the fuel is {} at {} and {}",
            source_name, wanted, found, temperature(t_k), pressure(p_pa);
        Part { part: String, problem: PartProblem } => "`{}`: {}", part, problem.told();
        NotEnoughPressure { at: String, p_pa: f64, flow_kg_s: f64 } =>
            "not enough pressure: `{}` has {} at its inlet, and what follows does not pass {} from that",
            at, pressure(p_pa), flow(flow_kg_s);
        NotConverged { what: String, steps: usize } =>
            "no solution found for {} after {} steps", what, steps;
        Spent { steps: u64, flow_kg_s: f64, p_pa: f64, t_k: f64 } =>
            "the flow was given up after {} steps of iteration for the states of the fuel: last {}, at {} and {}; near the critical point, and with much of a light gas, liquid and vapour are hard to tell apart",
            steps, flow(flow_kg_s), pressure(p_pa), temperature(t_k);
    }
}
