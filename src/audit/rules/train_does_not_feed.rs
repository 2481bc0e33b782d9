//! A duty that the train does not feed.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Whether the solved train, from the tank as it starts through every part to the holes, gives each
    /// duty its flow at some setting of the throttle.
    /// ## Why it matters
    /// What cannot be had with everything open cannot be had.
    /// ## What to do
    /// The message names the part that gives out first: a larger one, a higher set pressure, or larger
    /// holes.
    TrainDoesNotFeed, "TRN001", "train-does-not-feed", Train
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if train_parts(s, v).is_none() {
        return;
    }
    let plan = match s.train() {
        Ok(plan) => plan,
        Err(why) => {
            v.not_checked(format!("the train is not solved: {why}"));
            return;
        }
    };
    for duty in &plan.duties {
        if let Err(error) = &duty.solution {
            v.find(
                Signal::Notice,
                super::duty_path(&duty.name),
                s.why(error),
                Limit::AtLeast(Measured::Quantity(Kind::MassRate, duty.wanted.value)),
                Source::Input(super::duty_path(&duty.name)),
                "a larger part where it gives out, a higher set pressure, or larger holes",
            );
        }
    }
}
