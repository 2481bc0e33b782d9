//! A valve in which the liquid cavitates.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::train::CheckKind;

rule! {
    /// ## What it checks
    /// Drop over each valve with liquid over the drop to the vapour pressure, against four fifths of
    /// the square of the valve's recovery factor.
    /// ## Why it matters
    /// Bubbles that collapse on the trim eat it, and a metering valve drifts until it no longer shuts.
    /// ## What to do
    /// Take the drop in two valves, or a valve with a higher recovery factor.
    Cavitation, "LIQ002", "cavitation", Liquid
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    for found in solved::remarked(plan, &[CheckKind::Cavitation]) {
        v.find(
            Signal::Notice,
            found.at(),
            found.measured(s),
            Limit::AtMost(found.limit(s)),
            found.source("recovery", "four fifths of where the flow chokes"),
            "take the drop in two valves, or a valve with a higher recovery factor",
        );
    }
}
