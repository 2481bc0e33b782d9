//! Fuel that flows without a flame into a burner and its duct: how rich, how soon, what it holds, how
//! long to blow it out.

use super::room::{ALARM_SHARE, clearing_time};
use super::{LeakError, LeakFuel, Surroundings};
use crate::quantity::range::in_range_of;
use crate::quantity::{
    Energy, MassRate, Ratio, Time, Volume, cubic_metres_per_second, joules, ratio, seconds,
};

/// Least volumes of air that a purge takes (`en746-2`; four in `nfpa86`).
pub const PURGE_VOLUMES: f64 = 5.0;
/// Margin on the volumes that a well-mixed duct would need. Our choice: corners and still air mix badly.
pub const PURGE_MARGIN: f64 = 1.5;

/// Least volumes of air of a purge before light-up: five, and as many as thin a duct full of gas to a quarter of its
/// lower limit.
///
/// `max(5, ln(1 / (0.25 LFL)))`: 5.5 for propane, 5.7 for n-butane
///
/// * `lower` — lower flammability limit, volume fraction; `None` for a liquid, whose vapour does not fill the duct
///
/// **Valid:** well mixed. **Source:** `en746-2`.
///
/// ```
/// use fuelwright::leak::unlit::least_volumes;
/// use fuelwright::quantity::ratio;
/// assert!((least_volumes(Some(ratio(0.017))) - 5.46).abs() < 0.01);
/// ```
pub fn least_volumes(lower: Option<Ratio>) -> f64 {
    let thinned = lower.map_or(0.0, |l| -(ALARM_SHARE * l.value).ln());
    PURGE_VOLUMES.max(thinned)
}

/// A burner that is fed and not lit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UnlitFeed {
    /// Volume of can and duct together.
    pub volume: Volume,
    /// Fuel that flows in.
    pub fuel: MassRate,
    /// Air that flows in with it; zero with the blower off.
    pub air: MassRate,
}

/// What becomes of a burner that is fed and not lit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unlit {
    /// Volume fraction after a long time.
    pub steady: Ratio,
    /// Time until the mean mixture is at the lower limit; `None`: never.
    pub lower_limit: Option<Time>,
    /// Time until the mean mixture is too rich to burn; `None`: never.
    pub upper_limit: Option<Time>,
    rate_per_s: f64,
    volume_m3: f64,
    fuel_density: f64,
    air_density: f64,
    heat: Option<(f64, f64)>,
}

impl Unlit {
    /// Volume fraction of fuel in can and duct at a time from the opening of the valve.
    pub fn at(&self, time: Time) -> Ratio {
        ratio(self.steady.value * -(-self.rate_per_s * time.value).exp_m1())
    }

    /// Heat of what can burn of the fuel in can and duct with the air there: what a late spark sets free.
    /// Zero for an inert gas.
    pub fn energy_at(&self, time: Time) -> Energy {
        let Some((heating_value, air_fuel_ratio)) = self.heat else {
            return joules(0.0);
        };
        let c = self.at(time).value;
        let fuel = self.volume_m3 * c * self.fuel_density;
        let air = self.volume_m3 * (1.0 - c) * self.air_density;
        joules(heating_value * fuel.min(air / air_fuel_ratio))
    }

    /// Largest heat that a spark may set free up to a time.
    pub fn most_energy(&self, until: Time) -> Energy {
        const STEPS: u32 = 200;
        (1..=STEPS)
            .map(|i| self.energy_at(until * (f64::from(i) / f64::from(STEPS))))
            .fold(joules(0.0), |a, b| if b > a { b } else { a })
    }
}

/// Fuel in a burner and duct that are not lit.
///
/// `V dC/dt = q − (Q + q) C`, fuel `q` and air `Q` by volume at the conditions outside.
///
/// **Valid:** well mixed. It is not: near the holes a mixture that burns is there at once, whatever the
/// mean. **Errors:** [`LeakError::OutOfRange`], [`LeakError::Air`]. **Source:** balance of a well-mixed
/// volume.
///
/// # Errors
/// As above.
pub fn unlit(feed: &UnlitFeed, fuel: &LeakFuel, around: &Surroundings) -> Result<Unlit, LeakError> {
    let v = in_range_of(
        "volume of can and duct",
        feed.volume.value,
        1e-9..=1e5,
        "m³",
    )?;
    let m = in_range_of("fuel flow", feed.fuel.value, 0.0..=1e4, "kg/s")?;
    let a = in_range_of("air flow", feed.air.value, 0.0..=1e5, "kg/s")?;
    let air_density = around.density()?.value;
    let (q, air) = (m / fuel.gas_density.value, a / air_density);
    let rate = (q + air) / v;
    let steady = if q > 0.0 { q / (q + air) } else { 0.0 };
    let after = |x: Option<f64>| {
        x.filter(|x| steady > *x && rate > 0.0)
            .map(|x| seconds(-(-x / steady).ln_1p() / rate))
    };
    Ok(Unlit {
        steady: ratio(steady),
        lower_limit: after(fuel.limits.map(|l| l.lower.value)),
        upper_limit: after(fuel.limits.and_then(|l| l.upper).map(|u| u.value)),
        rate_per_s: rate,
        volume_m3: v,
        fuel_density: fuel.gas_density.value,
        air_density,
        heat: fuel
            .heat
            .map(|h| (h.lower_heating_value.value, h.air_fuel_ratio.value)),
    })
}

/// A purge of can and duct.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Purge {
    /// Time for one volume.
    pub one_volume: Time,
    /// Volumes until a quarter of the lower limit, well mixed.
    pub volumes_mixed: f64,
    /// Volumes to take: the larger of five and the mixed ones with a margin.
    pub volumes_needed: f64,
    /// Time for those.
    pub needed: Time,
}

/// Purge that thins a mixture to a quarter of the lower limit, with margin. `None` without purge air or
/// limits.
///
/// **Valid:** as [`unlit`]. **Source:** balance of a well-mixed volume; five volumes `en746-2`; the margin
/// of 1.5 is our choice.
///
/// # Errors
/// [`LeakError::Air`].
///
/// ```
/// use fuelwright::eos::backend;
/// use fuelwright::fuel::{Composition, Library};
/// use fuelwright::leak::unlit::purge;
/// use fuelwright::leak::{LeakFuel, Surroundings};
/// use fuelwright::quantity::{
///     cubic_metres, kelvin, kilograms_per_second, pascals_absolute, ratio,
/// };
/// let library = Library::embedded();
/// let propane = backend(&library, &Composition::parse("propane", &library)?)?;
/// let around = Surroundings { pressure: pascals_absolute(101_325.0), temperature: kelvin(288.15) };
/// let fuel = LeakFuel::of(propane.as_ref(), &around)?;
/// let purge = purge(cubic_metres(0.06), kilograms_per_second(0.04), ratio(0.04), &fuel, &around)?;
/// // ln(0.04 / (0.017 / 4)) = 2.24 volumes, well mixed
/// assert!((purge.expect("air and limits").volumes_mixed - 2.24).abs() < 0.01);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn purge(
    volume: Volume,
    air: MassRate,
    from: Ratio,
    fuel: &LeakFuel,
    around: &Surroundings,
) -> Result<Option<Purge>, LeakError> {
    let Some(limits) = fuel.limits else {
        return Ok(None);
    };
    let flow = cubic_metres_per_second(air.value / around.density()?.value);
    if !(flow.value > 0.0) {
        return Ok(None);
    }
    let to = ratio(ALARM_SHARE * limits.lower.value);
    let one = volume.value / flow.value;
    let mixed = clearing_time(volume, flow, from, to).map_or(0.0, |t| t.value / one);
    let needed = PURGE_VOLUMES.max(PURGE_MARGIN * mixed);
    Ok(Some(Purge {
        one_volume: seconds(one),
        volumes_mixed: mixed,
        volumes_needed: needed,
        needed: seconds(needed * one),
    }))
}
