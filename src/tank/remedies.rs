//! What would let a tank feed a schedule that it cannot feed: each remedy with its number.

use super::TankError;
use super::chilling::{Run, RunOptions, run};
use super::heat_gain::HeatGain;
use super::liquid_draw::{self, Vaporiser};
use super::schedule::{Drawn, Schedule};
use super::shell::Shell;
use super::vessel::{Charge, Tank};
use crate::numerics::effort::{self, Allowance};
use crate::quantity::{
    AbsolutePressure, Ratio, ThermalConductance, ThermodynamicTemperature, kelvin,
    kelvin_difference, kilograms_per_second, ratio, watts_per_kelvin,
};
use std::ops::RangeInclusive;

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
/// Steps of all iterations that the search may take.
const MOST_EFFORT: u64 = 300_000;

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
    /// Lowest temperature of the tank at the start, and of surroundings that are colder, up to
    /// [`WARMEST_K`].
    pub warmer: Option<ThermodynamicTemperature>,
    /// Least volume, in volumes of the present tank, filled to the same share, up to [`LARGEST`].
    pub larger: Option<Ratio>,
    /// Least number of such cylinders side by side, those that are there included, up to [`MOST_CYLINDERS`].
    pub cylinders: Option<u32>,
    /// Water bath up to [`WARMEST_K`], or the conductance needed.
    pub bath: Option<Bath>,
    /// Vaporiser for the largest draw of all cylinders together if liquid is drawn instead.
    pub liquid_draw: Option<Vaporiser>,
}

/// Finds each remedy by itself, the others left alone.
///
/// A larger tank keeps its shape: wall mass goes with the volume, surface with its power 2/3.
/// Remedies add up in practice: two half-measures may do.
///
/// * `tank`, `charge`, `schedule` — of one cylinder
/// * `number` — how many alike are drawn together, at least 1
/// * `floor` — temperature at which the run counts as failed
///
/// **Valid:** as [`run`]; more warmth, size or number never makes it worse (bisection relies on that).
/// **Errors:** as [`run`].
///
/// # Errors
/// As above.
pub fn remedies(
    tank: &Tank,
    charge: &Charge,
    schedule: &Schedule,
    number: u32,
    floor: Option<ThermodynamicTemperature>,
) -> Result<Remedies, TankError> {
    let trials = Trials::new(floor);
    let feeds =
        |tank: &Tank, charge: &Charge, schedule: &Schedule| trials.feeds(tank, charge, schedule);
    let start_k = charge.temperature.value;
    let warmer = least(start_k, WARMEST_K, false, |t_k| {
        let gain = match tank.heat_gain.ambient() {
            Some(a) => tank.heat_gain.with_ambient(kelvin(a.value.max(t_k))),
            None => tank.heat_gain,
        };
        let (tank, charge) = (with_gain(tank, gain), at(charge, t_k));
        feeds(&tank, &charge, schedule)
    })?;
    let larger = least(1.0, LARGEST, true, |s| {
        let (tank, charge) = scaled(tank, charge, s)?;
        feeds(&tank, &charge, schedule)
    })?;
    Ok(Remedies {
        warmer: warmer.map(kelvin),
        larger: larger.map(ratio),
        cylinders: enough_cylinders(tank, charge, schedule, number..=MOST_CYLINDERS, floor)?,
        bath: bath(tank, charge, schedule, &feeds)?,
        liquid_draw: liquid(tank, charge, schedule, number, &feeds)?,
    })
}

/// Runs that share an allowance.
struct Trials {
    options: RunOptions,
    allowance: Allowance,
}

impl Trials {
    fn new(floor: Option<ThermodynamicTemperature>) -> Self {
        Self {
            options: until(floor),
            allowance: Allowance::of(MOST_EFFORT),
        }
    }
    /// Whether the tank feeds the schedule; refused once the allowance is spent.
    fn feeds(&self, tank: &Tank, charge: &Charge, schedule: &Schedule) -> Result<bool, TankError> {
        // more than there is needs no run
        if schedule.drawn_kg() > charge.mass.value {
            return Ok(false);
        }
        if self.allowance.is_spent() {
            return Err(TankError::Spent {
                what: "the search for remedies",
                steps: self.allowance.most(),
                last: None,
            });
        }
        let done = run(tank, charge, schedule, &self.options);
        effort::add(done.as_ref().map_or(0, Run::effort));
        // what cannot be computed (liquid-full when warmed, out of a range) is no remedy
        Ok(done.is_ok_and(|done| fed(&done)))
    }
}

/// Least number of such cylinders side by side that feeds what they are asked for together, of `numbers` from those
/// that are there now; `schedule` is the share of one of them now.
///
/// # Errors
/// [`TankError::Spent`] if the runs take too long.
pub fn enough_cylinders(
    tank: &Tank,
    charge: &Charge,
    schedule: &Schedule,
    numbers: RangeInclusive<u32>,
    floor: Option<ThermodynamicTemperature>,
) -> Result<Option<u32>, TankError> {
    let (now, most) = ((*numbers.start()).max(1), *numbers.end());
    let trials = Trials::new(floor);
    let feeds = |n: u32| {
        let share = schedule.scaled(f64::from(now) / f64::from(n));
        trials.feeds(tank, charge, &share)
    };
    // doubled until it feeds, then the last gap is halved
    let (mut too_few, mut enough) = (now - 1, now);
    while enough <= most && !feeds(enough)? {
        if enough == most {
            return Ok(None);
        }
        (too_few, enough) = (enough, enough.saturating_mul(2).min(most));
    }
    while enough - too_few > 1 {
        let middle = too_few + (enough - too_few) / 2;
        if feeds(middle)? {
            enough = middle;
        } else {
            too_few = middle;
        }
    }
    Ok((enough <= most).then_some(enough))
}

/// To the first failure, a floor of temperature counted as one.
fn until(floor: Option<ThermodynamicTemperature>) -> RunOptions {
    RunOptions {
        lowest_temperature: floor,
        ..RunOptions::default()
    }
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
    number: u32,
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
    let found = liquid_draw::vaporiser(
        tank.backend.as_ref(),
        kilograms_per_second(hardest.draw.value * f64::from(number.max(1))),
        charge.temperature,
        pressure,
        kelvin_difference(SUPERHEAT_K),
        None,
    );
    Ok(found.ok())
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::eos;
    use crate::fuel::{Composition, Library};
    use crate::quantity::{
        cubic_metres, joules_per_kelvin, kilograms, metres, metres_per_second, pascals_absolute,
        seconds,
    };
    use crate::tank::heat_gain::Air;
    use crate::tank::schedule::Step;
    use crate::tank::shell::Attitude;

    fn tank(shaped: bool) -> (Tank, Charge) {
        let library = Library::embedded();
        let composition = Composition::parse("propane", &library).expect("in the library");
        let ambient = kelvin(278.15);
        let shell =
            Shell::new(metres(0.3), metres(0.45), Attitude::Upright, ratio(0.9)).expect("usual");
        let heat_gain = if shaped {
            HeatGain::Air {
                shell,
                air: Air {
                    temperature: ambient,
                    pressure: AbsolutePressure::STANDARD_ATMOSPHERE,
                    wind: metres_per_second(0.0),
                    relative_humidity: None,
                },
                frost: None,
            }
        } else {
            HeatGain::Conductance {
                conductance: watts_per_kelvin(4.0),
                ambient,
            }
        };
        let tank = Tank {
            backend: eos::backend(&library, &composition).expect("it has an equation"),
            volume: cubic_metres(0.0272),
            wall: joules_per_kelvin(5500.0),
            heat_gain,
        };
        let charge = Charge {
            mass: kilograms(8.0),
            temperature: ambient,
        };
        (tank, charge)
    }

    fn schedule() -> Schedule {
        let step = Step::vapour("draw", kilograms_per_second(6e-4), seconds(5400.0));
        Schedule::once(step.needing(pascals_absolute(3e5)))
    }

    fn feeds(tank: &Tank, charge: &Charge, schedule: &Schedule) -> bool {
        fed(&run(tank, charge, schedule, &RunOptions::default()).expect("runs"))
    }

    #[test]
    fn every_remedy_feeds_and_a_little_less_does_not() {
        for shaped in [false, true] {
            let (tank, charge) = tank(shaped);
            let s = schedule();
            assert!(!feeds(&tank, &charge, &s), "there is something to remedy");
            let r = remedies(&tank, &charge, &s, 1, None).expect("found");
            let warm_k = r.warmer.expect("warmth helps").value;
            for (t_k, want) in [(warm_k, true), (warm_k - 0.1, false)] {
                let tank = with_gain(&tank, tank.heat_gain.with_ambient(kelvin(t_k)));
                assert_eq!(feeds(&tank, &at(&charge, t_k), &s), want, "{t_k}");
            }
            let larger = r.larger.expect("size helps").value;
            for (factor, want) in [(larger, true), (larger * 0.99, false)] {
                let (tank, charge) = scaled(&tank, &charge, factor).expect("a tank");
                assert_eq!(feeds(&tank, &charge, &s), want, "{factor}");
            }
            let n = r.cylinders.expect("numbers help");
            assert!(n > 1);
            assert!(feeds(&tank, &charge, &s.scaled(1.0 / f64::from(n))));
            assert!(!feeds(&tank, &charge, &s.scaled(1.0 / f64::from(n - 1))));
            match r.bath.expect("heat helps") {
                Bath::Conductance(ua) => {
                    assert!(!shaped);
                    for (factor, want) in [(1.0, true), (0.99, false)] {
                        let gain = HeatGain::Conductance {
                            conductance: ua * factor,
                            ambient: charge.temperature,
                        };
                        assert_eq!(feeds(&with_gain(&tank, gain), &charge, &s), want);
                    }
                }
                Bath::Water(t) => assert!(shaped && t.value < 290.0, "{t:?}"),
            }
            let v = r.liquid_draw.expect("liquid draw helps");
            // some 400 kJ/kg times 0.6 g/s
            assert!((200.0..280.0).contains(&v.heat().value), "{v:?}");
        }
    }

    #[test]
    fn a_floor_of_temperature_is_no_less_a_failure() {
        // fed all the way, but colder than the floor
        let (tank, charge) = tank(true);
        let step = Step::vapour("draw", kilograms_per_second(3e-4), seconds(3600.0));
        let s = Schedule::once(step);
        assert!(feeds(&tank, &charge, &s));
        let floor = kelvin(273.15);
        let stopped = run(&tank, &charge, &s, &until(Some(floor))).expect("runs");
        assert!(!fed(&stopped));
        let r = remedies(&tank, &charge, &s, 1, Some(floor)).expect("found");
        assert!(r.larger.expect("size helps").value > 1.01, "{r:?}");
        assert!(r.cylinders.expect("numbers help") > 1, "{r:?}");
        assert!(r.warmer.expect("warmth helps").value > charge.temperature.value + 0.5);
    }

    #[test]
    fn cylinders_that_are_there_already_count() {
        // two cylinders share a draw that one of them alone would have at 0.6 g/s
        let (tank, charge) = tank(false);
        let both = schedule().scaled(2.0);
        let enough = |share: f64, numbers| {
            enough_cylinders(&tank, &charge, &both.scaled(share), numbers, None).expect("runs")
        };
        let (one, two) = (enough(1.0, 1..=64), enough(0.5, 2..=64));
        assert!(one > Some(2) && one == two, "{one:?} {two:?}");
        // and what is fed by those that are there needs no more
        assert_eq!(enough(0.01, 3..=64), Some(3));
        let v = |number| {
            remedies(&tank, &charge, &schedule(), number, None)
                .expect("found")
                .liquid_draw
                .expect("liquid draw helps")
                .heat()
                .value
        };
        assert!((v(2) / v(1) - 2.0).abs() < 1e-9);
    }

    #[test]
    fn what_cannot_help_is_not_proposed() {
        // 20 bar is above the vapour pressure of propane at 40 °C: no warmth, size or number gives it
        let (tank, charge) = tank(false);
        let step = Step::vapour("draw", kilograms_per_second(1e-4), seconds(60.0));
        let s = Schedule::once(step.needing(pascals_absolute(20e5)));
        let r = remedies(&tank, &charge, &s, 1, None).expect("found none");
        assert_eq!((r.warmer, r.larger, r.cylinders), (None, None, None));
        assert!(r.bath.is_none() && r.liquid_draw.is_none());
    }
}
