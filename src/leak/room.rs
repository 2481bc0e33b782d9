//! A room that a leak fills: how soon, how far, and how long to clear.

use super::{LeakError, LeakFuel};
use crate::quantity::range::in_range_of;
use crate::quantity::{
    MassRate, Ratio, Time, Volume, VolumeRate, cubic_metres_per_second, ratio, seconds,
};

/// Share of the lower limit at which alarms are commonly set.
pub const ALARM_SHARE: f64 = 0.25;
/// Share of oxygen in dry air.
const OXYGEN: f64 = 0.209_46;
/// Least share of oxygen in air to breathe, and the share where thinking fails [osha-oxygen].
pub const OXYGEN_LEAST: f64 = 0.195;
/// Share of oxygen below which people are impaired [osha-oxygen].
pub const OXYGEN_IMPAIRED: f64 = 0.17;
/// Share of oxygen below which people collapse [osha-oxygen].
pub const OXYGEN_COLLAPSE: f64 = 0.10;

/// A room with ventilation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// Volume of the air in it.
    pub volume: Volume,
    /// Fresh air that comes in; zero in a closed room.
    pub ventilation: VolumeRate,
}

/// A room with a leak in it, well mixed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoomCourse {
    /// Volume flow of the fuel at the conditions of the room.
    pub gas_flow: VolumeRate,
    /// Volume fraction after a long time.
    pub steady: Ratio,
    /// Time to a quarter of the lower limit; `None`: never.
    pub quarter_limit: Option<Time>,
    /// Time to the lower limit; `None`: never.
    pub lower_limit: Option<Time>,
    /// Fresh air that holds a quarter of the lower limit; `None` for what does not burn.
    pub ventilation_needed: Option<VolumeRate>,
    /// Time from the end of a long release until a quarter of the lower limit is reached again; `None`
    /// without ventilation, zero where it was never passed.
    pub clears_in: Option<Time>,
    /// Share of oxygen after a long time.
    pub oxygen: Ratio,
    /// Time until oxygen falls below the least share to breathe; `None`: never.
    pub oxygen_low: Option<Time>,
    rate_per_s: f64,
}

impl RoomCourse {
    /// Volume fraction at a time from the start: `C = C_∞ (1 − e^(−(Q+q)t/V))`.
    pub fn at(&self, time: Time) -> Ratio {
        ratio(self.steady.value * -(-self.rate_per_s * time.value).exp_m1())
    }

    /// Time until a volume fraction is reached; `None`: never.
    pub fn time_to(&self, fraction: Ratio) -> Option<Time> {
        time_to(self.steady.value, self.rate_per_s, fraction.value).map(seconds)
    }
}

fn time_to(steady: f64, rate_per_s: f64, fraction: f64) -> Option<f64> {
    if fraction <= 0.0 {
        return Some(0.0);
    }
    (steady > fraction && rate_per_s > 0.0).then(|| -(-fraction / steady).ln_1p() / rate_per_s)
}

/// Fresh air that holds a volume fraction against a flow of gas: `Q = q (1/x − 1)`.
///
/// **Source:** balance of a well-mixed room.
pub fn ventilation_for(gas_flow: VolumeRate, fraction: Ratio) -> VolumeRate {
    gas_flow * (1.0 / fraction.value.clamp(1e-12, 1.0) - 1.0)
}

/// Time to thin a well-mixed volume from one fraction to another with fresh air: `t = V/Q ln(C0/C1)`.
/// `None` without air; zero where it is thin enough already.
///
/// **Source:** balance of a well-mixed room.
pub fn clearing_time(volume: Volume, air: VolumeRate, from: Ratio, to: Ratio) -> Option<Time> {
    if from <= to {
        return Some(seconds(0.0));
    }
    // next to no air: longer than a number can hold
    (air.value > 0.0 && to.value > 0.0)
        .then(|| volume.value / air.value * (from.value / to.value).ln())
        .filter(|t_s| t_s.is_finite())
        .map(seconds)
}

/// A room that a steady leak blows into.
///
/// `V dC/dt = q − (Q + q) C`: fresh air `Q` and gas `q` come in, mixture goes out.
///
/// **Valid:** well mixed at once, which no real room is: heavy gas lies on the floor, light gas under the
/// ceiling, and both reach the limits there sooner.
/// **Errors:** [`LeakError::OutOfRange`]. **Source:** balance of a well-mixed room; oxygen `osha-oxygen`.
///
/// # Errors
/// As above.
///
/// ```
/// use fuelwright::leak::room::ventilation_for;
/// use fuelwright::quantity::{cubic_metres_per_second, ratio};
/// let needed = ventilation_for(cubic_metres_per_second(1e-4), ratio(0.25 * 0.017));
/// assert!((needed.value - 0.02343).abs() < 1e-5);
/// ```
pub fn fill(room: &Room, flow: MassRate, fuel: &LeakFuel) -> Result<RoomCourse, LeakError> {
    let v = in_range_of("volume of the room", room.volume.value, 1e-3..=1e7, "m³")?;
    let air = in_range_of("ventilation", room.ventilation.value, 0.0..=1e6, "m³/s")?;
    let q = flow.value / fuel.gas_density.value;
    let (rate, steady) = ((air + q) / v, if q > 0.0 { q / (q + air) } else { 0.0 });
    let gas_flow = cubic_metres_per_second(q);
    let lower = fuel.limits.map(|l| l.lower.value);
    let quarter = lower.map(|l| ALARM_SHARE * l);
    let after = |x: Option<f64>| x.and_then(|x| time_to(steady, rate, x)).map(seconds);
    Ok(RoomCourse {
        gas_flow,
        steady: ratio(steady),
        quarter_limit: after(quarter),
        lower_limit: after(lower),
        ventilation_needed: quarter.map(|x| ventilation_for(gas_flow, ratio(x))),
        clears_in: quarter
            .and_then(|x| clearing_time(room.volume, room.ventilation, ratio(steady), ratio(x))),
        oxygen: ratio(OXYGEN * (1.0 - steady)),
        oxygen_low: after(Some(1.0 - OXYGEN_LEAST / OXYGEN)),
        rate_per_s: rate,
    })
}

/// What a share of oxygen does to people.
///
/// **Source:** `osha-oxygen`.
pub fn breathing(oxygen: Ratio) -> &'static str {
    let x = oxygen.value;
    if x >= OXYGEN_LEAST {
        "enough oxygen to breathe; the gas may burn all the same"
    } else if x >= OXYGEN_IMPAIRED {
        "short of oxygen"
    } else if x >= OXYGEN_COLLAPSE {
        "people are impaired and do not notice"
    } else if x >= 0.06 {
        "people collapse"
    } else {
        "death within minutes"
    }
}
