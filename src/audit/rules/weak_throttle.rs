//! A throttle with little authority over the flow.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Drop over the open throttle over the drop from the last regulator to the chamber, with the
    /// throttle fully open, against a quarter.
    /// ## Why it matters
    /// Near 0 the rest of the train rules the flow: the first part of the travel does everything and
    /// the last does nothing.
    /// ## What to do
    /// A smaller valve, or less loss in what follows it. With few duties set by their measured flow it
    /// does no harm.
    WeakThrottle, "VLV002", "weak-throttle", Valve
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
            Signal::Notice,
            solved::part_path(name),
            Measured::Quantity(Kind::Ratio, authority),
            Limit::AtLeast(Measured::Quantity(Kind::Ratio, LEAST)),
            Source::Choice("common practice of control valves, no source"),
            "less loss in what follows it, or a smaller valve, which then has to pass the largest duty all the same",
        );
    }
}
