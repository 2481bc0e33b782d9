//! Release characteristic of the area-classification standard: a screening value only.

use super::LeakFuel;
use crate::quantity::{MassRate, VolumeRate, cubic_metres_per_second};

/// Factor on the lower limit in the edition of 2015, the cautious end of 0.5 to 1.
pub const LIMIT_FACTOR: f64 = 0.5;

/// Volume flow of fuel that, thinned to the lower limit with a factor on it, is what the leak makes:
/// `Q_c = ṁ / (ρ_g k LFL)`. `None` for what does not burn.
///
/// The extent of a hazardous area is read from curves of the standard that are not carried here; this
/// number classifies nothing.
///
/// **Valid:** the edition of 2015 (`k` 0.5 to 1; the one of 2020 treats the factor otherwise).
/// **Source:** `iec60079-10-1`.
pub fn release_characteristic(flow: MassRate, fuel: &LeakFuel) -> Option<VolumeRate> {
    let lower = fuel.limits?.lower.value;
    Some(cubic_metres_per_second(
        flow.value / (fuel.gas_density.value * LIMIT_FACTOR * lower),
    ))
}
