//! A pump at work: power, flow or pressure, with what its suction line leaves it.

use super::{GRAVITY_M_S2, PumpError, Suction, pump_power};
use crate::flow::friction::darcy_factor;
use crate::numerics::root::brent;
use crate::quantity::range::{in_range, in_range_of, positive};
use crate::quantity::{
    AbsolutePressure, DynamicViscosity, Length, MassDensity, MassRate, Power, PressureDifference,
    Ratio, VolumeRate, cubic_metres_per_second, kilograms_per_second, metres, pascals_absolute,
    pascals_difference, watts,
};
use std::f64::consts::FRAC_PI_4;

/// Roughness of a suction line: drawn tube, m (`rennels2012`).
const DRAWN_M: f64 = 1.5e-6;
/// Least flow looked at, over the most that the power could move.
const LEAST_SHARE: f64 = 1e-9;

/// A liquid that is pumped.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pumped {
    /// Density.
    pub density: MassDensity,
    /// Viscosity.
    pub viscosity: DynamicViscosity,
    /// Vapour (bubble) pressure.
    pub vapour_pressure: AbsolutePressure,
}

/// What a pump draws from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Draw {
    /// Pressure on the liquid in the tank.
    pub tank_pressure: AbsolutePressure,
    /// Height of the pump above the level; negative below.
    pub lift: Length,
    /// Bore of the suction line; `None`: nothing is lost in it.
    pub bore: Option<Length>,
    /// Its length.
    pub length: Length,
    /// Loss coefficient of what stands in it.
    pub loss_coefficient: f64,
}

impl Draw {
    /// Head lost in the suction line: `(f L/D + K) u²/(2 g)`.
    ///
    /// **Valid:** liquid all the way. **Source:** `colebrook1939`, `tp410`.
    fn friction_m(&self, liquid: &Pumped, flow_kg_s: f64) -> f64 {
        let Some(bore) = self.bore.filter(|_| flow_kg_s > 0.0) else {
            return 0.0;
        };
        let d_m = bore.value;
        let flux = flow_kg_s / (FRAC_PI_4 * d_m * d_m);
        let u_m_s = flux / liquid.density.value;
        let f = darcy_factor(
            flux * d_m / liquid.viscosity.value,
            (DRAWN_M / d_m).min(0.05),
        );
        let heads = f * self.length.value / d_m + self.loss_coefficient;
        heads * u_m_s * u_m_s / (2.0 * GRAVITY_M_S2)
    }

    /// Pressure at the inlet of the pump, Pa.
    fn inlet_pa(&self, liquid: &Pumped, flow_kg_s: f64) -> f64 {
        let head_m = self.lift.value + self.friction_m(liquid, flow_kg_s);
        self.tank_pressure.pascals() - liquid.density.value * GRAVITY_M_S2 * head_m
    }
}

/// Which of power, flow and pressure behind it is to be found, by the other two.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Delivery {
    /// The power.
    Power(MassRate, AbsolutePressure),
    /// The flow.
    Flow(AbsolutePressure, Power),
    /// The pressure.
    Pressure(MassRate, Power),
}

/// A pump at work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PumpWork {
    /// Mass flow.
    pub flow: MassRate,
    /// Volume flow.
    pub volume_flow: VolumeRate,
    /// Pressure behind it.
    pub discharge: AbsolutePressure,
    /// Pressure at its inlet.
    pub inlet: AbsolutePressure,
    /// Rise from inlet to outlet.
    pub rise: PressureDifference,
    /// Power of the motor.
    pub power: Power,
    /// Of it into the liquid.
    pub hydraulic: Power,
    /// Head lost in the suction line.
    pub friction_head: Length,
    /// Net positive suction head; negative: it boils before it reaches the pump.
    pub head_available: Length,
}

/// A pump from two of power, flow and pressure behind it: `P = Q (p₂ − p₁)/η`, with p₁ what lift and suction line leave.
///
/// * `efficiency` — of pump and motor together
///
/// **Valid:** incompressible liquid. **Source:** definition; suction side `tp410`.
///
/// # Errors
/// [`PumpError`].
///
/// ```
/// use fuelwright::flow::pump::{Delivery, Draw, Pumped, pump_work};
/// use fuelwright::quantity::*;
/// let water = Pumped {
///     density: kilograms_per_cubic_metre(998.0),
///     viscosity: pascal_seconds(1e-3),
///     vapour_pressure: pascals_absolute(2339.0),
/// };
/// let vented = Draw {
///     tank_pressure: pascals_absolute(101_325.0),
///     lift: metres(1.0),
///     bore: None,
///     length: metres(0.0),
///     loss_coefficient: 0.0,
/// };
/// let by = Delivery::Power(kilograms_per_second(0.998), pascals_absolute(301_325.0));
/// let work = pump_work(&water, &vented, by, ratio(0.5))?;
/// // 1 L/s up by 2 bar and 1 m, half of it lost; (101 325 − 2339)/(998 g) − 1
/// assert!((work.power.value - 2.0 * (200.0 + 9.787)).abs() < 0.01);
/// assert!((work.head_available.value - 9.114).abs() < 1e-3);
/// # Ok::<(), fuelwright::flow::pump::PumpError>(())
/// ```
pub fn pump_work(
    liquid: &Pumped,
    draw: &Draw,
    by: Delivery,
    efficiency: Ratio,
) -> Result<PumpWork, PumpError> {
    let rho = positive("density", liquid.density.value)?;
    positive("viscosity", liquid.viscosity.value)?;
    let eta = super::share("efficiency", efficiency.value)?;
    in_range_of("lift", draw.lift.value, -1e3..=1e3, "m")?;
    in_range_of("suction line", draw.length.value, 0.0..=1e4, "m")?;
    in_range(
        "loss coefficient of the suction line",
        draw.loss_coefficient,
        0.0..=1e6,
    )?;
    let rise_pa = |flow_kg_s: f64, p2_pa: f64| p2_pa - draw.inlet_pa(liquid, flow_kg_s);
    let (flow_kg_s, p2_pa) = match by {
        Delivery::Power(flow, p2) => (positive("flow", flow.value)?, p2.pascals()),
        Delivery::Pressure(flow, power) => {
            let flow_kg_s = positive("flow", flow.value)?;
            let rise = eta * positive("power", power.value)? * rho / flow_kg_s;
            (flow_kg_s, draw.inlet_pa(liquid, flow_kg_s) + rise)
        }
        Delivery::Flow(p2, power) => {
            let power_w = positive("power", power.value)?;
            let p2_pa = p2.pascals();
            // friction only makes the rise larger, and the flow smaller
            let still = positive("pressure rise", rise_pa(0.0, p2_pa))?;
            let most = power_w * eta * rho / still;
            let over = |flow: f64| {
                let taken = flow / rho * rise_pa(flow, p2_pa) / eta;
                Ok::<f64, PumpError>(taken / power_w - 1.0)
            };
            let flow = brent(over, LEAST_SHARE * most, most * (1.0 + 1e-9), 1e-12 * most);
            let flow = flow.map_err(|e| e.or_from(|_| PumpError::Unsteady { power_w }))?;
            (flow, p2_pa)
        }
    };
    let rise = pascals_difference(rise_pa(flow_kg_s, p2_pa));
    let volume_flow = cubic_metres_per_second(flow_kg_s / rho);
    let power = pump_power(volume_flow, rise, efficiency)?;
    let friction_head = metres(draw.friction_m(liquid, flow_kg_s));
    let suction = Suction {
        tank_pressure: draw.tank_pressure,
        vapour_pressure: liquid.vapour_pressure,
        density: liquid.density,
        level_above_pump: -draw.lift,
        friction_head,
    };
    Ok(PumpWork {
        flow: kilograms_per_second(flow_kg_s),
        volume_flow,
        discharge: pascals_absolute(p2_pa),
        inlet: pascals_absolute(draw.inlet_pa(liquid, flow_kg_s)),
        rise,
        power,
        hydraulic: watts(power.value * eta),
        friction_head,
        head_available: suction.head_available()?,
    })
}
