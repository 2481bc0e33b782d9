//! Everything one asks of a tank in one go: the run, what it can keep up, what would help, the hottest day.

use super::TankError;
use super::capability::{Sustainable, largest_short_draw, sustainable_draw};
use super::filling;
use super::heat_gain::HeatFlow;
use super::liquid_draw::{Vaporiser, vaporiser};
use super::record::{Run, RunOptions};
use super::remedies::{Remedies, fed, remedies};
use super::schedule::{Drawn, Schedule};
use super::vapour_pressure::{HottestDay, hottest_day};
use super::vessel::{Charge, Contents, Tank};
use crate::quantity::{
    AbsolutePressure, AvailableEnergy, MassRate, TemperatureInterval, ThermodynamicTemperature,
    Time, kilograms_per_cubic_metre, kilograms_per_second, seconds,
};

/// What is asked.
#[derive(Debug, Clone)]
pub struct Question {
    /// The tank.
    pub tank: Tank,
    /// What it is filled with.
    pub charge: Charge,
    /// What is asked of it; steps without a lowest pressure get [`Question::lowest`].
    pub schedule: Schedule,
    /// Lowest pressure that still feeds a duty where a step names none: that of the surroundings if no
    /// more is known.
    pub lowest: AbsolutePressure,
    /// Time between rows of the series.
    pub every: Option<Time>,
    /// Temperature at which the run ends.
    pub floor: Option<ThermodynamicTemperature>,
    /// Hottest the tank may get, with the set pressure of its relief and its rating.
    pub hottest: Option<Hottest>,
    /// Superheat of the vaporiser, if liquid is drawn.
    pub superheat: TemperatureInterval,
    /// Lower heating value of the fuel, for the vaporiser's share of the burner's heat.
    pub heating_value: Option<AvailableEnergy>,
}

/// The hottest day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hottest {
    /// Temperature of the tank, sun included.
    pub temperature: ThermodynamicTemperature,
    /// Set pressure of the relief.
    pub relief: Option<AbsolutePressure>,
    /// Pressure the tank is rated for.
    pub rating: Option<AbsolutePressure>,
}

/// What was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// What the charge looks like at the start.
    pub start: Contents,
    /// The run, carried on past failures to the end of the schedule where that is possible.
    pub run: Run,
    /// Draw that can be kept up; `Err` says why there is none.
    pub sustainable: Result<Sustainable, TankError>,
    /// Largest draw for the time that the schedule draws without a break; `Err` says why there is none.
    pub largest: Result<MassRate, TankError>,
    /// Time that [`Answer::largest`] is for.
    pub largest_for: Time,
    /// Remedies, if the schedule is not fed and the run did not leave the range of a model.
    pub remedies: Option<Remedies>,
    /// The hottest day, if asked.
    pub hottest: Option<HottestDay>,
    /// Temperature at which the charge fills the tank; `None` if it never does.
    pub liquid_full: Option<ThermodynamicTemperature>,
    /// Wall and heat at the coldest row of the run; `None` outside the correlations.
    pub wall: Option<HeatFlow>,
    /// Vaporiser for the largest draw of liquid, if there is one.
    pub vaporiser: Option<Vaporiser>,
}

/// Answers all of it.
///
/// **Errors:** [`TankError`] for a tank, charge or schedule that cannot be run; a part that has no answer of
/// its own says so in its place.
///
/// # Errors
/// As above.
pub fn answer(question: &Question) -> Result<Answer, TankError> {
    let (tank, charge) = (&question.tank, &question.charge);
    let mut schedule = question.schedule.clone();
    for step in &mut schedule.steps {
        step.lowest_pressure.get_or_insert(question.lowest);
    }
    let options = RunOptions {
        every: question.every,
        lowest_temperature: question.floor,
        stop_at_failure: false,
    };
    let start = tank.contents(charge)?;
    let run = super::chilling::run(tank, charge, &schedule, &options)?;
    let (phase, largest_for) = longest_draw(&schedule);
    let mean_density = kilograms_per_cubic_metre(charge.mass.value / tank.volume.value);
    let backend = tank.backend.as_ref();
    let coldest = run
        .rows
        .iter()
        .map(|r| &r.contents)
        .min_by(|a, b| a.temperature.value.total_cmp(&b.temperature.value))
        .unwrap_or(&start);
    let wall = tank
        .heat_gain
        .heat(coldest.temperature, coldest.liquid_volume)
        .ok();
    let hottest = match &question.hottest {
        Some(h) => Some(hottest_day(
            backend,
            Some(mean_density),
            h.temperature,
            h.relief,
            h.rating,
        )?),
        None => None,
    };
    Ok(Answer {
        start,
        sustainable: sustainable_draw(tank, charge, question.lowest),
        largest: largest_short_draw(tank, charge, phase, largest_for, question.lowest),
        largest_for,
        remedies: if fed(&run) || run.stopped_by.is_some() {
            None
        } else {
            Some(remedies(tank, charge, &schedule)?)
        },
        hottest,
        liquid_full: start
            .liquid_composition
            .and_then(|_| filling::liquid_full_temperature(backend, mean_density).ok()),
        wall,
        vaporiser: liquid_drawn(question),
        run,
    })
}

/// Phase and length of the longest draw without a rest, in one round of the schedule; of the whole
/// schedule if nothing is drawn.
fn longest_draw(schedule: &Schedule) -> (Drawn, Time) {
    let (mut phase, mut longest_s, mut now_s) = (Drawn::Vapour, 0.0_f64, 0.0_f64);
    for step in &schedule.steps {
        if step.draws() {
            now_s += step.duration.value;
            if now_s > longest_s {
                (phase, longest_s) = (step.phase, now_s);
            }
        } else {
            now_s = 0.0;
        }
    }
    if longest_s > 0.0 {
        (phase, seconds(longest_s))
    } else {
        (phase, seconds(schedule.duration_s()))
    }
}

/// `None` if no liquid is drawn, or there is none to be had.
fn liquid_drawn(q: &Question) -> Option<Vaporiser> {
    let largest_kg_s = q
        .schedule
        .steps
        .iter()
        .filter(|s| s.phase == Drawn::Liquid)
        .fold(0.0_f64, |m, s| m.max(s.draw.value));
    vaporiser(
        q.tank.backend.as_ref(),
        kilograms_per_second(largest_kg_s),
        q.charge.temperature,
        q.lowest,
        q.superheat,
        q.heating_value,
    )
    .ok()
}
