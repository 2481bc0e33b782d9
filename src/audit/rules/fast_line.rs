//! A line too narrow for its flow.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::train::CheckKind;

rule! {
    /// ## What it checks
    /// Velocity and Mach number in every tube, hose and dip tube at each duty against 30 m/s for gas, 3
    /// m/s for liquid and a Mach number of 0.3.
    /// ## Why it matters
    /// Fast gas is noisy, shakes its line, erodes seats and makes gauges at tappings read low; fast
    /// liquid hammers when a valve shuts.
    /// ## What to do
    /// The next larger bore.
    FastLine, "TRN003", "fast-line", Train
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    for found in solved::remarked(plan, &[CheckKind::Velocity, CheckKind::Mach]) {
        v.find(
            Signal::Notice,
            found.at(),
            found.measured(s),
            Limit::AtMost(found.limit(s)),
            found.source("bore", "common practice, no source"),
            "the next larger bore",
        );
    }
}
