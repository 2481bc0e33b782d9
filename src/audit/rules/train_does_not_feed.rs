//! A duty that the train does not feed.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::train::characteristic::OpeningError;
use crate::train::solution::{PartProblem, TrainError};

rule! {
    /// ## Finding
    /// {It} is not fed its {limit}. {Measured}.
    /// ## What it checks
    /// Whether the solved train gives each duty its flow at some setting of the throttle, from the tank as it starts
    /// through every part to the holes; and whether liquid fuel is drawn as vapour.
    /// ## Why it matters
    /// What the train does not pass wide open it cannot pass at all. A throttle whose smallest opening passes more
    /// than the duty wants feeds the burner all of that. Liquefied gas that enters parts for vapour as liquid feeds
    /// the burner many times its heat.
    /// ## What to do
    /// Fit a larger part where the train gives out. Or raise the set pressure, or drill larger holes. The finding
    /// names the part.
    "TRN001", "train-does-not-feed", Train, [Notice, Danger, Warning],
    Choice("a liquid below its boiling point is fed as liquid"),
    levers ["regulator.set_pressure" Up, "injector.hole_diameter" Up, "tube.bore" Up, "hose.bore" Up, "train.flow_coefficient" Up,
        "metering-valve.flow_coefficient" Down, "needle-valve.flow_coefficient" Down,
        "regulator.wide_open" Up, "regulator.rated_flow" Up, "excess-flow-valve.closing_flow" Up,
        "pump.outlet_pressure" Up, "pump.max_flow" Up, "tank.water_bath" Up, "duties.target" Down]
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if train_parts(s, v).is_none() {
        return;
    }
    if let Some(why) = s.no_vapour() {
        v.says("{Measured}, and the tank is drawn from as vapour.")
            .advice("Draw the liquid, through a dip tube or by a pump.")
            .find(
                "tank.draw",
                why,
                Limit::Should("vapour at the pressure of the air or above"),
            );
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
            let (signal, advice) = judged(s, error);
            v.signal(signal)
                .source(Source::Input(super::duty_path(&duty.name).into()))
                .advice(advice)
                .find(
                    super::duty_path(&duty.name),
                    s.why(error),
                    Limit::at_least(Kind::MassRate, duty.wanted.value),
                );
        }
    }
}

/// What a train that cannot be solved means to those beside it, and what to change.
fn judged(s: &Solution<'_>, error: &TrainError) -> (Signal, &'static str) {
    let problem = match error {
        TrainError::Part { problem, .. } => Some(problem),
        _ => None,
    };
    match problem {
        Some(PartProblem::Opening(OpeningError::TooLarge { .. })) => (
            Signal::Warning,
            "Fit a smaller throttle. At its smallest opening this one passes more than the duty wants, and the burner gets it all.",
        ),
        Some(PartProblem::TwoPhase { .. }) if s.draws_liquefied_gas() => (
            Signal::Danger,
            "Draw vapour, or fit a vaporiser made for this fuel before the first regulator. Parts for vapour pass many \
             times their heat as liquid.",
        ),
        _ if s.last_set_pressure().is_none() => (
            Signal::Notice,
            "Fit a larger part there. Or drill larger holes.",
        ),
        _ => (
            Signal::Notice,
            "Fit a larger part there. Or raise the set pressure, or drill larger holes.",
        ),
    }
}
