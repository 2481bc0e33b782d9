//! A throttle with little authority over the flow.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// {It} has an authority of {measured}, under {limit}: the first part of its travel does everything, the last
    /// nothing.
    /// ## What it checks
    /// Authority of the throttle: the drop over it fully open as a share of the drop from the last regulator to the
    /// chamber, against a quarter.
    /// ## Why it matters
    /// With little authority the rest of the train rules the flow: the first part of the travel does everything and the
    /// last does nothing.
    /// ## What to do
    /// Fit a smaller valve, or lose less pressure in what follows it. It still has to pass the largest duty. With few
    /// duties set by their measured flow it does no harm.
    "VLV002", "weak-throttle", Valve, [Notice], Choice("common practice of control valves, no source"),
    levers ["train.flow_coefficient" Down, "regulator.set_pressure" Up]
}

/// Least authority.
const LEAST: f64 = 0.25;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some((name, study)) = solved::throttle(s, v) else {
        return;
    };
    let Some(authority) = study.authority else {
        v.not_checked("the authority of the throttle is not known");
        return;
    };
    if authority < LEAST {
        v.find(
            solved::part_path(name),
            (Kind::Ratio, authority),
            Limit::at_least(Kind::Ratio, LEAST),
        );
    }
}
