//! A pump that asks for more power than there is.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::train::CheckKind;

rule! {
    /// ## What it checks
    /// Shaft power of each pump at each duty against the power at hand.
    /// ## Why it matters
    /// A pump that is short of power stalls at the duty that needs it most.
    /// ## What to do
    /// A stronger motor, or less pressure.
    PumpPower, "LIQ004", "pump-power", Liquid
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    for found in solved::remarked(plan, &[CheckKind::PumpPower]) {
        v.find(
            Signal::Notice,
            found.at(),
            found.measured(s),
            Limit::AtMost(found.limit(s)),
            found.source("max_power", "given by the rig"),
            "a stronger motor, or less pressure",
        );
    }
}
