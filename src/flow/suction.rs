//! Suction side of a pump: net positive suction head.

use crate::quantity::{AbsolutePressure, Length, MassDensity, metres};

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
