//! Suction side of a pump: net positive suction head.

use crate::numerics::root::brent;
use crate::quantity::{
    AbsolutePressure, Length, MassDensity, ThermodynamicTemperature, kelvin, metres,
};
use std::fmt::Display;

/// Tolerance of the search for a temperature, K.
const TOLERANCE_K: f64 = 1e-3;

/// Standard acceleration of gravity, m/s² [cgpm1901].
const GRAVITY_M_S2: f64 = 9.806_65;

/// Net positive suction head at a pump that draws from a tank.
///
/// `NPSH = (p_surface − p_vapour)/(ρ g) − rise − losses`; negative where the liquid boils on the way.
///
/// * `surface` — pressure on the liquid in the tank
/// * `vapour` — vapour pressure at the temperature of the liquid
/// * `rise` — height of the pump above the surface (negative: below)
/// * `losses` — head lost in the line
///
/// **Valid:** liquid all the way. **Source:** `tp410`.
///
/// ```
/// use fuelwright::flow::suction::npsh_available;
/// use fuelwright::quantity::*;
/// let water = kilograms_per_cubic_metre(999.0);
/// let head = npsh_available(pascals_absolute(101_325.0), pascals_absolute(1766.0), water, metres(3.0), metres(1.0));
/// assert!((head.value - 6.162).abs() < 1e-3);
/// ```
pub fn npsh_available(
    surface: AbsolutePressure,
    vapour: AbsolutePressure,
    density: MassDensity,
    rise: Length,
    losses: Length,
) -> Length {
    let head_m = (surface.pascals() - vapour.pascals()) / (density.value * GRAVITY_M_S2);
    metres(head_m - rise.value - losses.value)
}

/// Fuel temperature at which the suction margin is used up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SuctionLimit {
    /// There.
    At(ThermodynamicTemperature),
    /// Already at the temperature looked from.
    Already,
    /// Not as far as the fuel's data reach.
    NotBelow(ThermodynamicTemperature),
    /// Could not be worked out.
    NotKnown,
}

/// Fuel temperature at which a margin, which falls as the fuel warms, is nil.
///
/// * `margin` — at a temperature in K
/// * `low_k`, `high_k` — looked from and to
pub fn suction_limit<E: Display>(
    margin: impl Fn(f64) -> Result<f64, E>,
    low_k: f64,
    high_k: f64,
) -> SuctionLimit {
    match (margin(low_k), margin(high_k)) {
        (Ok(low), _) if low <= 0.0 => SuctionLimit::Already,
        (Ok(_), Ok(high)) if high >= 0.0 => SuctionLimit::NotBelow(kelvin(high_k)),
        (Ok(_), Ok(_)) => brent(margin, low_k, high_k, TOLERANCE_K)
            .map_or(SuctionLimit::NotKnown, |t_k| SuctionLimit::At(kelvin(t_k))),
        _ => SuctionLimit::NotKnown,
    }
}
