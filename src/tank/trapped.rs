//! Liquid trapped between two closures: the pressure it reaches when it warms.

use crate::eos::{Backend, EosError, Phase};
use crate::quantity::sentence::{Sentence, interval, pressure, sentence, temperature};
use crate::quantity::told::errors;
use crate::quantity::{
    AbsolutePressure, MassDensity, TemperatureInterval, ThermodynamicTemperature,
    kilograms_per_cubic_metre, pascals_absolute,
};

/// How far below the bubble pressure a stated pressure may lie and still mean saturated liquid.
pub const SATURATION_SLACK: f64 = 5e-3;

/// What becomes of a full section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trapped {
    /// Density of the liquid, the same before and after.
    pub density: MassDensity,
    /// Pressure before; the bubble pressure where a slightly lower one was stated.
    pub pressure_before: AbsolutePressure,
    /// Pressure after.
    pub pressure_after: AbsolutePressure,
    /// Average rise, Pa/K.
    pub rise_pa_k: f64,
    /// The stated pressure was taken as the bubble pressure.
    pub taken_as_saturated: bool,
}

errors! {
    /// Why the pressure of trapped liquid could not be had.
    pub enum TrappedError {
        NoRise { rise_k: f64 } =>
            "a rise of {} does not warm the liquid; it must be above zero",
            interval(rise_k).plain("K", 1.0);
        NotLiquid {
            fuel: String,
            t_k: f64,
            p_pa: f64,
            phase: &'static str,
            bubble_pa: Option<f64>,
        } =>
            "{} at {} and {} is {}, not liquid{}",
            fuel, temperature(t_k), pressure(p_pa), phase, bubble(bubble_pa);
        Eos(EosError);
    }
}

fn bubble(p_pa: Option<f64>) -> Sentence {
    p_pa.map_or_else(Sentence::default, |p_pa| {
        sentence!(
            "; at that temperature it is liquid above {}",
            pressure(p_pa)
        )
    })
}

/// Pressure of a rigid, completely full section after warming: `p2 = p(rho1, T1 + dT)`.
///
/// * `p` — pressure before, absolute
/// * `t` — temperature before
/// * `rise` — how much warmer it gets, above zero
///
/// **Valid:** rigid walls, no gas pocket, within the fuel's equation of state. Walls that give way and
/// expand make the rise smaller; they do not remove it.
/// **Source:** conservation of mass in a fixed volume; the equation of state is the fuel's.
///
/// # Errors
/// [`TrappedError`]: no rise, no liquid, or out of the range of the equation.
pub fn trapped_liquid(
    fluid: &dyn Backend,
    p: AbsolutePressure,
    t: ThermodynamicTemperature,
    rise: TemperatureInterval,
) -> Result<Trapped, TrappedError> {
    let (p_pa, t_k, rise_k) = (p.pascals(), t.value, rise.value);
    if rise_k.is_nan() || rise_k <= 0.0 {
        return Err(TrappedError::NoRise { rise_k });
    }
    let stated = fluid.state_pt(p_pa, t_k)?;
    let (before, saturated) = if stated.phase == Phase::Liquid {
        ((p_pa, stated.density_kg_m3), false)
    } else {
        let bubble = fluid.bubble_t(t_k).ok();
        match bubble.filter(|b| p_pa >= b.pressure_pa * (1.0 - SATURATION_SLACK)) {
            Some(b) if stated.phase != Phase::Supercritical => {
                ((b.pressure_pa, b.liquid.density_kg_m3), true)
            }
            _ => {
                return Err(TrappedError::NotLiquid {
                    fuel: fluid.composition().label().to_owned(),
                    t_k,
                    p_pa,
                    phase: stated.phase.name(),
                    bubble_pa: bubble.map(|b| b.pressure_pa),
                });
            }
        }
    };
    let (p1_pa, rho_kg_m3) = before;
    let p2_pa = fluid.state_rho_t(rho_kg_m3, t_k + rise_k)?.pressure_pa;
    Ok(Trapped {
        density: kilograms_per_cubic_metre(rho_kg_m3),
        pressure_before: pascals_absolute(p1_pa),
        pressure_after: pascals_absolute(p2_pa),
        rise_pa_k: (p2_pa - p1_pa) / rise_k,
        taken_as_saturated: saturated,
    })
}
