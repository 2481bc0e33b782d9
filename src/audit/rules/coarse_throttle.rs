//! A throttle whose steps are too coarse for the mixture.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// One step of {it} changes the flow by {measured}, over {limit}: a controller hunts between two steps.
    /// ## What it checks
    /// Change of flow for one step of the throttle's drive at each duty, against 2 %.
    /// ## Why it matters
    /// With coarser steps the mixture can only be set to one side of where it should be, and a controller hunts between
    /// two steps.
    /// ## What to do
    /// Fit a drive with more steps, a smaller valve, or an equal-percentage one.
    "VLV001", "coarse-throttle", Valve, [Notice], Choice("well inside the 10 % that the holes are uncertain by"),
    levers ["train.steps" Up, "train.flow_coefficient" Down]
}

/// Largest change of flow for a step.
const MOST: f64 = 0.02;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some((name, study)) = solved::throttle(s, v) else {
        return;
    };
    let steps = |d: &crate::train::DutySetting| d.flow_per_step.map(|x| (x.abs(), d.duty.clone()));
    let worst = study
        .duties
        .iter()
        .filter_map(steps)
        .max_by(|a, b| a.0.total_cmp(&b.0));
    let Some((step, duty)) = worst else {
        v.not_checked(format!(
            "{name} does not give `steps`, or no duty can be set"
        ));
        return;
    };
    if step > MOST {
        let says = format!(
            "One step of {{it}} changes the flow of duty {duty} by {{measured}}, over {{limit}}: a controller hunts between two steps."
        );
        v.says(says).find(
            solved::part_path(name),
            (Kind::Ratio, step),
            Limit::at_most(Kind::Ratio, MOST),
        );
    }
}
