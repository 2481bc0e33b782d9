//! A throttle whose steps are too coarse for the mixture.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Change of flow for one step of the throttle's drive at each duty, against 2 %.
    /// ## Why it matters
    /// Below that the mixture can only be set beside where it should be, and a controller hunts between
    /// two steps.
    /// ## What to do
    /// A drive with more steps, a smaller valve, or an equal-percentage one.
    "VLV001", "coarse-throttle", Valve, [Notice], Choice("well inside the 10 % that the holes are uncertain by")
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
        v.not_checked(format!("{name} gives no `steps`, or no duty can be set"));
        return;
    };
    if step > MOST {
        v.find(
            solved::part_path(name),
            s.worded(Kind::Ratio, step, |x| format!("{x} for a step in {duty}")),
            Limit::at_most(Kind::Ratio, MOST),
        );
    }
}
