//! What would let a tank feed a schedule that it cannot feed: each remedy with its number.

use super::TankError;
use super::chilling::{Run, RunOptions, run};
use super::heat_gain::HeatGain;
use super::liquid_draw::{self, Vaporiser};
use super::schedule::{Drawn, Schedule};
use super::shell::Shell;
use super::vessel::{Charge, Tank};
use crate::quantity::{
    AbsolutePressure, Ratio, ThermalConductance, ThermodynamicTemperature, kelvin,
    kelvin_difference, kilograms_per_second, ratio, watts_per_kelvin,
};

/// Warmest tank, air or bath that is proposed: 40 °C. Our choice; labels of cylinders commonly ask for
/// less than 50 °C.
pub const WARMEST_K: f64 = 313.15;
/// Most cylinders side by side that are looked at.
pub const MOST_CYLINDERS: u32 = 64;
/// Largest tank looked at, in volumes of the present one.
pub const LARGEST: f64 = 100.0;
/// Largest conductance looked at, in those of the present one.
const LARGEST_CONDUCTANCE: f64 = 100.0;
/// Superheat of the vapour that a vaporiser is sized for, K.
const SUPERHEAT_K: f64 = 10.0;
const BISECTIONS: usize = 16;

/// A bath or a better heat supply.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Bath {
    /// Lowest temperature of a still water bath round the tank (its shape is known).
    Water(ThermodynamicTemperature),
    /// Least conductance to the present surroundings (its shape is not known).
    Conductance(ThermalConductance),
}

/// Remedies; `None` where one does not help within its limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Remedies {
    /// Lowest temperature of tank and surroundings at the start, up to [`WARMEST_K`].
    pub warmer: Option<ThermodynamicTemperature>,
    /// Least volume, in volumes of the present tank, filled to the same share, up to [`LARGEST`].
    pub larger: Option<Ratio>,
    /// Least number of such cylinders side by side, up to [`MOST_CYLINDERS`].
    pub cylinders: Option<u32>,
    /// Water bath up to [`WARMEST_K`], or the conductance needed.
    pub bath: Option<Bath>,
    /// Vaporiser for the largest draw if liquid is drawn instead.
    pub liquid_draw: Option<Vaporiser>,
}

/// Finds each remedy by itself, the others left alone.
///
/// A larger tank keeps its shape: wall mass goes with the volume, surface with its power 2/3.
/// Remedies add up in practice: two half-measures may do.
///
/// **Valid:** as [`run`]; more warmth, size or number never makes it worse (bisection relies on that).
/// **Errors:** as [`run`].
///
/// # Errors
/// As above.
pub fn remedies(tank: &Tank, charge: &Charge, schedule: &Schedule) -> Result<Remedies, TankError> {
    let feeds = |tank: &Tank, charge: &Charge, schedule: &Schedule| -> Result<bool, TankError> {
        match run(tank, charge, schedule, &RunOptions::default()) {
            Ok(done) => Ok(fed(&done)),
            // warmed or shrunk beyond what the tank holds: no remedy
            Err(TankError::LiquidFull { .. }) => Ok(false),
            Err(other) => Err(other),
        }
    };
    let start_k = charge.temperature.value;
    let warmer = least(start_k, WARMEST_K, false, |t_k| {
        let shift = t_k - start_k;
        let gain = match tank.heat_gain.ambient() {
            Some(a) => tank.heat_gain.with_ambient(kelvin(a.value + shift)),
            None => tank.heat_gain,
        };
        let (tank, charge) = (with_gain(tank, gain), at(charge, t_k));
        feeds(&tank, &charge, schedule)
    })?;
    let larger = least(1.0, LARGEST, true, |s| {
        let (tank, charge) = scaled(tank, charge, s)?;
        feeds(&tank, &charge, schedule)
    })?;
    let mut cylinders = None;
    for n in 1..=MOST_CYLINDERS {
        if feeds(tank, charge, &schedule.scaled(1.0 / f64::from(n)))? {
            cylinders = Some(n);
            break;
        }
    }
    Ok(Remedies {
        warmer: warmer.map(kelvin),
        larger: larger.map(ratio),
        cylinders,
        bath: bath(tank, charge, schedule, &feeds)?,
        liquid_draw: liquid(tank, charge, schedule, &feeds)?,
    })
}

type Feeds<'a> = &'a dyn Fn(&Tank, &Charge, &Schedule) -> Result<bool, TankError>;

fn bath(
    tank: &Tank,
    charge: &Charge,
    schedule: &Schedule,
    feeds: Feeds<'_>,
) -> Result<Option<Bath>, TankError> {
    match tank.heat_gain {
        HeatGain::Insulated => Ok(None),
        HeatGain::Conductance {
            conductance,
            ambient,
        } => {
            let now = conductance.value.max(1e-3);
            let factor = least(1.0, LARGEST_CONDUCTANCE, true, |f| {
                let gain = HeatGain::Conductance {
                    conductance: watts_per_kelvin(now * f),
                    ambient,
                };
                feeds(&with_gain(tank, gain), charge, schedule)
            })?;
            Ok(factor.map(|f| Bath::Conductance(watts_per_kelvin(now * f))))
        }
        HeatGain::Air { shell, .. } | HeatGain::WaterBath { shell, .. } => {
            let lowest_k = *super::outside::WATER_RANGE_K.start() + 1.0;
            let found = least(lowest_k, WARMEST_K, false, |t_k| {
                let gain = HeatGain::WaterBath {
                    shell,
                    temperature: kelvin(t_k),
                };
                feeds(&with_gain(tank, gain), charge, schedule)
            })?;
            Ok(found.map(|t_k| Bath::Water(kelvin(t_k))))
        }
    }
}

fn liquid(
    tank: &Tank,
    charge: &Charge,
    schedule: &Schedule,
    feeds: Feeds<'_>,
) -> Result<Option<Vaporiser>, TankError> {
    let mut drawn = schedule.clone();
    for step in &mut drawn.steps {
        step.phase = Drawn::Liquid;
    }
    let hardest = drawn
        .steps
        .iter()
        .max_by(|a, b| a.draw.value.total_cmp(&b.draw.value));
    let Some(hardest) = hardest.filter(|s| s.draws()) else {
        return Ok(None);
    };
    if tank.contents(charge)?.liquid_composition.is_none() || !feeds(tank, charge, &drawn)? {
        return Ok(None);
    }
    let pressure = hardest
        .lowest_pressure
        .unwrap_or(AbsolutePressure::STANDARD_ATMOSPHERE);
    liquid_draw::vaporiser(
        tank.backend.as_ref(),
        kilograms_per_second(hardest.draw.value),
        charge.temperature,
        pressure,
        kelvin_difference(SUPERHEAT_K),
        None,
    )
    .map(Some)
}

/// Least value between `low` and `high` at which it holds, on the side where it does; `None` if not even
/// at `high`. `geometric` bisects the logarithm.
fn least(
    low: f64,
    high: f64,
    geometric: bool,
    holds: impl Fn(f64) -> Result<bool, TankError>,
) -> Result<Option<f64>, TankError> {
    if high <= low || !holds(high)? {
        return Ok(None);
    }
    if holds(low)? {
        return Ok(Some(low));
    }
    let (mut no, mut yes) = (low, high);
    for _ in 0..BISECTIONS {
        let middle = if geometric {
            (no * yes).sqrt()
        } else {
            0.5 * (no + yes)
        };
        if holds(middle)? {
            yes = middle;
        } else {
            no = middle;
        }
    }
    Ok(Some(yes))
}

fn with_gain(tank: &Tank, heat_gain: HeatGain) -> Tank {
    Tank {
        heat_gain,
        ..tank.clone()
    }
}

fn at(charge: &Charge, t_k: f64) -> Charge {
    Charge {
        temperature: kelvin(t_k),
        ..*charge
    }
}

/// A tank of the same shape with `s` times the volume, charge and wall.
fn scaled(tank: &Tank, charge: &Charge, s: f64) -> Result<(Tank, Charge), TankError> {
    let larger = |shell: Shell| shell.scaled(s.cbrt());
    let heat_gain = match tank.heat_gain {
        HeatGain::Insulated => HeatGain::Insulated,
        HeatGain::Conductance {
            conductance,
            ambient,
        } => HeatGain::Conductance {
            conductance: conductance * s.powf(2.0 / 3.0),
            ambient,
        },
        HeatGain::Air { shell, air, frost } => HeatGain::Air {
            shell: larger(shell)?,
            air,
            frost,
        },
        HeatGain::WaterBath { shell, temperature } => HeatGain::WaterBath {
            shell: larger(shell)?,
            temperature,
        },
    };
    let tank = Tank {
        volume: tank.volume * s,
        wall: tank.wall * s,
        heat_gain,
        ..tank.clone()
    };
    let charge = Charge {
        mass: charge.mass * s,
        ..*charge
    };
    Ok((tank, charge))
}

/// Whether a run fed everything that was asked.
pub fn fed(run: &Run) -> bool {
    run.complete && run.first_failure().is_none()
}
