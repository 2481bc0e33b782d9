//! A line: tube, hose or pipe of one bore, with friction, kinetic energy, heat and height.
//!
//! The same momentum balance serves gas, liquid and two-phase flow:
//!
//! `∫ρ dp = G² ln(ρ1/ρ2) + ½G² (f L/D + ΣK) + g ρ1 ρ2 Δz`, `h + G²/(2ρ²)` changed by heat only.
//!
//! Density along the way is the real fluid's. A line chokes where the left side no longer grows as the
//! outlet pressure falls (Mach 1; at 1/√γ of it for an isothermal line). A two-phase line is taken as
//! homogeneous and in equilibrium, flagged, and bounded by the same flow all liquid and all vapour.

use crate::quantity::range::{NotPositive, OutOfRange};
use crate::quantity::sentence::{flow, length, pressure};
use crate::quantity::show::number;
use crate::quantity::told::errors;
mod bore;
mod march;

pub use bore::line_bore;

pub(crate) use march::{LineCase, March};

use super::stream::Stream;
use crate::eos::{Backend, EosError, State};
use crate::numerics::edge::{Found, Range, Value, falling_root};
use crate::quantity::{
    AbsolutePressure, HeatTransfer, Length, MassRate, Power, ThermalConductivity,
    ThermodynamicTemperature, Velocity, kilograms_per_second, metres_per_second, pascals_absolute,
    watts,
};

/// Relative tolerance of the search for a flow.
const FLOW_TOLERANCE: f64 = 1e-13;

/// How the wall rubs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Friction {
    /// Darcy factor from Reynolds number and the height of the roughness.
    Roughness(Length),
    /// A Darcy factor measured by the user, the same at every flow.
    DarcyFactor(f64),
}

/// How heat reaches the fluid through the wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WallHeat {
    /// None: an insulated line.
    Insulated,
    /// Conductance per length between surroundings and fluid.
    PerLength(ThermalConductivity),
    /// Coefficient on the outer surface, the wall and the inside taken as no resistance.
    OuterSurface(HeatTransfer),
    /// The wall keeps the fluid at its inlet temperature.
    Isothermal,
}

/// A line of one bore.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Inside diameter.
    pub bore: Length,
    /// Outside diameter; `None` where unknown (then no mass and no surface is computed).
    pub outside_diameter: Option<Length>,
    /// Length along the axis.
    pub length: Length,
    /// Friction.
    pub friction: Friction,
    /// Sum of loss coefficients on the bore's velocity, spread along the line.
    pub loss_coefficient: f64,
    /// Height of the outlet above the inlet (negative: below).
    pub rise: Length,
    /// Heat from the surroundings.
    pub heat: WallHeat,
}

/// Bounds on the outlet pressure of a line in which liquid and vapour flow together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoPhaseBand {
    /// If all of it flowed as vapour.
    pub all_vapour: AbsolutePressure,
    /// If all of it flowed as liquid.
    pub all_liquid: AbsolutePressure,
}

/// Flow along a line.
#[derive(Debug, Clone, PartialEq)]
pub struct LineFlow {
    /// Mass flow.
    pub flow: MassRate,
    /// Static state at the outlet.
    pub outlet: State,
    /// Outlet pressure.
    pub outlet_pressure: AbsolutePressure,
    /// Velocity at the inlet.
    pub inlet_velocity: Velocity,
    /// Velocity at the outlet.
    pub outlet_velocity: Velocity,
    /// Velocity over the speed of sound, at the outlet; `None` in two-phase flow.
    pub outlet_mach: Option<f64>,
    /// Reynolds number at the inlet; `None` where the Darcy factor was given.
    pub reynolds: Option<f64>,
    /// Darcy factor at the inlet.
    pub darcy_factor: f64,
    /// Heat taken up from the surroundings.
    pub heat: Power,
    /// Bounds, if any of the line is two-phase.
    pub two_phase: Option<TwoPhaseBand>,
    /// The outlet is at the speed of sound: a lower pressure beyond would pass no more.
    pub choked: bool,
}

errors! {
    /// What is wrong with a line or what is asked of it.
    pub enum LineError {
        OutOfRange(OutOfRange);
        NotPositive(NotPositive);
        Choked { flow_kg_s: f64, share: f64, p_pa: f64 } =>
            "{} cannot pass: the line chokes after {} % of its length, at {}",
            flow(flow_kg_s), number(share * 100.0), pressure(p_pa);
        NoPressureDrop { p1_pa: f64, p2_pa: f64 } =>
            "the outlet pressure, {}, is not below the inlet pressure, {}",
            pressure(p2_pa).close(), pressure(p1_pa).close();
        Property(EosError);
        NoBore { flow_kg_s: f64, p2_pa: f64, low_m: f64, high_m: f64 } =>
            "no bore of {} to {} passes {} with {} left at the outlet: height alone may take too much",
            length(low_m), length(high_m), flow(flow_kg_s), pressure(p2_pa);
        AnyBore { flow_kg_s: f64, p2_pa: f64, low_m: f64 } =>
            "a bore of {} passes {} and leaves more than {} already: any tube will do",
            length(low_m), flow(flow_kg_s), pressure(p2_pa);
        NotConverged { flow_kg_s: f64, p_pa: f64 } =>
            "the line equations found no solution near {}, {}", flow(flow_kg_s), pressure(p_pa);
    }
}

/// Outlet of a line for a given flow.
///
/// The balance in the module's head, in pieces short enough that pressure falls by at most a fifth in
/// each, with heat `UA (T_ambient − T)` taken from the fluid's temperature in the piece.
///
/// * `inlet` — static state at the inlet
/// * `ambient` — temperature of the surroundings; not used by an insulated line
///
/// **Valid:** steady flow; one bore; Mach number up to 1. **Errors:** [`LineError`].
/// **Source:** `shapiro1953` (momentum and energy balance), `colebrook1939`.
///
/// # Errors
/// [`LineError::Choked`] with the place, if the line cannot pass the flow.
pub fn line_outlet(
    backend: &dyn Backend,
    inlet: &State,
    flow: MassRate,
    line: &Line,
    ambient: ThermodynamicTemperature,
) -> Result<LineFlow, LineError> {
    let stream = Stream::new(backend);
    let case = LineCase::new(line, ambient)?;
    let h_total =
        inlet.enthalpy_j_kg + 0.5 * (flow.value / case.area_m2() / inlet.density_kg_m3).powi(2);
    let walked = case.march(&stream, inlet, h_total, flow.value)?;
    Ok(walked.result(flow.value, &case, inlet, false))
}

/// Flow through a line between two pressures; the choked flow where the outlet pressure is below that.
///
/// **Valid:** as [`line_outlet`]. **Errors:** [`LineError`]. **Source:** as [`line_outlet`].
///
/// # Errors
/// [`LineError::NoPressureDrop`] if the outlet is not below the inlet.
///
/// ```
/// use fuelwright::eos::{Backend, backend};
/// use fuelwright::flow::line::{Friction, Line, WallHeat, line_flow};
/// use fuelwright::fuel::{Composition, Library};
/// use fuelwright::quantity::{kelvin, metres, pascals_absolute};
///
/// let library = Library::embedded();
/// let propane = backend(&library, &Composition::parse("propane", &library)?)?;
/// let inlet = propane.state_pt(3e5, 293.15)?;
/// let line = Line {
///     bore: metres(0.008),
///     outside_diameter: None,
///     length: metres(3.0),
///     friction: Friction::Roughness(metres(1.5e-6)),
///     loss_coefficient: 0.0,
///     rise: metres(0.0),
///     heat: WallHeat::Isothermal,
/// };
/// let found = line_flow(propane.as_ref(), &inlet, pascals_absolute(2.8e5), &line, kelvin(293.15))?;
/// assert!((found.flow.value - 9.193e-3).abs() < 1e-6);
/// assert!(!found.choked);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn line_flow(
    backend: &dyn Backend,
    inlet: &State,
    outlet: AbsolutePressure,
    line: &Line,
    ambient: ThermodynamicTemperature,
) -> Result<LineFlow, LineError> {
    let (p1_pa, p2_pa) = (inlet.pressure_pa, outlet.pascals());
    if !(p2_pa > 0.0 && p2_pa < p1_pa) {
        return Err(LineError::NoPressureDrop { p1_pa, p2_pa });
    }
    let stream = Stream::new(backend);
    let case = LineCase::new(line, ambient)?;
    let h_total =
        |m: f64| inlet.enthalpy_j_kg + 0.5 * (m / case.area_m2() / inlet.density_kg_m3).powi(2);
    let mut edge = EdgeGuess::default();
    let over = |m: f64| match case.march(&stream, inlet, h_total(m), m) {
        Ok(walked) => Ok(Value::At(
            (walked.outlet.pressure_pa - p2_pa) / (p1_pa - p2_pa),
        )),
        Err(LineError::Choked { share, .. }) => Ok(Value::Beyond {
            edge: edge.guess(m, share),
            why: (),
        }),
        Err(e) => Err(e),
    };
    let guess = case.area_m2() * (inlet.density_kg_m3 * (p1_pa - p2_pa) / 20.0).sqrt();
    let not_converged = |m: f64| LineError::NotConverged {
        flow_kg_s: m,
        p_pa: p2_pa,
    };
    let range = Range {
        low: 1e-6 * guess,
        guess,
        stride: 2.0,
        top: 1e6 * guess,
        flat: 0.25 * FLOW_TOLERANCE,
    };
    let found =
        falling_root(over, range, FLOW_TOLERANCE).map_err(|e| e.or(not_converged(guess)))?;
    let (m, choked) = match found {
        Found::Root(m) => (m, false),
        Found::Edge { x, .. } => (x, true),
        Found::AboveTop | Found::BelowBottom => return Err(not_converged(guess)),
    };
    let walked = case.march(&stream, inlet, h_total(m), m)?;
    Ok(walked.result(m, &case, inlet, choked))
}

/// Guess of the flow that just reaches the end of a line, from flows that choke before it.
#[derive(Debug, Default)]
pub(crate) struct EdgeGuess {
    before: Option<(f64, f64)>,
}

impl EdgeGuess {
    /// The share of the line that a flow reaches falls about with a power of the flow; the power is taken
    /// from the last two flows, at first -2 (friction alone).
    pub(crate) fn guess(&mut self, m: f64, share: f64) -> f64 {
        if !(share > 0.0 && share < 1.0) {
            return f64::NAN;
        }
        let (x, y) = (m.ln(), share.ln());
        let power = match self.before {
            Some((x0, y0)) if (x - x0).abs() > 1e-14 => ((y - y0) / (x - x0)).clamp(-1e9, -1.0),
            _ => -2.0,
        };
        self.before = Some((x, y));
        (x - y / power).exp()
    }
}

impl March {
    fn result(&self, m: f64, case: &LineCase, inlet: &State, choked: bool) -> LineFlow {
        let flux = m / case.area_m2();
        let velocity = |s: &State| flux / s.density_kg_m3;
        LineFlow {
            flow: kilograms_per_second(m),
            outlet: self.outlet,
            outlet_pressure: pascals_absolute(self.outlet.pressure_pa),
            inlet_velocity: metres_per_second(velocity(inlet)),
            outlet_velocity: metres_per_second(velocity(&self.outlet)),
            outlet_mach: self
                .outlet
                .response
                .map(|r| velocity(&self.outlet) / r.speed_of_sound_m_s),
            reynolds: self.reynolds,
            darcy_factor: self.darcy_factor,
            heat: watts(self.heat_w),
            two_phase: self.bounds_pa.map(|(vapour, liquid)| TwoPhaseBand {
                all_vapour: pascals_absolute(vapour.max(0.0)),
                all_liquid: pascals_absolute(liquid.max(0.0)),
            }),
            choked,
        }
    }
}
