//! Parts of a fuel train: plain data. The sums are in `solve`, the generic values in `catalogue`.

use super::{Joints, Material, Protection};
use crate::flow::line::Line;
use crate::flow::regulator::Regulator;
use crate::flow::valve::Style;
use crate::quantity::{
    AbsolutePressure, FlowCoefficient, GaugePressure, Length, Mass, MassDensity, MassRate, Power,
    PressureDifference, Ratio, ThermalConductance, ThermodynamicTemperature, Time, Volume,
    VolumeRate, pascals_absolute,
};
use crate::train::worded::worded;

/// One part of the train.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Name, unique in the train.
    pub name: String,
    /// What it is, with its flow law.
    pub kind: PartKind,
    /// Mass without fuel; `None`: unknown.
    pub mass: Option<Mass>,
    /// Joints it brings.
    pub joints: Vec<Joints>,
    /// Rating.
    pub rating: Rating,
    /// Everything the fuel touches, seals included.
    pub wetted: Vec<Material>,
    /// Volume the fuel fills; `None`: from bore and length where there are both, else unknown.
    pub internal_volume: Option<Volume>,
    /// How it closes; `None`: it cannot be closed.
    pub closure: Option<Closure>,
    /// Name of the generic part in the catalogue it was taken from.
    pub catalogue: Option<String>,
    /// What it has and does against failure.
    pub protection: Protection,
}

/// What a part may be exposed to.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Rating {
    /// Highest pressure.
    pub max_pressure: Option<AbsolutePressure>,
    /// Lowest temperature.
    pub min_temperature: Option<ThermodynamicTemperature>,
    /// Highest temperature.
    pub max_temperature: Option<ThermodynamicTemperature>,
}

/// Kind of part.
#[derive(Debug, Clone, PartialEq)]
pub enum PartKind {
    /// Valve on the cylinder.
    CylinderValve(Valve),
    /// Tube inside the cylinder that reaches into the liquid.
    DipTube(Line),
    /// Valve that closes when flow is too large.
    ExcessFlowValve(ExcessFlowValve),
    /// Pressure regulator.
    Regulator(Regulator),
    /// Filter or strainer.
    Filter(Restriction),
    /// Flexible hose.
    Hose(Line),
    /// Rigid tube or pipe.
    Tube(Line),
    /// Bend, elbow, tee, reducer, entrance or any other fitting.
    Fitting(Fitting),
    /// Quarter-turn ball valve.
    BallValve(Valve),
    /// Needle valve.
    NeedleValve(Valve),
    /// Solenoid valve.
    SolenoidValve(Valve),
    /// Valve that meters the fuel, by hand or by a drive.
    MeteringValve(Valve),
    /// Non-return valve.
    CheckValve(CheckValve),
    /// Flame arrestor.
    FlameArrestor(Restriction),
    /// Orifice plate.
    OrificePlate(OrificePlate),
    /// Pump for liquid.
    Pump(Pump),
    /// Vaporiser or heater.
    Vaporiser(Vaporiser),
    /// Relief valve on a tee: protects the section it sits in, takes nothing from the flow.
    ReliefValve(ReliefValve),
    /// Gauge, sensor, bleed or capped branch: mass and joints, no loss.
    Tapping(Tapping),
}

impl PartKind {
    /// The word used in files and tables.
    pub fn name(&self) -> &'static str {
        match self {
            Self::CylinderValve(_) => "cylinder-valve",
            Self::DipTube(_) => "dip-tube",
            Self::ExcessFlowValve(_) => "excess-flow-valve",
            Self::Regulator(_) => "regulator",
            Self::Filter(_) => "filter",
            Self::Hose(_) => "hose",
            Self::Tube(_) => "tube",
            Self::Fitting(_) => "fitting",
            Self::BallValve(_) => "ball-valve",
            Self::NeedleValve(_) => "needle-valve",
            Self::SolenoidValve(_) => "solenoid-valve",
            Self::MeteringValve(_) => "metering-valve",
            Self::CheckValve(_) => "check-valve",
            Self::FlameArrestor(_) => "flame-arrestor",
            Self::OrificePlate(_) => "orifice-plate",
            Self::Pump(_) => "pump",
            Self::Vaporiser(_) => "vaporiser",
            Self::ReliefValve(_) => "relief-valve",
            Self::Tapping(_) => "tapping",
        }
    }
    /// The valve inside, of any of the five kinds that have an opening.
    pub fn valve(&self) -> Option<&Valve> {
        match self {
            Self::CylinderValve(v)
            | Self::BallValve(v)
            | Self::NeedleValve(v)
            | Self::SolenoidValve(v)
            | Self::MeteringValve(v) => Some(v),
            _ => None,
        }
    }
    /// The valve inside, to set its opening.
    pub fn valve_mut(&mut self) -> Option<&mut Valve> {
        match self {
            Self::CylinderValve(v)
            | Self::BallValve(v)
            | Self::NeedleValve(v)
            | Self::SolenoidValve(v)
            | Self::MeteringValve(v) => Some(v),
            _ => None,
        }
    }
    /// Flow coefficient of a part that has one, wide open.
    pub fn flow_coefficient(&self) -> Option<FlowCoefficient> {
        match self {
            Self::ExcessFlowValve(e) => Some(e.open),
            Self::Filter(r) | Self::FlameArrestor(r) => Some(r.clean),
            Self::CheckValve(c) => Some(c.open),
            _ => self.valve().map(|v| v.full_open),
        }
    }
    /// Multiplies the flow coefficient, with the points of its characteristic; nothing where the part has none.
    pub fn scale_flow(&mut self, factor: f64) {
        let scale = |c: &mut FlowCoefficient| *c = FlowCoefficient::from_kv(c.kv() * factor);
        match self {
            Self::ExcessFlowValve(e) => scale(&mut e.open),
            Self::Filter(r) | Self::FlameArrestor(r) => scale(&mut r.clean),
            Self::CheckValve(c) => scale(&mut c.open),
            _ => {
                let Some(valve) = self.valve_mut() else {
                    return;
                };
                scale(&mut valve.full_open);
                if let Characteristic::Table(points) = &mut valve.characteristic {
                    for (_, c) in points {
                        scale(c);
                    }
                }
            }
        }
    }
    /// The line inside, of a tube, hose or dip tube.
    pub fn line(&self) -> Option<&Line> {
        match self {
            Self::DipTube(l) | Self::Hose(l) | Self::Tube(l) => Some(l),
            _ => None,
        }
    }
    /// Bore that sets the velocity in the part; `None` where the flow does not pass it.
    pub fn bore(&self) -> Option<Length> {
        match self {
            Self::CylinderValve(v)
            | Self::BallValve(v)
            | Self::NeedleValve(v)
            | Self::SolenoidValve(v)
            | Self::MeteringValve(v) => Some(v.bore),
            Self::DipTube(l) | Self::Hose(l) | Self::Tube(l) => Some(l.bore),
            Self::ExcessFlowValve(e) => Some(e.bore),
            Self::Filter(r) | Self::FlameArrestor(r) => Some(r.bore),
            Self::Fitting(f) => Some(f.bore),
            Self::CheckValve(c) => Some(c.bore),
            Self::OrificePlate(o) => Some(o.pipe_bore),
            Self::Vaporiser(v) => Some(v.bore),
            Self::Regulator(_) | Self::Pump(_) | Self::ReliefValve(_) | Self::Tapping(_) => None,
        }
    }
}

/// A valve with an opening.
#[derive(Debug, Clone, PartialEq)]
pub struct Valve {
    /// Bore of its ends.
    pub bore: Length,
    /// Flow coefficient when open all the way.
    pub full_open: FlowCoefficient,
    /// Flow coefficient against opening.
    pub characteristic: Characteristic,
    /// Opening now, 0 closed to 1 open.
    pub opening: f64,
    /// Style factors.
    pub style: Style,
    /// Steps its drive can make from closed to open; `None`: moved by hand or not in steps.
    pub steps: Option<u32>,
}

/// Flow coefficient of a valve against its opening.
#[derive(Debug, Clone, PartialEq)]
pub enum Characteristic {
    /// Open or shut: the full flow coefficient at any opening above zero.
    OnOff,
    /// `Kv = Kvs (1/R + (1 - 1/R) h)`: the linear characteristic with rangeability R.
    Linear {
        /// Largest over smallest controllable flow coefficient.
        rangeability: f64,
    },
    /// `Kv = Kvs R^(h - 1)`: equal percentage with rangeability R.
    EqualPercentage {
        /// Largest over smallest controllable flow coefficient.
        rangeability: f64,
    },
    /// Points of opening and flow coefficient, straight between them; both rise.
    Table(Vec<(f64, FlowCoefficient)>),
}

/// How a part closes.
#[derive(Debug, Clone, PartialEq)]
pub struct Closure {
    /// What moves it.
    pub actuation: Actuation,
    /// What it does when electric power (or its air) fails.
    pub on_power_loss: OnLoss,
    /// What it does when its control signal fails.
    pub on_signal_loss: OnLoss,
    /// Longest time from command to closed.
    pub closing_time: Option<Time>,
    /// Leak class as its maker states it, e.g. `ISO 5208 rate B`.
    pub leak_class: Option<String>,
}

worded! {
    /// What moves a closure.
    pub enum Actuation {
        /// A hand.
        Manual = "manual",
        /// A coil, closed by a spring without current.
        SolenoidSpringClosed = "solenoid-spring-closed",
        /// A coil, opened by a spring without current.
        SolenoidSpringOpen = "solenoid-spring-open",
        /// A motor or servo without return spring.
        Motor = "motor",
        /// A motor or air drive with return spring.
        MotorSpringReturn = "motor-spring-return",
        /// The fluid itself (check and excess-flow valves, regulators).
        SelfActing = "self-acting",
    }
}

worded! {
    /// What a part does on loss of power or signal.
    pub enum OnLoss {
        /// Closes.
        Closes = "closes",
        /// Opens.
        Opens = "opens",
        /// Stays where it is.
        Stays = "stays",
        /// Is not affected (a hand valve, a part without drive).
        NotAffected = "not-affected",
    }
}

/// Excess-flow valve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExcessFlowValve {
    /// Bore.
    pub bore: Length,
    /// Flow coefficient when open.
    pub open: FlowCoefficient,
    /// Mass flow that closes it, at `closing_density`; at other densities the closing flow goes with the
    /// root of the density (same force on the poppet).
    pub closing_flow: MassRate,
    /// Density at which `closing_flow` is stated.
    pub closing_density: MassDensity,
}

impl ExcessFlowValve {
    /// Flow that closes it at a density before it, kg/s.
    pub(super) fn closing_at(&self, density_kg_m3: f64) -> f64 {
        self.closing_flow.value * (density_kg_m3 / self.closing_density.value).sqrt()
    }
}

/// A fixed restriction known by its flow coefficient: filter, flame arrestor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Restriction {
    /// Bore of its ends.
    pub bore: Length,
    /// Flow coefficient when clean.
    pub clean: FlowCoefficient,
}

/// A fitting known by its loss coefficient.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitting {
    /// Bore on whose velocity the loss coefficient is based.
    pub bore: Length,
    /// Loss coefficient of one.
    pub loss: FittingLoss,
    /// How many in a row.
    pub count: u32,
}

/// Where the loss coefficient of a fitting comes from; the formulas are in `flow::fittings`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FittingLoss {
    /// Given by the user.
    Coefficient(f64),
    /// Smooth bend by angle (rad) and ratio of bend radius to bore.
    Bend {
        /// Angle turned, rad.
        angle_rad: f64,
        /// Radius of the centre line over the bore.
        radius_ratio: f64,
    },
    /// Mitred (sharp) bend by angle (rad).
    Mitre {
        /// Angle turned, rad.
        angle_rad: f64,
    },
    /// Sharp step down into `bore` from a wider bore.
    Contraction {
        /// Wider bore upstream.
        from: Length,
    },
    /// Sharp step up from `bore` into a wider bore.
    Expansion {
        /// Wider bore downstream.
        to: Length,
    },
    /// Sharp entrance from a tank.
    Entrance,
    /// Two constants of Hooper's method.
    TwoK {
        /// Constant over Reynolds number.
        k1: f64,
        /// Constant at large Reynolds number.
        k_infinity: f64,
    },
}

/// Check valve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CheckValve {
    /// Bore.
    pub bore: Length,
    /// Flow coefficient when lifted all the way.
    pub open: FlowCoefficient,
    /// Pressure difference that just lifts it; at least this much is lost at any flow.
    pub cracking: PressureDifference,
}

/// Orifice plate in a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OrificePlate {
    /// Bore of the line.
    pub pipe_bore: Length,
    /// Bore of the plate.
    pub bore: Length,
    /// Discharge coefficient from the user; `None`: by correlation.
    pub discharge_coefficient: Option<f64>,
}

/// Pump.
#[derive(Debug, Clone, PartialEq)]
pub struct Pump {
    /// How much pressure it adds.
    pub curve: PumpCurve,
    /// Hydraulic power over shaft power.
    pub efficiency: Ratio,
    /// Net positive suction head it needs, as a pressure above the vapour pressure at its inlet.
    pub npsh_required: Option<PressureDifference>,
    /// Shaft power at hand.
    pub max_power: Option<Power>,
}

impl Pump {
    /// Pressure behind it while it runs and nothing flows.
    pub fn against_closed(&self, inlet: AbsolutePressure) -> AbsolutePressure {
        match &self.curve {
            PumpCurve::HeldOutlet { pressure, .. } => *pressure,
            PumpCurve::Points(points) => {
                let most = points
                    .iter()
                    .map(|(_, dp)| dp.pascals())
                    .fold(0.0, f64::max);
                pascals_absolute(inlet.pascals() + most)
            }
        }
    }
}

/// Pressure added by a pump.
#[derive(Debug, Clone, PartialEq)]
pub enum PumpCurve {
    /// Points of flow and pressure added; pressure falls as flow rises; straight between points.
    Points(Vec<(VolumeRate, PressureDifference)>),
    /// Outlet held at this pressure by the pump's own regulator or relief, up to a largest flow.
    HeldOutlet {
        /// Outlet pressure.
        pressure: AbsolutePressure,
        /// Largest flow.
        max_flow: VolumeRate,
    },
}

/// Vaporiser or heater.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vaporiser {
    /// Bore of its ends.
    pub bore: Length,
    /// Flow coefficient.
    pub open: FlowCoefficient,
    /// What heats the fuel.
    pub heat: VaporiserHeat,
}

/// What heats the fuel in a vaporiser.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum VaporiserHeat {
    /// Held outlet temperature, with the largest heat it can give (`None`: no limit stated).
    Outlet {
        /// Outlet temperature.
        temperature: ThermodynamicTemperature,
        /// Largest heat.
        max_power: Option<Power>,
    },
    /// A bath or wall at one temperature behind a conductance.
    Bath {
        /// Conductance between bath and fuel.
        conductance: ThermalConductance,
        /// Temperature of the bath.
        temperature: ThermodynamicTemperature,
    },
    /// A heater of fixed power.
    Power(Power),
}

/// Relief valve on a tee.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReliefValve {
    /// Pressure at which it opens.
    pub set_pressure: AbsolutePressure,
    /// Bore of its seat, where known.
    pub bore: Option<Length>,
}

/// Gauge, sensor, bleed or capped branch.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Tapping {
    /// Whether it can be opened to vent or drain the section.
    pub bleed: bool,
    /// Top of the scale of the gauge on it; `None`: no gauge, or not said.
    pub gauge_range: Option<GaugePressure>,
}
