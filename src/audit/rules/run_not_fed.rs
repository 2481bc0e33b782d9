//! A run plan that the tank does not feed to its end.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// The run plan, drawn from the tank step by step with the chill of the boiling liquid and the heat
    /// that reaches it: when the pressure first falls below what a duty needs, or the fuel runs out.
    /// ## Why it matters
    /// A tank that feeds a duty when it is fresh may not feed it after half an hour: the liquid chills
    /// faster than the surroundings warm it.
    /// ## What to do
    /// More cylinders side by side, a larger or warmer tank, a water bath, shorter runs with rests, or
    /// liquid draw with a vaporiser; `fuelwright tank RIG` gives the number for each.
    RunNotFed, "SUP004", "run-not-fed", Supply
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(tank) = solved::tank(s, v) else {
        return;
    };
    let Some(outcome) = solved::outcome(tank, v) else {
        return;
    };
    let Some(event) = outcome.run.first_failure() else {
        if let Some(why) = &outcome.run.stopped_by {
            v.not_checked(format!("the run left the range of a model: {why}"));
        }
        return;
    };
    let step = outcome.schedule.steps.get(event.step);
    let name = step.map_or("", |step| step.name.as_str());
    let needed = step
        .and_then(|step| step.lowest_pressure)
        .map_or_else(String::new, |p| format!(", {} needed", s.gauge(p)));
    let advice = match &outcome.cylinders {
        Ok(Some(n)) => format!(
            "{n} such cylinders side by side feed it; or a warmer or larger tank, shorter runs, liquid draw"
        ),
        Ok(None) => format!(
            "not even {} such cylinders feed it: a warmer or larger tank, shorter runs, liquid draw",
            outcome.most_cylinders
        ),
        Err(why) => format!(
            "a warmer or larger tank, shorter runs, liquid draw; how many such cylinders would feed it is not known: {why}"
        ),
    };
    v.find(
        Signal::Warning,
        if outcome.from_plan { "steps" } else { "duties" },
        Measured::Text(format!(
            "{} after {}, in {name}: {} at {}{needed}",
            event.what.text(),
            s.show(Kind::Time, event.time.value),
            s.gauge(event.contents.pressure),
            s.show(Kind::Temperature, event.contents.temperature.value),
        )),
        Limit::Should("every step fed to its end"),
        Source::Choice("balance of mass and heat of the tank; convection by published correlations, within 25 %"),
        advice,
    );
}
