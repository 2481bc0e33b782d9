//! Everything one asks of a tank in one go: the run, what it can keep up, what would help, the hottest day.

use super::TankError;
use super::capability::{Sustainable, largest_short_draw, sustainable_draw};
use super::filling_check::{FillingCheck, filling_check};
use super::heat_gain::HeatFlow;
use super::liquid_draw::{Coil, Vaporiser, first_coil, vaporiser};
use super::record::{Run, RunOptions, dew_point_of_drawn};
use super::remedies::{Remedies, fed, remedies};
use super::schedule::{Drawn, Schedule};
use super::vapour_pressure::{HottestDay, hottest_day};
use super::vessel::{Charge, Contents, Tank};
use crate::quantity::{
    AbsolutePressure, AvailableEnergy, Length, MassRate, TemperatureInterval,
    ThermodynamicTemperature, Time, kilograms_per_cubic_metre, kilograms_per_second, seconds,
};

/// What is asked.
#[derive(Debug, Clone)]
pub struct Question {
    /// The tank.
    pub tank: Tank,
    /// What it is filled with.
    pub charge: Charge,
    /// How many such tanks share what is drawn alike; masses and flows here are those of one.
    pub number: u32,
    /// What is asked of one; steps without a lowest pressure get [`Question::lowest`].
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
    /// A coil for the vaporiser, if its length is asked.
    pub coil: Option<CoilAsked>,
}

/// A coil whose length is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoilAsked {
    /// Temperature its wall is held at.
    pub wall: ThermodynamicTemperature,
    /// Inner diameter of the tube.
    pub bore: Length,
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

/// A coil with the heat it gives.
#[derive(Debug, Clone, PartialEq)]
pub struct CoilFound {
    /// Heat of the vaporiser.
    pub duty: Vaporiser,
    /// Length, or why there is none.
    pub coil: Result<Coil, TankError>,
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
    /// Why the remedies were not searched to the end, if they were not.
    pub remedies_given_up: Option<TankError>,
    /// The hottest day, if asked.
    pub hottest: Option<HottestDay>,
    /// How full it is, against what it may hold.
    pub filling: FillingCheck,
    /// Temperature at which the charge fills the tank; `None` if it never does.
    pub liquid_full: Option<ThermodynamicTemperature>,
    /// Wall and heat at the coldest row of the run; `None` outside the correlations.
    pub wall: Option<HeatFlow>,
    /// Vaporiser for the largest draw of liquid of all tanks together, if there is one.
    pub vaporiser: Option<Vaporiser>,
    /// Its coil, if that is asked; else that of the liquid draw among the remedies, or of one that would take
    /// the place of the largest draw of vapour. `None` where there is no liquid to be had.
    pub coil: Option<CoilFound>,
    /// Of each row of the run: dew point of what is drawn at the line pressure of its step; `None` in a
    /// rest, where no line pressure is given, or where there is no dew point.
    pub dew_points: Vec<Option<ThermodynamicTemperature>>,
}

impl Answer {
    /// The highest dew point of the run, with the place of its row.
    pub fn highest_dew_point(&self) -> Option<(usize, ThermodynamicTemperature)> {
        let known = self.dew_points.iter().enumerate();
        known
            .filter_map(|(i, t)| Some((i, (*t)?)))
            .max_by(|a, b| a.1.value.total_cmp(&b.1.value))
    }
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
    let (remedies, remedies_given_up) = if fed(&run) || run.stopped_by.is_some() {
        (None, None)
    } else {
        let (number, floor) = (question.number, question.floor);
        match remedies(tank, charge, &schedule, number, floor) {
            Ok(found) => (Some(found), None),
            Err(spent @ TankError::Spent { .. }) => (None, Some(spent)),
            Err(other) => return Err(other),
        }
    };
    let filling = filling_check(backend, tank.volume, charge.mass);
    let vaporiser = liquid_drawn(question);
    let by_liquid = vaporiser
        .or(remedies.and_then(|r| r.liquid_draw))
        .or_else(|| vaporised(question, largest_draw(question, false)));
    Ok(Answer {
        coil: coil(question, by_liquid),
        dew_points: dew_points(tank, &schedule, &run),
        start,
        sustainable: sustainable_draw(tank, charge, question.lowest),
        largest: largest_short_draw(tank, charge, phase, largest_for, question.lowest),
        largest_for,
        remedies,
        remedies_given_up,
        hottest,
        liquid_full: start.liquid_composition.and(filling.liquid_full),
        filling,
        wall,
        vaporiser,
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

/// Draw of all tanks together in the step that draws most; of liquid alone if so asked.
fn largest_draw(q: &Question, liquid: bool) -> MassRate {
    let steps = q.schedule.steps.iter();
    let drawn = steps.filter(|s| !liquid || s.phase == Drawn::Liquid);
    let of_one_kg_s = drawn.fold(0.0_f64, |m, s| m.max(s.draw.value));
    kilograms_per_second(of_one_kg_s * f64::from(q.number.max(1)))
}

/// `None` if no liquid is drawn, or there is none to be had.
fn liquid_drawn(q: &Question) -> Option<Vaporiser> {
    vaporised(q, largest_draw(q, true))
}

fn vaporised(q: &Question, draw: MassRate) -> Option<Vaporiser> {
    vaporiser(
        q.tank.backend.as_ref(),
        draw,
        q.charge.temperature,
        q.lowest,
        q.superheat,
        q.heating_value,
    )
    .ok()
}

fn coil(q: &Question, duty: Option<Vaporiser>) -> Option<CoilFound> {
    let (asked, duty) = (q.coil?, duty?);
    let coil = first_coil(
        q.tank.backend.as_ref(),
        &duty,
        largest_draw(q, false),
        q.lowest,
        asked.wall,
        asked.bore,
    );
    Some(CoilFound { duty, coil })
}

fn dew_points(
    tank: &Tank,
    schedule: &Schedule,
    run: &Run,
) -> Vec<Option<ThermodynamicTemperature>> {
    run.rows
        .iter()
        .map(|row| {
            let line = schedule.steps.get(row.step)?.line_pressure?;
            dew_point_of_drawn(tank, row.drawn.as_ref()?, line).ok()
        })
        .collect()
}
