//! A pilot that takes as much fuel as a burner.

use super::{duty_path, solved};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;
use crate::train::plan::INJECTOR;
use crate::train::rig::Ignition;

rule! {
    /// ## Finding
    /// At {it} the pilot takes {measured} of the burner's fuel, over {limit}: it robs the burner and heats what was
    /// never meant to be in a flame.
    /// ## What it checks
    /// Where a pilot lights the fire and the train has one branch beside that of the injector: the flow of that branch,
    /// against a quarter of what the injector gets at its largest duty.
    /// ## Why it matters
    /// A pilot is there to light. One that takes fuel like a burner robs the burner, and heats what stands near it and
    /// was never meant to be in a flame.
    /// ## What to do
    /// Drill a smaller hole in the pilot, or give it a regulator of its own.
    "FLM008", "pilot-too-large", Flame, [Caution], Choice("a pilot takes a few per cent; common practice, no source"),
    levers ["branches.hole_diameter" Down, "branches.holes" Down]
}

/// Share of the burner that a pilot may take.
const MOST: f64 = 0.25;

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    match s.rig.controls.ignition {
        Some(Ignition::Pilot) => {}
        Some(_) => return None,
        None => {
            v.not_checked("the rig file does not say what lights the fire");
            return None;
        }
    }
    let plan = solved::train(s, v)?;
    let fed = plan
        .duties
        .iter()
        .filter_map(|d| Some((&d.name, d.solution.as_ref().ok()?)));
    let largest = fed.max_by(|a, b| a.1.flow.value.total_cmp(&b.1.flow.value));
    let (duty, solution) = largest?;
    let mut others = solution.outlets.iter().filter(|o| o.outlet != INJECTOR);
    let (Some(pilot), None, Some(burner)) =
        (others.next(), others.next(), solution.outlet(INJECTOR))
    else {
        return None;
    };
    let share = pilot.flow.value / burner.flow.value;
    if share > MOST {
        let says = format!(
            "At {{it}} the pilot `{}` takes {}: {{measured}} of the burner's fuel, over {{limit}}. It robs the burner and heats what stands near it.",
            pilot.outlet,
            s.show(Kind::MassRate, pilot.flow.value)
        );
        v.says(says).find(
            duty_path(duty),
            (Kind::Ratio, share),
            Limit::at_most(Kind::Ratio, MOST),
        );
    }
    Some(())
}
