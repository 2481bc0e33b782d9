//! What is asked of a tank: duties and rests, one after the other, repeated.

use super::TankError;
use crate::quantity::range::in_range_of;
use crate::quantity::{AbsolutePressure, MassRate, Time, kilograms_per_second};

/// Most steps of a schedule, repeats counted.
pub const MOST_STEPS: u64 = 100_000;

/// Which phase is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Drawn {
    /// Vapour from the top.
    Vapour,
    /// Liquid through a dip tube.
    Liquid,
}

/// A duty or a rest.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Name, for results.
    pub name: String,
    /// Mass flow drawn; zero for a rest.
    pub draw: MassRate,
    /// Phase drawn.
    pub phase: Drawn,
    /// How long.
    pub duration: Time,
    /// Lowest tank pressure that still feeds it; `None` if it makes no demand.
    pub lowest_pressure: Option<AbsolutePressure>,
    /// Pressure of the gas line it feeds, for the dew point of what is drawn; `None` if it is not asked.
    pub line_pressure: Option<AbsolutePressure>,
}

impl Step {
    /// Vapour drawn at a mass flow, without a demand on pressure.
    pub fn vapour(name: &str, draw: MassRate, duration: Time) -> Self {
        Self {
            name: name.to_owned(),
            draw,
            phase: Drawn::Vapour,
            duration,
            lowest_pressure: None,
            line_pressure: None,
        }
    }
    /// Nothing drawn.
    pub fn rest(duration: Time) -> Self {
        Self::vapour("rest", kilograms_per_second(0.0), duration)
    }
    /// The same with a lowest pressure.
    #[must_use]
    pub fn needing(mut self, lowest: AbsolutePressure) -> Self {
        self.lowest_pressure = Some(lowest);
        self
    }
    pub(crate) fn draws(&self) -> bool {
        self.draw.value > 0.0
    }
}

/// Steps in order, the whole repeated.
#[derive(Debug, Clone, PartialEq)]
pub struct Schedule {
    /// The steps.
    pub steps: Vec<Step>,
    /// How many times they are run through, at least 1.
    pub repeats: u32,
}

impl Schedule {
    /// One step, once.
    pub fn once(step: Step) -> Self {
        Self {
            steps: vec![step],
            repeats: 1,
        }
    }
    /// Length of the whole, s.
    pub(crate) fn duration_s(&self) -> f64 {
        let once: f64 = self.steps.iter().map(|s| s.duration.value).sum();
        once * f64::from(self.repeats)
    }
    /// What the whole draws, kg.
    pub(crate) fn drawn_kg(&self) -> f64 {
        let drawn = |s: &Step| s.draw.value * s.duration.value;
        self.steps.iter().map(drawn).sum::<f64>() * f64::from(self.repeats)
    }
    /// The same with every draw multiplied.
    pub(crate) fn scaled(&self, factor: f64) -> Self {
        let mut all = self.clone();
        for step in &mut all.steps {
            step.draw *= factor;
        }
        all
    }
    /// Refuses what cannot be run.
    ///
    /// # Errors
    /// [`TankError::Nothing`], [`TankError::TooMany`] or [`TankError::OutOfRange`].
    pub fn check(&self) -> Result<(), TankError> {
        if self.steps.is_empty() || self.repeats == 0 {
            return Err(TankError::Nothing {
                what: "the schedule has no steps",
            });
        }
        let count = self.steps.len() as u64 * u64::from(self.repeats);
        if count > MOST_STEPS {
            return Err(TankError::TooMany {
                what: "steps of the schedule",
                count,
                limit: MOST_STEPS,
            });
        }
        for step in &self.steps {
            in_range_of("draw", step.draw.value, 0.0..=1e3, "kg/s")?;
            in_range_of("duration of a step", step.duration.value, 0.0..=1e9, "s")?;
            if let Some(p) = step.lowest_pressure {
                in_range_of("lowest pressure", p.pascals(), 0.0..=1e9, "Pa")?;
            }
            if let Some(p) = step.line_pressure {
                in_range_of("line pressure", p.pascals(), 1.0..=1e9, "Pa")?;
            }
        }
        Ok(())
    }
}
