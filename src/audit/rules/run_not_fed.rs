//! A run plan that the tank does not feed to its end.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
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
    "SUP004", "run-not-fed", Supply, [Notice],
    Choice("balance of mass and heat of the tank; convection by published correlations, within 25 %")
}

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    if s.pad().is_some() {
        plan_of_liquid(s, v);
        return None;
    }
    let tank = solved::tank(s, v)?;
    let outcome = solved::outcome(tank, v)?;
    let Some(event) = outcome.run.first_failure() else {
        if let Some(why) = &outcome.run.stopped_by {
            v.not_checked(format!("the run left the range of a model: {why}"));
        }
        return None;
    };
    let step = outcome.schedule.steps.get(event.step);
    let name = step.map_or("", |step| step.name.as_str());
    let needed = step
        .and_then(|step| step.lowest_pressure)
        .map_or_else(String::new, |p| format!(", {} needed", s.gauge(p)));
    v.find(
        if outcome.from_plan { "steps" } else { "duties" },
        (
            Kind::Time,
            event.time.value,
            format!(
                "{} after {}, in {name}: {} at {}{needed}",
                event.what.text(),
                s.show(Kind::Time, event.time.value),
                s.gauge(event.contents.pressure),
                s.show(Kind::Temperature, event.contents.temperature.value),
            ),
        ),
        Limit::of_words(
            Kind::Time,
            outcome.schedule.duration_s(),
            "every step fed to its end",
        ),
    );
    Some(())
}

/// A tank of liquid under air or gas: the fuel that the run plan asks for against what is in it.
fn plan_of_liquid(s: &Solution<'_>, v: &mut Verdict) {
    let (Some(plan), Some(fuel)) = (&s.rig.timetable, s.inventory().fuel) else {
        v.not_checked("there is no run plan, or the fuel in the tank is not known");
        return;
    };
    let mut asked_kg = 0.0;
    for step in &plan.steps {
        let Some(name) = &step.duty else { continue };
        let demand = s.duties.iter().find(|d| d.name == *name);
        let Some(Ok(demand)) = demand.map(|d| &d.demand) else {
            v.not_checked(format!("the duty {name} has no fuel flow"));
            return;
        };
        asked_kg += demand.fuel.value * step.duration.value;
    }
    asked_kg *= f64::from(plan.repeats);
    if asked_kg > fuel.value {
        v.source(Source::Choice("the fuel in the tank, all of it"))
            .advice("fill the tank, or shorten the plan")
            .find(
                "steps",
                (Kind::Mass, asked_kg),
                Limit::at_most(Kind::Mass, fuel.value),
            );
    }
}
