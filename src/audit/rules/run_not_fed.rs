//! A run plan that the tank does not feed to its end.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// The tank feeds the run for {measured} of {limit}: then its pressure is too low, or the fuel runs out.
    /// ## What it checks
    /// The run plan, drawn from the tank step by step with the chill of the boiling liquid and the heat that reaches
    /// it: when the pressure first falls below what a duty needs, or the fuel runs out.
    /// ## Why it matters
    /// A tank that feeds a duty when it is fresh may not feed it after half an hour: the liquid chills
    /// faster than the surroundings warm it.
    /// ## What to do
    /// Use more cylinders side by side or a water bath, or shorten the runs. Or a larger or warmer tank, or liquid draw
    /// with a vaporiser. `fuelwright tank RIG` gives the number for each.
    "SUP004", "run-not-fed", Supply, [Notice],
    Choice("balance of mass and heat of the tank; convection by published correlations, within 25 %"),
    levers ["tank.fuel_mass" Up, "tank.fill" Up, "tank.number" Up, "tank.water_bath" Up, "schedule.repeats" Down,
        "steps.duration" Down, "duties.target" Down]
}

/// Nearer than this a pressure is that which is needed.
const AT_NEED: f64 = 1e-3;

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
    let stands = event.contents.pressure;
    let needed = step
        .and_then(|step| step.lowest_pressure)
        .filter(|p| (stands.pascals() / p.pascals() - 1.0).abs() > AT_NEED)
        .map_or_else(String::new, |p| format!(", {} needed", s.gauge(p)));
    let says = format!(
        "After {{measured}} of the {{limit}} to run, in {name}: {} (at {} and {}{needed}).",
        event.what.text(),
        s.show(Kind::Temperature, event.contents.temperature.value),
        s.gauge(stands),
    );
    let whole_s = outcome.schedule.duration_s();
    v.says(says).find(
        if outcome.from_plan { "steps" } else { "duties" },
        (Kind::Time, event.time.value),
        Limit::of_words(Kind::Time, whole_s, s.show(Kind::Time, whole_s)),
    );
    Some(())
}

/// A tank of liquid under air or gas: the fuel that the run plan asks for against what is in it.
fn plan_of_liquid(s: &Solution<'_>, v: &mut Verdict) {
    let (Some(plan), Some(fuel)) = (&s.rig.timetable, s.inventory().fuel) else {
        v.not_checked("the rig file has no run plan, or the fuel in the tank is not known");
        return;
    };
    let mut asked_kg = 0.0;
    for step in &plan.steps {
        let Some(name) = &step.duty else { continue };
        let demand = s.duties.iter().find(|d| d.name == *name);
        let Some(Ok(demand)) = demand.map(|d| &d.demand) else {
            v.not_checked(format!("duty {name} has no fuel flow"));
            return;
        };
        asked_kg += demand.fuel.value * step.duration.value;
    }
    asked_kg *= f64::from(plan.repeats);
    if asked_kg > fuel.value {
        v.source(Source::Choice("the fuel in the tank, all of it"))
            .advice("Fill the tank, or shorten the plan")
            .says("{It} of the run plan burn {measured} of fuel and the tank holds {limit}: it runs empty before the plan ends.")
            .find(
                "steps",
                (Kind::Mass, asked_kg),
                Limit::at_most(Kind::Mass, fuel.value),
            );
    }
}
