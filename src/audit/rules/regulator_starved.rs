//! A regulator with too little pressure before it to regulate.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::train::CheckKind;

rule! {
    /// ## What it checks
    /// Inlet pressure of each regulator at each duty against the least its maker asks for, and whether
    /// its seat stands wide open. The tank is as it starts; the run plan is looked at by SUP004.
    /// ## Why it matters
    /// A regulator that is wide open passes the ups and downs of the tank on to the flame.
    /// ## What to do
    /// A warmer tank, a lower set pressure with larger holes, or a regulator for a lower inlet
    /// pressure.
    RegulatorStarved, "REG001", "regulator-starved", Regulator
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    for found in solved::remarked(plan, &[CheckKind::RegulatorStarved]) {
        v.find(
            Signal::Notice,
            found.at(),
            found.measured(s),
            Limit::AtLeast(found.limit(s)),
            found.source("min_inlet", "a seat that stands wide open does not regulate"),
            "a warmer tank, a lower set pressure with larger holes, or a regulator for a lower inlet pressure",
        );
    }
}
