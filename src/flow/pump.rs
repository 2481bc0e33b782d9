//! Pumps for liquid fuel: power, head, suction head, battery; all of a pump at work in `work`.

mod work;

pub use work::{Delivery, Draw, PumpWork, Pumped, pump_work};

use crate::flow::suction::npsh_available;
use crate::quantity::range::{NotPositive, OutOfRange, positive};
use crate::quantity::show::percent_hint;
use crate::quantity::told::errors;
use crate::quantity::{
    AbsolutePressure, Energy, Length, Mass, MassDensity, Power, PressureDifference, Ratio, Time,
    VolumeRate, joules, kilograms, metres, watts,
};

/// Standard acceleration of gravity, m/s², by definition.
pub const GRAVITY_M_S2: f64 = 9.806_65;
/// Suction head that a small gear pump needs, m; our choice, makers state 1 to 3 m.
pub const SMALL_PUMP_HEAD_M: f64 = 2.0;
/// Efficiency of a small gear or vane pump with its motor; our choice within 0.1 to 0.4.
pub const SMALL_PUMP_EFFICIENCY: f64 = 0.25;
/// Furthest below the air that pumps of oil burners are asked to draw, Pa. Common practice, no source.
pub const DEEPEST_SUCTION_PA: f64 = 0.4e5;
/// Required suction head is multiplied by this for a margin.
pub const SUCTION_MARGIN: f64 = 1.3;

errors! {
    /// Why a pump could not be worked out.
    #[derive(Copy)]
    pub enum PumpError {
        NotPositive(NotPositive);
        OutOfRange(OutOfRange);
        Unsteady { power_w: f64 } =>
            "no flow was found for {} W: the pump equations did not settle", power_w;
        NotAShare { quantity: &'static str, value: f64 } =>
            "{} is {}, but must be above 0 and up to 1{}", quantity, value, percent_hint(value, 1.0);
    }
}

fn share(quantity: &'static str, value: f64) -> Result<f64, PumpError> {
    if value > 0.0 && value <= 1.0 {
        Ok(value)
    } else {
        Err(PumpError::NotAShare { quantity, value })
    }
}

/// Power that a pump takes: `P = Q Δp/η`.
///
/// * `efficiency` — of pump and motor together for electrical power, of the pump for shaft power. Small gear
///   and vane pumps with their motor reach 0.1 to 0.4 (common practice, no source)
///
/// **Valid:** incompressible liquid. **Source:** definition.
///
/// # Errors
/// [`PumpError`].
///
/// ```
/// use fuelwright::flow::pump::pump_power;
/// use fuelwright::quantity::{cubic_metres_per_second, pascals_difference, ratio};
/// let p = pump_power(cubic_metres_per_second(4e-6), pascals_difference(1e6), ratio(0.2))?;
/// assert!((p.value - 20.0).abs() < 1e-9);
/// # Ok::<(), fuelwright::flow::pump::PumpError>(())
/// ```
pub fn pump_power(
    flow: VolumeRate,
    rise: PressureDifference,
    efficiency: Ratio,
) -> Result<Power, PumpError> {
    let q_m3_s = positive("volume flow", flow.value)?;
    let dp_pa = positive("pressure rise", rise.pascals())?;
    Ok(watts(
        q_m3_s * dp_pa / share("efficiency", efficiency.value)?,
    ))
}

/// Head of a pressure rise: `H = Δp/(ρ g)`.
///
/// **Source:** definition.
///
/// # Errors
/// [`PumpError::NotPositive`].
pub fn pump_head(rise: PressureDifference, density: MassDensity) -> Result<Length, PumpError> {
    Ok(metres(
        rise.pascals() / (positive("density", density.value)? * GRAVITY_M_S2),
    ))
}

/// What stands before a pump's inlet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Suction {
    /// Pressure on the liquid in the tank.
    pub tank_pressure: AbsolutePressure,
    /// Vapour (bubble) pressure of the liquid at its temperature.
    pub vapour_pressure: AbsolutePressure,
    /// Density of the liquid.
    pub density: MassDensity,
    /// Liquid level above the pump; negative for a lift.
    pub level_above_pump: Length,
    /// Friction of the suction line as head.
    pub friction_head: Length,
}

impl Suction {
    /// Net positive suction head available: `(p − p_v)/(ρ g) + z − h_f`.
    ///
    /// Negative: the liquid boils before it reaches the pump.
    ///
    /// **Source:** `tp410`.
    ///
    /// # Errors
    /// [`PumpError::NotPositive`].
    pub fn head_available(&self) -> Result<Length, PumpError> {
        positive("density", self.density.value)?;
        Ok(npsh_available(
            self.tank_pressure,
            self.vapour_pressure,
            self.density,
            -self.level_above_pump,
            self.friction_head,
        ))
    }

    /// Head available less the head required times [`SUCTION_MARGIN`]; negative means that the pump will cavitate
    /// or stand too close to it.
    ///
    /// **Source:** `tp410` for the factor.
    ///
    /// # Errors
    /// [`PumpError::NotPositive`].
    pub fn margin(&self, required: Length) -> Result<Length, PumpError> {
        let required_m = positive("suction head required", required.value)?;
        Ok(metres(
            self.head_available()?.value - SUCTION_MARGIN * required_m,
        ))
    }
}

/// Battery that runs a load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Battery {
    /// Energy taken out.
    pub energy: Energy,
    /// Mass of the battery.
    pub mass: Mass,
}

/// Battery for a load over an endurance: `E = P t`, `m = E/(e · u)`.
///
/// * `specific_energy_j_kg` — of the whole pack; lithium packs 0.4 to 0.7 MJ/kg, lead 0.1 (common practice, no
///   source)
/// * `usable` — share of the nameplate energy that may be taken out, with the cold and ageing
///
/// **Source:** definition.
///
/// # Errors
/// [`PumpError`].
pub fn battery(
    load: Power,
    endurance: Time,
    specific_energy_j_kg: f64,
    usable: Ratio,
) -> Result<Battery, PumpError> {
    let energy_j = positive("load", load.value)? * positive("endurance", endurance.value)?;
    let e_j_kg = positive("specific energy", specific_energy_j_kg)?;
    Ok(Battery {
        energy: joules(energy_j),
        mass: kilograms(energy_j / (e_j_kg * share("usable share", usable.value)?)),
    })
}
